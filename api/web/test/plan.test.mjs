// The plan view in a browser, against the program itself. Cells are coarse, so that
// jobs are quick; what they say is the engine's business and tested there.
import assert from 'node:assert/strict'
import {cpSync} from 'node:fs'
import {join} from 'node:path'
import {test} from 'node:test'
import {root, serve} from './harness.mjs'
import {hostileRegion, names} from './hostile.mjs'
import {desk, fits, on as visit, server, temp, tiny, violations} from './suite.mjs'

const on = (hash, run, {device = desk, ...more} = {}) => visit(device, hash, run, more)

const begin = page => page.getByRole('button', {name: 'Work it out'}).click()
const figures = page => page.waitForSelector('.within td', {timeout: 25_000})
const jobOf = page => new URLSearchParams(page.url().split('?')[1]).get('job')
const get = async path => (await fetch(server.address + path)).json()
const whole = n => new Intl.NumberFormat('en-GB', {maximumFractionDigits: 0}).format(n)

/** Opens the view with the form there and cells of so many kilometres. */
async function form(page, km = '20') {
  await page.getByText('403,200 people at 1,880 places').waitFor()
  await page.getByLabel('Cells').fill(km)
}

test('coverage, from the form to the figures, the hours and the place that is looked at', () => on('#plan', async (page, context) => {
  await form(page)
  await begin(page)
  await figures(page)
  const job = jobOf(page)
  const summary = await get(`/v1/jobs/${job}/results/summary.json`)
  assert.deepEqual(summary.situations.map(s => s.name), ['noon', 'midnight'])
  const rows = await page.locator('.within tbody tr').allInnerTexts()
  summary.situations[0].within.forEach((b, i) => {
    const cells = rows[i].split(/\s+/)
    assert.equal(cells[0], String(b.within_s / 60))
    assert.ok(cells.includes(whole(b.people)), `${rows[i]}: ${b.people}`)
    assert.ok(cells.includes(whole(summary.situations[1].within[i].people)))
    assert.ok(cells.includes(whole(summary.expected.within[i].people)))
  })
  assert.equal(await page.locator('.curve > svg path.line').count(), 2)
  for (const s of summary.situations) { // at the region's own clock, two hours behind UTC
    const clock = new Date(Date.parse(s.at) - 7_200_000).toISOString().slice(11, 16)
    assert.match(await page.textContent('.hours-used'), new RegExp(`${s.name}: .* ${clock} UTC−02:00`))
  }
  for (const of of ['assets', 'hospitals']) assert.ok(summary.situations[0][of].length > 0)
  assert.ok(await page.getByText(summary.situations[0].worst[0].name, {exact: true}).first().isVisible())

  await page.getByRole('button', {name: 'midnight', exact: true}).click()
  await page.getByText('Who carries how much, midnight').waitFor()
  await page.waitForTimeout(300)
  await page.locator('#map').focus()
  await page.keyboard.press('Enter')
  await page.locator('.looked', {hasText: 'if slow, by'}).waitFor()
  const said = await page.textContent('.looked')
  const [, lat, lon, min] = /^(-?[\d.]+), (-?[\d.]+).*?: (\d+) min/.exec(said).map(Number)
  const {rows: cells} = await (await fetch(`${server.address}/v1/jobs/${job}/results/2-cells.csv`, {headers: {Accept: 'application/json'}})).json()
  const far = c => Math.hypot((c.longitude - lon) * Math.cos(lat * Math.PI / 180), c.latitude - lat)
  const nearest = cells.reduce((a, b) => far(b) < far(a) ? b : a)
  assert.equal(min, Math.round(nearest.typical_s / 60), said)

  const other = await context.newPage()
  await other.goto(page.url())
  await other.getByText('Who carries how much, midnight').waitFor()
  await page.getByRole('button', {name: 'Ask something else'}).click()
  await page.goBack()
  await figures(page)
}))

