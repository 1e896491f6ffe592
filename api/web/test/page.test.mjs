// The page in a browser, against the program itself.
import assert from 'node:assert/strict'
import {join} from 'node:path'
import {test} from 'node:test'
import {command, serve} from './harness.mjs'
import {hostileRegion, names} from './hostile.mjs'
import {query, scenario, scenes} from './scenes.mjs'
import {answered, ask, desk, halfTyped, on, scene, server, temp, tiny, violations} from './suite.mjs'

const clockOf = local => local.slice(11, 16)

// Each scene from the first look to paper: what is shown is what the service answers.
for (const name of scenes.slice(0, 5)) {
  test(`${name}, from the scene to the printed briefing`, () => on(desk, '', async page => {
    const want = await ask(scenario(name))
    const first = want.options[0]
    const doc = await (await fetch(server.address + '/v1/openapi.json')).json()
    const summary = doc.paths['/v1/options'].post.requestBody.content['application/json'].examples[name].summary
    await page.getByRole('button', {name: summary, exact: true}).click()
    await answered(page)
    assert.equal(await page.textContent('.meeting .both time'), clockOf(first.with_surgeon_local))
    assert.equal(await page.textContent('.board .sentence'), first.sentence)
    assert.equal(await page.locator('.way').count(), want.options.length)
    if (want.decide_by) assert.match(await page.textContent('.decide-by'), new RegExp(clockOf(want.decide_by.latest_start_local)))
    assert.equal(await page.getByText(want.caution).count(), 1)
    assert.ok(await page.getByText('DEMONSTRATION', {exact: true}).isVisible())
    await page.getByRole('button', {name: 'Briefing'}).last().click()
    await page.waitForSelector('.read-out blockquote')
    const message = await fetch(server.address + '/v1/pre-alert', {method: 'POST', headers: {'Content-Type': 'application/json'},
      body: JSON.stringify({...scenario(name), option: first.id})})
    assert.equal(await page.textContent('.read-out blockquote'), (await message.json()).text)
    for (const format of ['A4', 'Letter']) {
      const pdf = (await page.pdf({format, margin: {top: '12mm', bottom: '12mm', left: '12mm', right: '12mm'}})).toString('latin1')
      assert.equal(pdf.match(/\/Type\s*\/Page\b(?!s)/g)?.length, 1, `one ${format} page`)
    }
  }))
}

test('a position is read as it is typed, and what is wrong stands at its field', () => on(desk, '#desk', async page => {
  const field = page.getByRole('textbox', {name: 'Patient at'})
  await field.fill('45 31.2N 029 24.6W')
  await answered(page)
  await page.getByText('read as degrees and minutes').waitFor()
  await field.fill('95, 200')
  await page.getByText('This cannot be answered yet').waitFor()
  assert.equal(await field.getAttribute('aria-invalid'), 'true')
  await field.fill('45.52, -29.41')
  await page.getByText('read as decimal degrees').waitFor()
  await page.getByRole('textbox', {name: 'Age'}).fill('500')
  await page.locator('.field.wrong .fault').waitFor()
  await page.getByRole('textbox', {name: 'Wind'}).fill('strong')
  await page.getByText('Write the wind as direction and knots').waitFor()
}, {allow: [halfTyped]}))

test('the scene is set by a click and by a key, and moved by dragging its mark', () => on(desk, '#desk', async page => {
  const field = () => page.inputValue('[name=scene]')
  const changed = old => page.waitForFunction(o => document.querySelector('[name=scene]').value !== o, old)
  await page.getByRole('button', {name: 'A child in a village'}).waitFor()
  await page.waitForSelector('#map canvas')
  await page.waitForTimeout(300) // the map has drawn
  const box = await page.locator('#map').boundingBox()
  const middle = [box.x + box.width / 2, box.y + box.height / 2]
  await page.mouse.click(box.x + box.width * 0.4, box.y + box.height * 0.4)
  await answered(page)
  const clicked = await field()
  assert.match(clicked, /^-?\d+\.\d{5}, -?\d+\.\d{5}$/)
  await page.locator('#map').focus()
  await page.keyboard.press('Enter')
  await changed(clicked)

  // in the open sea nothing else is drawn, and the mark stands in the middle
  await page.goto(server.address + '/#desk?scene=44.9,-28.2&only=amb-11')
  await page.getByText('There is no way out').waitFor()
  await page.waitForTimeout(600) // the map has come to rest
  await page.mouse.move(...middle)
  await page.mouse.down()
  await page.mouse.move(middle[0] + 30, middle[1] + 20, {steps: 4})
  await page.mouse.move(middle[0] + 90, middle[1] + 60, {steps: 4})
  await page.mouse.up()
  await changed('44.9,-28.2')
  const [lat, lon] = (await field()).split(',').map(Number)
  assert.ok(lat < 44.9 && lat > 44.7 && lon > -28.2 && lon < -28, `moved to the south-east: ${lat}, ${lon}`)
}))

