// Who can open the chest in time, on the page: what is shown is what the service answers.
import assert from 'node:assert/strict'
import {test} from 'node:test'
import {ask, desk, fits, on, tiny, violations} from './suite.mjs'

const at = '2031-03-14T21:40:00Z'
const lost = '2031-03-14T21:38:00Z'
const address = (view, more = {}) => `#${view}?` + new URLSearchParams({scene: '45.52, -29.41', at, landing: 'impossible', output_lost_at: lost, ...more})
const question = {at, scene: {position_text: '45.52, -29.41', landing: 'impossible'}, output_lost_at: lost, patient: undefined}
const headline = text => text.charAt(0).toUpperCase() + text.slice(1) + '.'
const says = (page, text) => page.waitForFunction(t => document.querySelector('.reach .sentence')?.textContent === t, headline(text))

for (const [view, device] of [['desk', desk], ['phone', tiny]]) {
  test(`on the ${view}, the teams that can open the chest are those of the service, until output is back`, () => on(device, address(view), async page => {
    const want = await ask(question, '/v1/reach')
    await says(page, want.headline)
    const coming = want.teams.filter(t => t.opening)
    assert.equal(await page.locator('.reach .team').count(), coming.length)
    const first = page.locator('.reach .team').first()
    assert.ok((await first.textContent()).includes(coming[0].name))
    assert.ok(await first.locator('.verdict').getByText('too late', {exact: true}).isVisible())
    assert.equal(await page.textContent('.reach .closes time'), want.closes_local.slice(11, 16))

    const cannot = want.teams.filter(t => !t.opening)
    assert.ok(cannot.length > 0)
    await page.getByText('With the skill, but cannot come').click()
    for (const t of cannot) assert.ok(await page.getByText(t.sentence).isVisible())
    await page.getByText('Without the skill').click()
    assert.ok(await page.getByText(want.others[0].sentence).isVisible())

    // the end of the window stands in every drawing where the clock has it, and what ends later stands right of it
    const ends = await page.evaluate(() => [...document.querySelectorAll('.reach-scale .closing, .reach-bars .closing')].map(e => Number(e.getAttribute('x1'))))
    assert.equal(new Set(ends).size, 1)
    assert.ok(Number(await first.locator('.meet line').getAttribute('x1')) > ends[0], 'too late is right of the end')

    if (view === 'phone') await page.locator('details.change > summary').click()
    await page.getByRole('button', {name: 'Output back: now'}).click()
    await page.locator('.reach').waitFor({state: 'detached'})
  }))

  for (const light of ['day', 'night']) {
    test(`on the ${view}, no barrier that axe finds in who can open the chest, by ${light}`, () => on(device, address(view, {light}), async page => {
      await page.waitForSelector('.reach .team')
      await page.evaluate(() => document.querySelectorAll('.reach details').forEach(d => { d.open = true }))
      await violations(page, view)
      await fits(page, view)
    }))
  }
}

test('who can open the chest follows what has happened', () => on(desk, address('desk'), async page => {
  await says(page, (await ask(question, '/v1/reach')).headline)
  const happened = [{asset: 'car-1', event: 'lifted', at: '2031-03-14T21:36:00Z'}]
  const want = await ask({...question, happened}, '/v1/reach')
  await page.evaluate(h => { location.hash = h }, address('desk', {happened: 'car-1,lifted,2031-03-14T21:36:00Z'}))
  await says(page, want.headline)
  assert.ok(await page.locator('.reach .team.in_time, .reach .team.unless_slow').first().isVisible())
}))

test('while output was never lost, nobody is asked who can open the chest', () => on(desk, address('desk', {output_lost_at: ''}), async page => {
  const asked = []
  page.on('request', r => { if (r.url().endsWith('/v1/reach')) asked.push(r.url()) })
  await page.reload()
  await page.waitForSelector('.read-out blockquote', {state: 'attached'})
  assert.deepEqual(asked, [])
  assert.equal(await page.locator('.reach').count(), 0)
}))
