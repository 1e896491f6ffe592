// The answer kept as a file: it opens from the disk, without signal, without a script.
import assert from 'node:assert/strict'
import {readFileSync} from 'node:fs'
import {join} from 'node:path'
import {test} from 'node:test'
import {pathToFileURL} from 'node:url'
import {serve} from './harness.mjs'
import {hostileRegion, names} from './hostile.mjs'
import {query} from './scenes.mjs'
import {ask, browser, desk, fits, on, temp, tiny, violations} from './suite.mjs'

/** Presses the button, and returns where the file is and what is in it. */
async function keep(page, name) {
  const waiting = page.waitForEvent('download')
  await page.getByRole('button', {name: 'Keep as a file'}).click()
  const download = await waiting
  assert.match(download.suggestedFilename(), /^answer-20310314T214000Z\.html$/)
  await page.getByText('It opens without signal. It says where the patient is').waitFor()
  const path = join(temp.folder, name + '.html')
  await download.saveAs(path)
  return {path, text: readFileSync(path, 'utf8')}
}

/** Opens the file in a browser that has no network, and fails on any request but for it. */
async function opened(path, device, run) {
  const context = await browser.newContext({...device, offline: true, locale: 'en-GB'})
  try {
    const page = await context.newPage()
    const requests = []
    const errors = []
    page.on('request', r => requests.push(r.url()))
    page.on('console', m => { if (m.type() === 'error') errors.push(m.text()) })
    page.on('pageerror', e => errors.push(e.message))
    await page.goto(pathToFileURL(path).href)
    await run(page)
    assert.deepEqual(requests, [pathToFileURL(path).href])
    assert.deepEqual(errors, [])
  } finally {
    await context.close()
  }
}

async function inert(page) {
  assert.equal(await page.locator('script, img, iframe, object, embed, form, link, a[href]').count(), 0)
  assert.deepEqual(await page.evaluate(() => [...document.querySelectorAll('*')].flatMap(e => e.getAttributeNames().filter(n => n.startsWith('on')))), [])
}

const lost = '2031-03-14T21:38:00Z'

for (const [view, device, light] of [['desk', desk, 'day'], ['phone', tiny, 'night']]) {
  test(`kept from the ${view}, the answer opens without signal, with all that was shown`, () => on(device, `#${view}` + query('harbour-stabbing', {light, output_lost_at: lost, happened: 'amb-11,patient_loaded,' + lost}), async page => {
    await page.waitForSelector('.read-out blockquote', {state: 'attached'})
    await page.waitForSelector('.reach .sentence')
    const message = await page.textContent('.read-out blockquote')
    const headline = await page.textContent('.reach .sentence')
    const cards = await page.locator('.way, .card').count()
    const {path, text} = await keep(page, view)
    assert.doesNotMatch(text, /<script|https?:\/\/(?!www\.w3\.org)/i)
    await opened(path, device, async file => {
      await inert(file)
      assert.ok(await file.getByText('Answered for 19:40').isVisible())
      assert.ok(await file.getByText('nothing in this region is real').isVisible())
      assert.ok(await file.locator('footer').getByText('Advice only').isVisible())
      assert.equal(await file.textContent('.read-out blockquote'), message)
      assert.equal(await file.textContent('.reach .sentence'), headline)
      assert.ok(await file.getByText('Every team').isVisible())
      assert.equal(await file.locator('.kept-way').count(), cards)
      assert.equal(await file.locator('svg.lanes').count(), cards)
      assert.ok((await file.locator('svg.lanes').first().boundingBox()).height > 60)
      assert.ok(await file.getByText('patient aboard').isVisible())
      assert.equal(await file.evaluate(() => getComputedStyle(document.querySelector('.kept')).backgroundColor), light === 'night' ? 'rgb(20, 23, 26)' : 'rgb(255, 255, 255)')
      await file.locator('.excluded > summary').click()
      await violations(file, view)
      await fits(file, view)
    })
  }))
}

test('a kept answer is of the question on the screen, not the one before', () => on(desk, '#desk' + query('harbour-stabbing', {light: 'day'}), async page => {
  await page.waitForSelector('.meeting')
  const at = '2031-03-14T21:40:00Z'
  await page.evaluate(h => { location.hash = h }, '#desk?' + new URLSearchParams({scene: '44.9, -28.2', only: 'heli-1', at}))
  const want = await ask({at, scene: {position_text: '44.9, -28.2'}, assets: {only: ['heli-1']}})
  await page.waitForFunction(s => document.querySelector('.board .sentence')?.textContent === s, want.options[0].sentence)
  const {path} = await keep(page, 'second')
  await opened(path, desk, async file => assert.ok((await file.textContent('.kept-way .sentence')).startsWith(want.options[0].sentence)))
}))

test('names that are markup, right to left or endless stay text in a kept answer', async () => {
  hostileRegion(join(temp.folder, 'hostile'))
  const hostile = await serve(temp.folder, {region: join(temp.folder, 'hostile')})
  try {
    await on(tiny, '#phone' + query('harbour-stabbing', {output_lost_at: lost}), async page => {
      await page.waitForSelector('.read-out blockquote', {state: 'attached'})
      await page.waitForSelector('.reach .sentence')
      const {path, text} = await keep(page, 'hostile-file')
      assert.doesNotMatch(text, /<script|<img/i)
      await opened(path, tiny, async file => {
        await inert(file)
        await file.evaluate(() => document.querySelectorAll('details').forEach(d => { d.open = true }))
        assert.equal(await file.evaluate(() => window.hacked), undefined)
        const seen = await file.evaluate(() => document.body.innerText)
        for (const name of names.slice(0, 2)) assert.ok(seen.includes(name), name)
        assert.ok((await file.title()).startsWith(names[0]), 'the title is text too')
        await violations(file, 'hostile')
        await fits(file, 'hostile')
      })
    }, {address: hostile.address})
  } finally {
    await hostile.stop()
  }
})