test('answers follow every change, and only the newest is shown', () => on(desk, scene('harbour-stabbing')('desk'), async page => {
  await answered(page)
  let asked = 0
  page.on('request', r => { if (r.url().endsWith('/v1/options')) asked++ })
  await page.evaluate(() => {
    const field = document.querySelector('.field.tiny input')
    for (const age of ['40', '41', '42', '43', '8']) {
      field.value = age
      field.dispatchEvent(new Event('input', {bubbles: true}))
    }
  })
  await page.getByText('a child: under 16 years').waitFor()
  assert.equal(asked, 1, 'what is typed in one go is asked once')
  await page.getByRole('combobox', {name: 'Order by'}).selectOption('slow')
  const want = await ask({...scenario('harbour-stabbing'), patient: {...scenario('harbour-stabbing').patient, age_years: 8}, rank_by: 'slow'})
  await page.waitForFunction(s => document.querySelector('.board .sentence')?.textContent === s, want.options[0].sentence)
}))

test('the address alone brings a colleague the same view', () => on(desk, scene('far-island')('desk'), async (page, context) => {
  await answered(page)
  await page.locator('.way input').nth(1).check({force: true})
  const sentence = await page.textContent('.board .sentence')
  const other = await context.newPage()
  await other.goto(page.url())
  await answered(other)
  assert.equal(await other.textContent('.board .sentence'), sentence)
}))

test('nothing of a question stands in an address that is requested', () => on(desk, '', async page => {
  const urls = []
  page.on('request', r => urls.push(r.url()))
  await page.goto(server.address + '/' + scene('harbour-stabbing')('desk'))
  await page.reload()
  await answered(page)
  await page.waitForTimeout(300)
  assert.deepEqual(urls.filter(u => /45\.5|29\.4|scene=|age_years/.test(u.split('#')[0])), [])
}))

test('by keyboard alone', () => on(desk, '', async page => {
  await page.getByRole('button', {name: 'A cliff path far from the road'}).waitFor()
  await page.keyboard.press('/')
  await page.keyboard.type('45.52, -29.41')
  await answered(page)
  await page.keyboard.press('Escape')
  const first = await page.textContent('.board .sentence')
  await page.keyboard.press('ArrowDown')
  await page.waitForFunction(s => document.querySelector('.board .sentence').textContent !== s, first)
  await page.keyboard.press('1')
  await page.waitForFunction(s => document.querySelector('.board .sentence').textContent === s, first)
  await page.keyboard.press('x')
  await page.waitForSelector('.excluded[open]')
  assert.equal(await page.evaluate(() => document.activeElement.parentElement.id), 'excluded')
  await page.keyboard.press('Tab')
  await page.keyboard.press('Enter')
  await page.waitForSelector('.excluded details[open] li')
  const ring = await page.evaluate(() => getComputedStyle(document.activeElement).outlineStyle)
  assert.equal(ring, 'solid', 'what has the focus is seen')
  await page.keyboard.press('a')
  await page.waitForSelector('.message[open] blockquote')
  await page.keyboard.press('?')
  await page.waitForSelector('dialog.help[open]')
  await page.keyboard.press('Escape')
  await page.waitForSelector('dialog.help', {state: 'detached'})
  await page.keyboard.press('n')
  await page.waitForSelector('html[data-light=night]')
  await page.keyboard.press('p')
  await page.waitForSelector('.sheet-of-paper')
  await page.keyboard.press('d')
  await page.waitForSelector('.board')
}, {allow: [halfTyped]}))

