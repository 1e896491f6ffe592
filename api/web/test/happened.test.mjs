// What has happened, noted on the page: the answer follows it.
import assert from 'node:assert/strict'
import {test} from 'node:test'
import {desk, fits, on, tiny, violations} from './suite.mjs'

// nobody is with the patient yet
const begun = (more = {}) => '?' + new URLSearchParams({scene: '45.52, -29.41', at: '2031-03-14T21:40:00Z', landing: 'impossible', ...more})

/** Does something that changes the question, and returns the answer that follows. */
async function after(page, act) {
  const answer = page.waitForResponse(r => r.url().endsWith('/v1/options') && r.ok())
  await act()
  const got = await (await answer).json()
  await page.waitForFunction(() => document.querySelector('#ways')?.getAttribute('aria-busy') === 'false')
  return got
}

const spread = answer => answer.options[0].spread.p90_s - answer.options[0].spread.p10_s
const noted = page => page.locator('.happened li')
const next = (page, event) => page.locator('.happened .actions').getByRole('button', {name: event}).first()
const field = (page, id) => page.locator('#' + id)

for (const [view, device] of [['desk', desk], ['phone', tiny]]) {
  const shown = async page => {
    await page.waitForSelector('.happened .actions')
    if (view === 'phone') await page.locator('details.change > summary').click()
  }

  test(`on the ${view}, what has happened narrows the answer, stays in the address, and is taken back`, () => on(device, `#${view}` + begun(), async page => {
    await shown(page)
    for (const what of ['Output lost', 'Output back']) await after(page, () => page.getByRole('button', {name: `${what}: now`}).click())
    await page.waitForFunction(() => /after output was lost.*after it came back/.test(document.querySelector('.since')?.textContent ?? ''))
    const answers = [await after(page, () => next(page, /: (lifted|set off)$/).click())]
    for (const event of [/: at the scene$/, /: patient aboard$/, /: left$/]) answers.push(await after(page, () => next(page, event).click()))
    assert.equal(await noted(page).count(), 4)
    assert.ok(spread(answers[3]) < spread(answers[0]), `the range narrows: ${answers.map(spread)}`)
    assert.ok(answers[3].options.every(o => o.assets.includes(answers[3].options[0].assets[0])), 'the patient stays in the vehicle they are in')

    await page.reload()
    await shown(page)
    assert.equal(await noted(page).count(), 4)
    assert.notEqual(await field(page, 'output-lost').inputValue(), '')
    const before = await after(page, () => page.getByRole('button', {name: /^undo .*: left$/}).click())
    assert.equal(await noted(page).count(), 3)
    assert.equal(spread(before), spread(answers[2]))
  }))

  test(`on the ${view}, a fault of what has happened stands at its field, also with no answer yet`, () => on(device, `#${view}` + begun({
    happened: 'amb-11,at_scene,2031-01-01T00:00:00Z', output_lost_at: '2031-01-01T00:00:00Z',
  }), async page => {
    await page.locator('.happened li .fault').waitFor()
    await page.locator('#output-lost-fault').waitFor()
    assert.equal(await page.locator('.happened input').getAttribute('aria-invalid'), 'true')
    await violations(page, view + ', faults')
    await fits(page, view + ', faults')
    const lost = field(page, 'output-lost')
    await lost.fill('')
    await page.locator('#output-lost-fault').waitFor({state: 'detached'})
    await after(page, () => page.getByRole('button', {name: /^undo /}).click())
    await page.waitForSelector('.happened .actions')
    assert.equal(await noted(page).count(), 0)
  }, {allow: [/status of 422/]}))

  for (const light of ['day', 'night']) {
    test(`on the ${view}, no barrier that axe finds in what has happened, by ${light}`, () => on(device, `#${view}` + begun({
      light, happened: 'amb-11,at_scene,2031-03-14T21:20:00Z;heli-1,lifted,2031-03-14T21:20:00Z', output_lost_at: '2031-03-14T21:21:00Z',
    }), async page => {
      await shown(page)
      await violations(page, view)
      await fits(page, view)
      const small = await page.evaluate(() => [...document.querySelectorAll('.happened button, .times button, .happened input, .times input')]
        .map(e => [e.textContent, e.getBoundingClientRect().height]).filter(([, h]) => h < (document.documentElement.dataset.view === 'phone' ? 47.5 : 24)))
      assert.deepEqual(small, [])
    }))
  }
}

test('what has happened is noted by keyboard, and its time is put right', () => on(desk, '#desk' + begun(), async page => {
  await next(page, /: (lifted|set off)$/).focus()
  await after(page, () => page.keyboard.press('Enter'))
  const at = await page.locator('.happened input').inputValue()
  await page.locator('.happened input').focus()
  await page.keyboard.press('Shift+Tab')
  await page.keyboard.press('Tab')
  await after(page, () => page.keyboard.press('ArrowDown')) // an hour sooner
  const put = await page.locator('.happened input').inputValue()
  assert.equal(Number(put.slice(0, 2)), (Number(at.slice(0, 2)) + 23) % 24)
  await page.getByRole('button', {name: /^undo /}).focus()
  await after(page, () => page.keyboard.press('Space'))
  assert.equal(await noted(page).count(), 0)
}))
