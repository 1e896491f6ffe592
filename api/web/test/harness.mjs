// Starts the program and a browser for the tests and screenshots.
import {execFileSync, spawn} from 'node:child_process'
import {existsSync, mkdtempSync, rmSync} from 'node:fs'
import {tmpdir} from 'node:os'
import {dirname, join} from 'node:path'
import {createInterface} from 'node:readline'
import {fileURLToPath} from 'node:url'
import {chromium} from 'playwright-core'

export const root = join(dirname(fileURLToPath(import.meta.url)), '../../..')

/** The browser's program: Debian's, or the one that CHROMIUM names. */
export function browserPath() {
  return [process.env.CHROMIUM, '/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'].find(p => p && existsSync(p))
}

/** A folder of its own, gone at the end. */
export function scratch() {
  const folder = mkdtempSync(join(tmpdir(), 'surgeonward-page-'))
  return {folder, remove: () => rmSync(folder, {recursive: true, force: true})}
}

let binary = process.env.SURGEONWARD_BINARY

/** Builds the program once, with the page that is in dist. */
function program(folder) {
  if (binary === undefined) {
    binary = join(folder, 'surgeonward')
    execFileSync('go', ['build', '-o', binary, './cmd/surgeonward'], {cwd: root, env: {...process.env, CGO_ENABLED: '0'}, stdio: 'inherit'})
  }
  return binary
}

/** What a command of the program prints. */
export function command(folder, ...args) {
  return execFileSync(program(folder), args, {encoding: 'utf8', stdio: ['ignore', 'pipe', 'pipe']})
}

/** Serves a region (undefined: the demo region) on a free port. */
export async function serve(folder, {region, listen = '127.0.0.1:0', more = []} = {}) {
  const args = ['serve', '--listen', listen, ...(region === undefined ? [] : ['--region', region]), ...more]
  const child = spawn(program(folder), args, {stdio: ['ignore', 'pipe', 'pipe']})
  let errors = ''
  child.stderr.on('data', d => { errors += d })
  const address = await new Promise((resolve, reject) => {
    createInterface({input: child.stdout}).on('line', line => {
      const m = /^listening: (http:\/\/\S+)$/.exec(line)
      if (m) resolve(m[1])
    })
    child.on('exit', code => reject(new Error(`surgeonward serve ended with ${code}: ${errors}`)))
  })
  return {
    address,
    port: new URL(address).port,
    stop: () => new Promise(done => { child.removeAllListeners('exit'); child.on('exit', done); child.kill('SIGTERM') }),
  }
}

export function launch() {
  return chromium.launch({executablePath: browserPath(), args: ['--no-sandbox', '--disable-gpu', '--disable-dev-shm-usage', '--font-render-hinting=none']})
}

/** A page that records what must not happen: a request to another host, a
 * breach of the content policy, an error in the console. */
export async function open(browser, address, {hash = '', path = '/', ...context} = {}) {
  const c = await browser.newContext({viewport: {width: 1360, height: 860}, locale: 'en-GB', timezoneId: 'Etc/GMT+2', ...context})
  const bad = []
  c.on('request', r => {
    const url = new URL(r.url())
    if (!['blob:', 'data:'].includes(url.protocol) && url.origin !== new URL(address).origin) bad.push(`request to ${url.origin}`)
  })
  await c.addInitScript(() => {
    window.breaches = []
    document.addEventListener('securitypolicyviolation', e => window.breaches.push(`${e.violatedDirective} ${e.blockedURI} ${e.sourceFile}:${e.lineNumber}`))
  })
  const page = await c.newPage()
  page.on('console', m => { if (m.type() === 'error') bad.push(`console: ${m.text()}`) })
  page.on('pageerror', e => bad.push(`error: ${e.message}`))
  await page.goto(address + path + hash)
  return {page, context: c, bad, breaches: () => page.evaluate(() => window.breaches)}
}