test('at 320 px: three ways at most, nothing cut off, every target large', () => on(tiny, scene('village-child')(''), async page => {
  await page.waitForSelector('.card.open')
  assert.ok(await page.locator('.card').count() <= 3)
  for (const press of [null, '.message > summary', '.change > summary']) {
    if (press) await page.locator(press).click()
    await page.waitForTimeout(200)
    const wide = await page.evaluate(() => document.documentElement.scrollWidth)
    assert.ok(wide <= 320, `${wide} px wide after ${press}`)
  }
  const small = await page.evaluate(() => [...document.querySelectorAll('button, summary, input:not([type=checkbox]), select, textarea, label.check')]
    .filter(e => e.checkVisibility() && !e.closest('.skip')).map(e => [e.tagName, e.textContent.slice(0, 20), e.getBoundingClientRect()])
    .filter(([, , r]) => r.height < 47.5).map(([tag, text, r]) => `${tag} ${text} ${r.height}`))
  assert.deepEqual(small, [])
  await page.locator('.card').nth(1).click()
  await page.waitForFunction(() => document.querySelectorAll('.card')[1].classList.contains('open'))
}))

test('the device says where it stands, when it is told to and not before', () => on(
  {...tiny, geolocation: {latitude: 45.52, longitude: -29.41}, permissions: ['geolocation']}, '#phone', async page => {
    await page.evaluate(() => {
      window.asked = 0
      const find = navigator.geolocation.getCurrentPosition
      navigator.geolocation.getCurrentPosition = function (...args) { window.asked++; return find.apply(this, args) }
    })
    const button = page.getByRole('button', {name: 'Where I stand'})
    await button.waitFor()
    assert.equal(await page.evaluate(() => window.asked), 0)
    await button.click()
    await page.waitForSelector('.card.open')
    assert.equal(await page.evaluate(() => window.asked), 1)
    assert.ok((await page.evaluate(() => decodeURIComponent(location.hash))).includes('45.52000,+-29.41000'))
  }))

for (const light of ['day', 'night']) {
  test(`no barrier that axe finds, by ${light}`, () => on(desk, '#desk?light=' + light, async page => {
    await page.getByRole('button', {name: 'A child in a village'}).waitFor()
    await violations(page, 'desk, nothing asked')
    await page.goto(server.address + '/' + '#desk' + query('harbour-stabbing', {light}))
    await answered(page)
    await page.evaluate(() => document.querySelectorAll('details').forEach(d => { d.open = true }))
    await page.waitForSelector('.read-out blockquote')
    await violations(page, 'desk, all open')
    await page.evaluate(() => document.querySelectorAll('details').forEach(d => { d.open = false }))
    await page.keyboard.press('?')
    await page.waitForSelector('dialog[open]')
    await violations(page, 'help')
    await page.keyboard.press('Escape')
    await page.goto(server.address + '/' + '#briefing' + query('harbour-stabbing', {light}))
    await page.waitForSelector('.read-out blockquote')
    await violations(page, 'briefing')
    await page.goto(server.address + '/' + '#phone' + query('harbour-stabbing', {light}))
    await page.waitForSelector('.card.open')
    await page.evaluate(() => document.querySelectorAll('details').forEach(d => { d.open = true }))
    await violations(page, 'phone')
    await page.goto(server.address + '/' + '#phone?light=' + light)
    await page.getByText('Where is the patient?').waitFor()
    await violations(page, 'phone, nothing asked')
    await page.goto(server.address + '/' + '#region?light=' + light)
    await page.getByRole('button', {name: 'Ettuquar Heart and Chest Hospital'}).click()
    await page.waitForSelector('.leaves input')
    await violations(page, 'region, one place')
    await page.getByRole('button', {name: 'Change as text'}).click()
    await violations(page, 'region, as text')
    for (const tab of ['History', 'Import']) {
      await page.getByRole('button', {name: tab, exact: true}).click()
      await page.waitForTimeout(150)
      await violations(page, 'region, ' + tab)
    }
  }))
}

test('names that are markup, right to left, endless or pictures stay text', async () => {
  hostileRegion(join(temp.folder, 'hostile'))
  const hostile = await serve(temp.folder, {region: join(temp.folder, 'hostile')})
  try {
    await on(tiny, '#region', async page => {
      await page.locator('.lists tbody button').nth(2).click()
      await page.waitForSelector('.leaves input')
      assert.equal(await page.locator('img, #page script').count(), 0)
      assert.ok(await page.evaluate(() => document.documentElement.scrollWidth) <= 320)
    }, {address: hostile.address})
    for (const [view, device] of [['desk', desk], ['phone', tiny], ['briefing', desk]]) {
      await on(device, scene('harbour-stabbing')(view), async page => {
        await page.waitForSelector('.meeting, .card')
        await page.evaluate(() => document.querySelectorAll('details').forEach(d => { d.open = true }))
        await page.waitForSelector('.read-out blockquote')
        await page.waitForTimeout(300)
        assert.equal(await page.evaluate(() => window.hacked), undefined)
        assert.equal(await page.locator('img, #page script').count(), 0)
        const text = await page.evaluate(() => document.body.innerText)
        assert.ok(names.some(n => text.includes(n.slice(0, 30))), 'the names are shown as they are')
        const [wide, window] = await page.evaluate(() => [document.documentElement.scrollWidth, innerWidth])
        assert.ok(wide <= window, `${view}: ${wide} px in ${window}`)
      }, {address: hostile.address})
    }
  } finally {
    await hostile.stop()
  }
})

