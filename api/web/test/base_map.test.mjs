// The base map: never by default, from one other host where it is named, or out of a
// file that the service serves.
import assert from 'node:assert/strict'
import {writeFileSync} from 'node:fs'
import {createServer} from 'node:http'
import {join} from 'node:path'
import {test} from 'node:test'
import {serve} from './harness.mjs'
import {query} from './scenes.mjs'
import {desk, on, temp, violations} from './suite.mjs'
import {archive, directory, png} from './tiles.mjs'

const address = light => '#desk' + query('harbour-stabbing', {light})
const colour = [40, 120, 200]

/** Waits until the base map is drawn in a colour in the map's middle. */
const drawn = (page, want) => page.waitForFunction(c => {
  const canvas = document.querySelector('.base-map canvas, canvas.base-map')
  if (canvas === null) return false
  const [r, g, b] = canvas.getContext('2d').getImageData(canvas.width / 2, canvas.height / 2, 1, 1).data
  return r === c[0] && g === c[1] && b === c[2]
}, want)

test('a base map out of a file is drawn from the service alone, with whose it is', async () => {
  const file = join(temp.folder, 'map.pmtiles')
  const tiles = png(...colour)
  writeFileSync(file, archive({root: directory([[0, 21, tiles.length, 0]]), tiles, maxZoom: 2, metadata: Buffer.from('{"attribution":"<b>© whose</b> &amp; Co"}')}))
  const own = await serve(temp.folder, {more: ['--tiles', file]})
  try {
    for (const light of ['day', 'night']) {
      await on(desk, address(light), async page => {
        const ranges = []
        page.on('request', r => { if (r.url().endsWith('/archive')) ranges.push(r.headers().range) })
        await drawn(page, colour)
        assert.equal(await page.textContent('.whose'), '© whose & Co')
        await violations(page, 'base map, ' + light)
        assert.ok(ranges.every(r => /^bytes=\d+-\d+$/.test(r)), ranges.join())
      }, {address: own.address})
    }
    await on(desk, '#region', async page => drawn(page, colour), {address: own.address})
  } finally {
    await own.stop()
  }
})

test('a base map at an address is asked for its tiles and nothing more', async () => {
  const asked = []
  const other = createServer((request, response) => {
    asked.push({url: request.url, referer: request.headers.referer, cookie: request.headers.cookie})
    response.writeHead(200, {'Content-Type': 'image/png'})
    response.end(png(...colour))
  })
  await new Promise(done => other.listen(0, '127.0.0.1', done))
  const origin = `http://127.0.0.1:${other.address().port}`
  const own = await serve(temp.folder, {more: ['--tile-url', origin + '/t/{z}/{x}/{y}.png', '--tile-max-zoom', '9', '--tile-attribution', '© <i>whose</i>']})
  try {
    await on(desk, address('day'), async page => {
      await page.waitForSelector('.whose')
      const tile = page.waitForResponse(r => r.url().startsWith(origin))
      await page.reload()
      await tile
      assert.equal(await page.textContent('.whose'), '© <i>whose</i>')
      // what a script asks for there is refused: pictures only
      assert.equal(await page.evaluate(u => fetch(u).then(() => 'came', () => 'refused'), origin + '/t/0/0/0.png'), 'refused')
      await page.evaluate(() => { window.breaches = window.breaches.filter(b => !b.startsWith('connect-src')) })
    }, {address: own.address, allow: [new RegExp('^request to ' + origin), /Content Security Policy|Fetch API cannot load/]})
    assert.ok(asked.length > 0)
    for (const a of asked) {
      const [, z, x, y] = /^\/t\/(\d+)\/(\d+)\/(\d+)\.png$/.exec(a.url)?.map(Number) ?? assert.fail(a.url)
      assert.ok(z <= 9 && x < 2 ** z && y < 2 ** z, a.url)
      assert.deepEqual([a.referer, a.cookie], [undefined, undefined])
    }
  } finally {
    await own.stop()
    await new Promise(done => other.close(done))
  }
})

test('without one, nothing is drawn under the region and its ground is there', () => on(desk, address('day'), async page => {
  const told = await page.waitForResponse('**/v1/base-map')
  assert.deepEqual(await told.json(), {})
  await page.waitForSelector('#map canvas')
  assert.equal(await page.locator('.base-map, .whose').count(), 0)
}))