test('a job goes on while the page is loaded again, and is stopped', () => on('#plan', async page => {
  await form(page, '1')
  await begin(page)
  await page.getByRole('progressbar', {name: 'Progress'}).waitFor()
  const job = jobOf(page)
  await page.reload()
  await page.getByRole('progressbar', {name: 'Progress'}).waitFor()
  await page.waitForFunction(() => document.querySelector('progress').value > 0)
  assert.equal(jobOf(page), job)
  await page.getByText('working it out: looking at noon').waitFor()
  await page.getByRole('button', {name: 'Stop'}).click()
  await page.getByText('It was stopped.').waitFor()
  assert.equal((await get('/v1/jobs/' + job)).state, 'cancelled')
  await page.getByRole('button', {name: 'Ask something else'}).click()
  await page.locator('.jobs tr', {hasText: 'stopped'}).first().waitFor()
}))

test('what is wrong stands at its field and is not asked; what the service finds stands there too', () => on('#plan', async page => {
  await form(page, '0')
  let asked = 0
  page.on('request', r => { if (r.method() === 'POST') asked++ })
  await page.getByLabel('Wind').fill('strong')
  await page.getByLabel('When').selectOption('hours')
  await page.locator('.field.wrong', {hasText: 'Write the wind as direction and knots'}).waitFor()
  assert.equal(await page.getByText('Write day and hour').count(), 0, 'what is empty is not yet wrong')
  await begin(page)
  await page.locator('.field.wrong', {hasText: 'Write day and hour'}).waitFor()
  await page.locator('.field.wrong', {hasText: 'Give a width'}).waitFor()
  assert.equal(await page.evaluate(() => document.activeElement.getAttribute('aria-invalid')), 'true', 'the first wrong field has the focus')
  assert.equal(asked, 0)
  await page.getByRole('textbox', {name: 'Hour', exact: true}).fill('2031-06-10 14:00')
  await page.getByLabel('Wind').fill('999/18')
  await page.getByLabel('Ceiling').fill('2000')
  await page.getByLabel('Cells').fill('30')
  await page.getByLabel('Counted are').selectOption('land')
  await begin(page)
  await page.locator('.field.wrong', {hasText: '360'}).waitFor() // degrees: the page leaves that to the service
  assert.equal(asked, 1)
  await page.getByLabel('Wind').fill('240/18')
  assert.equal(await page.locator('.wrong').count(), 0)
  await begin(page)
  await figures(page)
  await page.getByText('Within so many minutes, km² of land').first().waitFor()
  const summary = await get(`/v1/jobs/${jobOf(page)}/results/summary.json`)
  assert.equal(summary.situations[0].at, '2031-06-10T14:00:00Z')
}, {allow: [/status of 422/]}))

test('people of a file, as a table, and vehicles out on other calls', () => on('#plan', async page => {
  await form(page, '30')
  await page.getByLabel('When').selectOption('day')
  await page.getByLabel('Counted are').selectOption('file')
  await begin(page)
  await page.locator('.field.wrong', {hasText: 'Choose a CSV'}).waitFor()
  await page.getByLabel('Other calls').fill('6.5')
  await page.getByLabel('File of people').setInputFiles({name: 'p.csv', mimeType: 'text/csv', buffer: Buffer.from('latitude,longitude,people,name\r\n45.52,-29.41,120,"One, <i>"\r\n45.6,-30.1,80,Two\r\n')})
  await page.waitForFunction(() => document.querySelectorAll('.field.wrong').length === 0)
  await begin(page)
  await figures(page)
  const summary = await get(`/v1/jobs/${jobOf(page)}/results/summary.json`)
  assert.equal(summary.places.people, 200)
  assert.equal(summary.busy.calls_per_day, 6.5)
  await page.getByRole('heading', {name: 'How busy vehicles are'}).waitFor()
  for (const s of summary.busy.shares) assert.ok(await page.getByText(s.name, {exact: true}).count() > 0, s.name)
}))