test('without signal the last answer stays with its age, also after a reload, until the signal is back', async () => {
  let own = await serve(temp.folder)
  const {port} = own
  try {
    await on(tiny, scene('harbour-stabbing')('phone'), async page => {
      await page.waitForSelector('.card.open')
      await page.evaluate(() => navigator.serviceWorker.ready)
      await page.waitForFunction(async () => (await caches.keys()).length === 1 && await caches.match('/', {ignoreVary: true}))
      const sentence = await page.textContent('.card.open .dest')
      await own.stop()
      own = null
      await page.locator('.change > summary').click()
      await page.getByRole('textbox', {name: 'Age'}).fill('35')
      await page.getByText('No signal. This answer is').waitFor()
      assert.equal(await page.textContent('.card.open .dest'), sentence)
      await page.getByRole('textbox', {name: 'Age'}).fill('34')
      await page.reload()
      await page.getByText('No signal. This answer is').waitFor()
      assert.equal(await page.textContent('.card.open .dest'), sentence)
      own = await serve(temp.folder, {listen: '127.0.0.1:' + port})
      await page.getByText('answered less than a minute ago').waitFor()
      assert.equal(await page.getByText('No signal').count(), 0)
    }, {address: own.address, allow: [/ERR_CONNECTION_REFUSED|ERR_FAILED|ERR_CONNECTION_RESET/]})
  } finally {
    await own?.stop()
  }
})

/** Runs a test against a service of its own, whose lists it may change. */
async function onOwn(how, run) {
  const own = await serve(temp.folder, how)
  try {
    await run(own.address)
  } finally {
    await own.stop()
  }
}

const sentenceOf = page => page.textContent('.board .sentence')
const other = (page, old) => page.waitForFunction(o => document.querySelector('.board .sentence') && document.querySelector('.board .sentence').textContent !== o, old)

test('what one desk says changes the answer at another', () => onOwn({}, address => on(desk, scene('harbour-stabbing')('desk'), async (here, context) => {
  await answered(here)
  const before = await sentenceOf(here)
  const there = await context.newPage()
  await there.goto(address + '/' + scene('harbour-stabbing')('desk'))
  await answered(there)
  await there.waitForTimeout(500) // it listens
  await here.getByRole('button', {name: 'Say what has changed'}).click()
  await here.getByLabel('What', {exact: true}).selectOption({label: 'Ossuvaune General Hospital'})
  await here.getByLabel('Because').fill('theatre flooded')
  await here.getByRole('button', {name: 'Say it'}).click()
  await here.getByText('Said: Ossuvaune General Hospital, diverting.').waitFor()
  await other(there, before)
  await there.getByText('local has changed the region: Ossuvaune General Hospital, diverts.').waitFor()
  assert.ok(!(await sentenceOf(there)).includes('to Ossuvaune General Hospital'))
  await other(here, before)
  await here.getByLabel('is now').selectOption('open')
  await here.getByRole('button', {name: 'Say it'}).click()
  await there.waitForFunction(s => document.querySelector('.board .sentence')?.textContent === s, before)
  await here.getByLabel('What', {exact: true}).selectOption({label: 'Iquorell Narrows bridge'})
  await here.getByRole('button', {name: 'Say it'}).click()
  await here.getByRole('alert').waitFor() // a reason is needed to close it
  await here.getByLabel('Because').fill('wind')
  await here.getByRole('button', {name: 'Say it'}).click()
  await there.getByText('Iquorell Narrows bridge, closed').waitFor()
}, {address, allow: [halfTyped]})))

