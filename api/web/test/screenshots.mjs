// Pictures of every view, at desk and phone size, by day and by night, into the
// folder given (build/screenshots).
import {mkdirSync} from 'node:fs'
import {join, resolve} from 'node:path'
import {browserPath, launch, open, root, scratch, serve} from './harness.mjs'
import {query, scenario} from './scenes.mjs'

const out = resolve(process.argv[2] ?? join(root, 'build/screenshots'))
mkdirSync(out, {recursive: true})
if (browserPath() === undefined) {
  console.error('no chromium: install it, or name it in CHROMIUM')
  process.exit(1)
}
const only = process.argv[3]
const desk = {viewport: {width: 1360, height: 860}}
const phone = {viewport: {width: 390, height: 844}, deviceScaleFactor: 1}
const tiny = {viewport: {width: 320, height: 640}}
const paper = {viewport: {width: 1360, height: 1110}} // the page's foot stays at the window's
const shots = [
  ['desk-start-day', desk, '#desk?light=day'],
  ['desk-harbour-day', desk, '#desk' + query('harbour-stabbing', {light: 'day'})],
  ['desk-harbour-night', desk, '#desk' + query('harbour-stabbing', {light: 'night'})],
  ['desk-reach-day', desk, '#desk' + query('village-child', {light: 'day', output_lost_at: scenario('village-child').at}), {act: async page => { await page.waitForSelector('.reach .team'); await page.evaluate(() => document.querySelector('.reach').scrollIntoView()) }}],
  ['desk-child-day', desk, '#desk' + query('village-child', {light: 'day'})],
  ['desk-woods-day', desk, '#desk' + query('woods-by-night', {light: 'day'})],
  ['desk-island-night', desk, '#desk' + query('far-island', {light: 'night'})],
  ['desk-narrow-day', {viewport: {width: 820, height: 1180}}, '#desk' + query('harbour-stabbing', {light: 'day'}), {full: true}],
  ['phone-start-day', phone, '#phone?light=day'],
  ['phone-harbour-day', phone, '#phone' + query('harbour-stabbing', {light: 'day'})],
  ['phone-harbour-night', phone, '#phone' + query('harbour-stabbing', {light: 'night'})],
  ['phone-reach-night', phone, '#phone' + query('village-child', {light: 'night', output_lost_at: scenario('village-child').at}), {full: true, act: page => page.waitForSelector('.reach .team')}],
  ['phone-320-night', tiny, '#phone' + query('village-child', {light: 'night'}), {full: true}],
  ['region-day', desk, '#region?light=day', {act: async page => { await page.getByRole('button', {name: 'Ossuvaune General Hospital'}).click(); await page.waitForSelector('.leaves') }}],
  ['region-night', desk, '#region?light=night', {act: async page => { await page.getByRole('button', {name: 'Vehicles', exact: true}).click(); await page.getByRole('button', {name: 'Helicopter 1'}).click(); await page.waitForSelector('.leaves') }}],
  ['briefing-day', paper, '#briefing' + query('harbour-stabbing', {light: 'day'})],
  ['briefing-night', paper, '#briefing' + query('far-island', {light: 'night'})],
  ['plan-form-day', desk, '#plan?light=day'],
  ['plan-coverage-day', desk, '#plan?light=day', {act: page => plan(page)}],
  ['plan-coverage-night', desk, '#plan?light=night', {act: async page => { await plan(page); await page.getByRole('button', {name: 'midnight'}).click() }}],
  ['plan-siting-form-day', desk, '#plan?light=day', {act: siting}],
  ['plan-siting-day', desk, '#plan?light=day', {act: async page => { await siting(page); await plan(page, '10') }}],
  ['plan-difference-night', desk, '#plan?light=night', {act: async page => { await siting(page); await plan(page, '10'); await page.getByRole('button', {name: 'Difference', exact: true}).click() }}],
  ['plan-change-form-night', desk, '#plan?light=night', {act: change}],
  ['plan-change-day', desk, '#plan?light=day', {act: async page => { await change(page); await plan(page) }}],
  ['plan-change-difference-day', desk, '#plan?light=day', {act: async page => { await change(page); await plan(page); await page.getByRole('button', {name: 'Difference', exact: true}).click() }}],
  ['plan-change-phone-night', phone, '#plan?light=night', {act: async page => { await change(page); await plan(page, '10') }, full: true}],
  ['plan-phone-day', phone, '#plan?light=day', {act: page => plan(page, '10'), full: true}],
  ['plan-320-night', tiny, '#plan?light=night', {act: siting, full: true}],
]

/** Starts a job of the plan view with cells of so many kilometres, and waits for its figures. */
async function plan(page, km = '5') {
  await page.getByLabel('Cells').fill(km)
  await page.getByRole('button', {name: 'Work it out'}).click()
  await page.waitForSelector('.within td', {timeout: 120_000})
  await page.waitForTimeout(800)
}

/** Asks where one more helicopter would help, a place in the south among the bases. */
async function siting(page) {
  await page.getByRole('button', {name: 'Where more would help'}).click()
  await page.getByRole('button', {name: 'One more place'}).click()
  await page.getByRole('group', {name: 'place 1'}).getByLabel('Name').fill('Southern cape')
  await page.locator('.places').getByLabel('Position').fill('45.21, -29.6')
}

/** Puts one more helicopter into the south, in place of that of the north. */
async function change(page) {
  await page.getByRole('button', {name: 'What a change would do'}).click()
  await page.getByRole('button', {name: 'One more place'}).click()
  await page.getByLabel('Name', {exact: true}).fill('Southern cape')
  await page.getByLabel('Position').fill('45.21, -29.6')
  for (const kind of ['add', 'take']) {
    await page.getByRole('button', {name: 'Add a change'}).click()
    await page.getByRole('group', {name: `Change ${kind === 'add' ? 1 : 2}`}).getByLabel('Do').selectOption(kind)
  }
  await page.getByLabel('At', {exact: true}).selectOption({label: 'Southern cape'})
  await page.getByRole('group', {name: 'Change 2'}).getByLabel('Vehicle').selectOption({label: 'Helicopter 4'})
  await page.getByLabel('Call it').fill('From the north to the Southern cape')
}

const temp = scratch()
const server = await serve(temp.folder)
const browser = await launch()
try {
  for (const [name, device, hash, how = {}] of shots) {
    if (only !== undefined && !name.includes(only)) continue
    const {page, context, bad, breaches} = await open(browser, server.address, {hash, ...device})
    await page.waitForSelector(hash.includes('scene=') || hash.includes('facility=') ? '.meeting, .card' : hash.startsWith('#plan') ? '.plan-form' : '.examples button, .lists tbody tr')
    await how.act?.(page)
    await page.waitForTimeout(500) // the map has drawn
    await page.screenshot({path: join(out, name + '.png'), fullPage: how.full === true})
    const wrong = [...bad, ...await breaches()]
    console.log(name, wrong.length === 0 ? '' : wrong)
    if (name === 'briefing-day') {
      for (const format of ['A4', 'Letter']) await page.pdf({path: join(out, `briefing-${format}.pdf`), format, preferCSSPageSize: false})
    }
    await context.close()
  }
} finally {
  await browser.close()
  await server.stop()
  temp.remove()
}