test('siting by keyboard alone: places by Enter on the map and by writing, the choice with its reasons', () => on('#plan?light=day', async page => {
  await form(page)
  const tab = async name => {
    for (let i = 0; i < 120; i++) {
      await page.keyboard.press('Tab')
      if (await page.evaluate(n => [document.activeElement.textContent, document.activeElement.getAttribute('aria-label'), document.activeElement.labels?.[0]?.textContent].includes(n), name)) return
    }
    assert.fail('no way by Tab to ' + name)
  }
  await page.locator('#ways').focus()
  await tab('Where more would help')
  await page.keyboard.press('Enter')
  await tab('One more place')
  await page.keyboard.press('Enter')
  await page.getByLabel('Position').waitFor()
  await page.getByLabel('Position').focus()
  await page.keyboard.type('45.25, -29.8')
  await page.keyboard.press('m') // typed, not a key of the page
  await page.keyboard.press('Backspace')
  await page.locator('#map').focus()
  await page.keyboard.press('ArrowUp')
  await page.keyboard.press('Enter')
  await page.waitForFunction(() => document.querySelectorAll('.places fieldset').length === 2)
  assert.match(await page.getByLabel('Position').nth(1).inputValue(), /^\d+\.\d{5}, -\d+\.\d{5}$/)
  assert.deepEqual(await page.getByLabel('Position').first().inputValue(), '45.25, -29.8')
  await page.locator('.ticks summary').first().focus()
  await page.keyboard.press('Enter')
  for (const box of await page.locator('.ticks').first().getByRole('checkbox').all()) {
    await box.focus()
    await page.keyboard.press('Space')
  }
  await page.getByRole('button', {name: 'Work it out'}).focus()
  await page.keyboard.press('Enter')
  await page.waitForSelector('.choice table', {timeout: 25_000})
  const summary = await get(`/v1/jobs/${jobOf(page)}/results/summary.json`)
  assert.equal(summary.chosen.length, 1)
  assert.equal(await page.textContent('.choice strong'), summary.chosen[0].name)
  await page.getByText('Proven: no other choice is better.').waitFor()
  assert.match(await page.textContent('.choice'), /Worse without it by/)
  assert.equal(await page.locator('.gains tbody tr').count(), summary.changes.length)
  assert.equal(await page.locator('.maps.two .map-pane').count(), 2, 'before and after stand side by side')
  for (const side of ['As it would be', 'Difference']) {
    await page.getByRole('button', {name: side, exact: true}).press('Enter')
    await page.waitForFunction(() => document.querySelectorAll('.map-pane').length === 1)
  }
  await page.getByText('What the change does to the time').waitFor()
  assert.match(page.url(), /side=difference/)
}))

test('a place is put by a click and moved by dragging it', () => on('#plan', async page => {
  await form(page)
  await page.getByRole('button', {name: 'Where more would help'}).click()
  await page.waitForTimeout(400) // the map has drawn
  const box = await page.locator('#map').boundingBox()
  const at = [box.x + box.width * 0.3, box.y + 30]
  await page.mouse.click(...at)
  await page.getByLabel('Position').waitFor()
  const first = await page.getByLabel('Position').inputValue()
  await page.waitForTimeout(300)
  await page.mouse.move(...at)
  await page.mouse.down()
  await page.mouse.move(at[0] + 30, at[1] + 20, {steps: 4})
  await page.mouse.move(at[0] + 80, at[1] + 60, {steps: 4})
  await page.mouse.up()
  await page.waitForFunction(old => document.querySelector('.places fieldset .field:nth-of-type(2) input')?.value !== old, first)
  const [from, to] = [first, await page.getByLabel('Position').inputValue()].map(t => t.split(',').map(Number))
  assert.ok(to[0] < from[0] && to[1] > from[1], `moved to the south-east: ${from} to ${to}`)
  assert.equal(await page.locator('.places fieldset').count(), 1)
}))

test('results are taken away, a failure is said, and the view is printed', () => on('#plan', async (page, context) => {
  await form(page, '30')
  await page.getByLabel('When').selectOption('day')
  await begin(page)
  await figures(page)
  const {results} = await get('/v1/jobs/' + jobOf(page))
  for (const name of results.map(r => r.name)) assert.ok(await page.getByRole('button', {name, exact: true}).isVisible(), name)
  const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', {name: 'map.svg', exact: true}).click()])
  assert.equal(download.suggestedFilename(), 'map.svg')
  await context.route('**/results/report.html', r => r.abort())
  await page.getByRole('button', {name: 'report.html', exact: true}).click()
  await page.getByText('report.html could not be fetched.').waitFor()
  await page.emulateMedia({media: 'print'})
  assert.ok(await page.getByText('Advice only').first().isVisible())
  assert.ok(!await page.getByRole('button', {name: 'Ask something else'}).isVisible())
  const pdf = (await page.pdf({format: 'A4'})).toString('latin1')
  assert.ok((pdf.match(/\/Type\s*\/Page\b(?!s)/g)?.length ?? 9) <= 4, 'a few pages')
}, {allow: [/ERR_FAILED/]}))