test('two edits of one place: neither is lost, and faults stand at their fields', () => onOwn({}, address => on(desk, '#region', async (here, context) => {
  const openPlace = async page => {
    await page.getByRole('button', {name: 'Quorreth Hospital'}).click()
    await page.waitForSelector('.leaves input')
  }
  await openPlace(here)
  const there = await context.newPage()
  await there.goto(address + '/#region')
  await openPlace(there)
  await there.getByLabel('pad, lit').selectOption('true')
  await here.getByLabel('name', {exact: true}).fill('Quorreth New Hospital')
  await here.getByLabel('Reason, for the history').fill('moved to the new building — größer')
  await here.getByRole('button', {name: 'Save', exact: true}).click()
  await here.getByText('Saved.', {exact: true}).waitFor()
  await there.getByText('local has changed the region').waitFor()
  await there.getByRole('button', {name: 'Save', exact: true}).click()
  await there.getByText('it has been changed since you read it').waitFor()
  await there.getByRole('button', {name: 'Read what is there now, keep my changes'}).click()
  await there.waitForFunction(() => [...document.querySelectorAll('.leaves input')].some(i => i.value === 'Quorreth New Hospital'))
  await there.getByRole('button', {name: 'Save', exact: true}).click()
  await there.getByText('Saved.', {exact: true}).waitFor()
  const now = await (await fetch(address + '/v1/facilities/quorreth-hospital')).json()
  assert.equal(now.properties.name, 'Quorreth New Hospital')
  assert.equal(now.properties.pad.lit, true)

  await here.getByLabel('kind', {exact: true}).fill('hospitl')
  await here.getByRole('button', {name: 'Save', exact: true}).click()
  await here.locator('.field.wrong', {hasText: 'did you mean "hospital"'}).waitFor()
  await here.getByRole('button', {name: 'Drop the changes'}).click()

  await here.getByRole('button', {name: 'History', exact: true}).click()
  await here.getByText('moved to the new building — größer').waitFor()
  await here.locator('.history tbody tr').last().getByRole('button', {name: 'Restore'}).click()
  await here.getByRole('button', {name: 'Really restore?'}).click()
  await here.getByText('The region is as it was in version 1.').waitFor()
  assert.equal((await (await fetch(address + '/v1/facilities/quorreth-hospital')).json()).properties.name, 'Quorreth Hospital')

  const fleet = await (await fetch(address + '/v1/assets')).json()
  fleet.assets = fleet.assets.filter(a => a.id !== 'heli-4')
  fleet.assets[0].name = 'Helicopter One'
  await here.getByRole('button', {name: 'Import', exact: true}).click()
  await here.getByLabel('In place of').selectOption('fleet.json')
  await here.getByLabel('File', {exact: true}).setInputFiles({name: 'fleet.json', mimeType: 'application/json', buffer: Buffer.from(JSON.stringify(fleet))})
  await here.getByRole('button', {name: 'What would it change?'}).click()
  await here.getByText('1 removed.').waitFor()
  await here.getByText('1 changed.').waitFor()
  assert.equal((await (await fetch(address + '/v1/assets')).json()).assets[0].name, 'Helicopter 1', 'looking changes nothing')
  await here.getByRole('button', {name: 'Put it in place'}).click()
  await here.getByText('In place, as version').waitFor()
  assert.equal((await (await fetch(address + '/v1/assets')).json()).assets[0].name, 'Helicopter One')
}, {address, allow: [halfTyped, /status of 412/]})))

test('what is launched is noted in the record', () => onOwn({more: ['--record', join(temp.folder, 'record')]}, address => on(desk, scene('harbour-stabbing')('desk'), async page => {
  await answered(page)
  await page.getByRole('button', {name: 'Note as launched'}).click()
  await page.getByText('noted in the record at').waitFor()
  const review = await (await fetch(address + '/v1/records')).text()
  assert.match(review, /road:amb-11\+car-1:ossuvaune-general/)
}, {address})))

test('where the service wants to know who asks, the page asks for a token', async () => {
  const tokens = join(temp.folder, 'tokens')
  const text = command(temp.folder, 'token', 'create', '--tokens', tokens, '--name', 'north desk', '--role', 'desk')
  const token = text.match(/\bsw[A-Za-z0-9_.-]{20,}|[A-Za-z0-9_-]{40,}/)?.[0]
  assert.ok(token, 'a token is shown')
  await onOwn({more: ['--tokens', tokens]}, address => on(desk, scene('harbour-stabbing')('desk'), async page => {
    await page.getByLabel('Token').fill(token)
    await page.getByRole('button', {name: 'Go on'}).click()
    await answered(page)
    await page.reload()
    await answered(page)
    assert.equal(await page.locator('dialog').count(), 0)
  }, {address, allow: [/status of 401/]}))
})
