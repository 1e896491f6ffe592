// What the files of tests in a browser share: the program on the demo region, the
// browser, and a test on a page that also fails on a request to another host, a
// breach of the content policy, or an error that the browser reports.
import assert from 'node:assert/strict'
import {readFileSync} from 'node:fs'
import {createRequire} from 'node:module'
import {after, before} from 'node:test'
import {launch, open, scratch, serve} from './harness.mjs'
import {query} from './scenes.mjs'

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')
export const temp = scratch()
export let server, browser

before(async () => {
  server = await serve(temp.folder)
  browser = await launch()
})
after(async () => {
  await browser?.close()
  await server?.stop()
  temp.remove()
})

/** Runs a test on a page and then looks at what must not have happened. */
export async function on(device, hash, run, {address = server.address, allow = []} = {}) {
  const opened = await open(browser, address, {hash, ...device})
  try {
    await run(opened.page, opened.context)
    const wrong = [...opened.bad, ...await opened.breaches()].filter(w => !allow.some(a => a.test(w)))
    assert.deepEqual(wrong, [])
  } finally {
    await opened.context.close()
  }
}

export const desk = {viewport: {width: 1360, height: 860}}
export const tiny = {viewport: {width: 320, height: 640}, hasTouch: true}
export const answered = page => page.waitForSelector('.meeting')
export const scene = name => hash => `#${hash}${query(name)}`
export const halfTyped = /status of 422/ // a position while it is being typed

export async function ask(question, path = '/v1/options') {
  const response = await fetch(server.address + path, {method: 'POST', headers: {'Content-Type': 'application/json'}, body: JSON.stringify(question)})
  assert.equal(response.status, 200)
  return response.json()
}

const rules = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice']

/** Fails on what axe finds, by all its rules of WCAG 2.2 A and AA and good practice. */
export async function violations(page, about) {
  await page.evaluate(axe)
  const found = await page.evaluate(runOnly => window.axe.run(document, {runOnly}), rules)
  assert.deepEqual(found.violations.map(v => `${about}: ${v.id}: ${v.nodes.map(n => n.target.join(' ')).slice(0, 3).join('; ')}`), [])
}

/** The page is no wider than its window. */
export async function fits(page, about) {
  const [wide, room] = await page.evaluate(() => [document.documentElement.scrollWidth, innerWidth])
  assert.ok(wide <= room, `${about}: ${wide} px in ${room}`)
}