test('a result that is no longer kept is said, and so is a lost signal', () => on('#plan?job=0123456789abcdef0123', async page => {
  await page.getByText('This result is no longer kept.').waitFor()
  await page.route('**/v1/jobs**', r => r.abort())
  await page.getByRole('button', {name: 'Ask something else'}).click()
  await page.getByText('What was asked before could not be fetched.').waitFor()
  await page.unroute('**/v1/jobs**')
  await page.getByRole('button', {name: 'Try again'}).click()
  await page.getByText('What was asked before could not be fetched.').waitFor({state: 'detached'})
}, {allow: [/status of 404/, /ERR_FAILED/]}))

for (const light of ['day', 'night']) {
  test(`no barrier that axe finds in the plan view, by ${light}`, () => on('#plan?light=' + light, async page => {
    await form(page)
    await page.evaluate(() => document.querySelectorAll('details').forEach(d => { d.open = true }))
    await violations(page, 'coverage, the form')
    await page.getByLabel('When').selectOption('hours')
    await begin(page)
    await page.locator('.field.wrong').first().waitFor()
    await violations(page, 'coverage, faults')
    await page.getByLabel('When').selectOption('both')
    await begin(page)
    await figures(page)
    await page.waitForTimeout(300)
    await violations(page, 'coverage, figures')
    await page.getByRole('button', {name: 'Ask something else'}).click()
    await page.getByRole('button', {name: 'Where more would help'}).click()
    await page.getByRole('button', {name: 'One more place'}).click()
    await violations(page, 'siting, the form')
    await page.getByRole('button', {name: 'Remove place 1'}).click()
    await begin(page)
    await page.waitForSelector('.choice table', {timeout: 25_000})
    await page.getByRole('button', {name: 'Difference', exact: true}).click()
    await violations(page, 'siting, the choice')
  }))
}

test('at 320 px nothing is cut off and every target is large', () => on('#plan', async page => {
  await form(page, '30')
  const check = async about => {
    await fits(page, about)
    const small = await page.evaluate(() => [...document.querySelectorAll('main button, main summary, main input:not([type=checkbox]), main select, main label.check')]
      .filter(e => e.checkVisibility() && !e.closest('.ol-control')).map(e => [e.tagName, e.textContent.slice(0, 20), e.getBoundingClientRect()])
      .filter(([, , r]) => r.height < 43.5).map(([tag, text, r]) => `${tag} ${text} ${r.height}`))
    assert.deepEqual(small, [], about)
  }
  await check('the form')
  await page.getByRole('button', {name: 'Where more would help'}).click()
  await page.getByRole('button', {name: 'One more place'}).click()
  await check('siting')
  await page.getByRole('button', {name: 'Who is reached now'}).click()
  await begin(page)
  await figures(page)
  await check('figures')
}, {device: tiny}))

test('in the plan view names that are markup, right to left, endless or pictures stay text', async () => {
  const folder = join(temp.folder, 'hostile-plan')
  hostileRegion(folder)
  cpSync(join(root, 'testdata/demo/demand.csv'), join(folder, 'demand.csv'))
  const hostile = await serve(temp.folder, {region: folder})
  try {
    for (const device of [desk, tiny]) {
      await on('#plan', async page => {
        await form(page, '30')
        await page.getByRole('button', {name: 'Where more would help'}).click()
        await page.getByRole('button', {name: 'One more place'}).click()
        await page.getByRole('group', {name: 'place 1'}).getByLabel('Name').fill(names[0])
        await page.locator('.places').getByLabel('Position').fill('45.5, -29.4')
        await begin(page)
        await page.waitForSelector('.choice', {timeout: 25_000})
        await page.waitForTimeout(300)
        assert.equal(await page.evaluate(() => window.hacked), undefined)
        assert.equal(await page.locator('img, #page script').count(), 0)
        const text = await page.evaluate(() => document.body.innerText)
        assert.ok(names.some(n => text.includes(n.slice(0, 30))), 'the names are shown as they are')
        await fits(page, 'hostile names')
      }, {device, address: hostile.address})
    }
  } finally {
    await hostile.stop()
  }
})
