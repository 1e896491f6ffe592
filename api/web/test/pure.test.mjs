// What needs no browser: the address, the question, the layout of lanes, lines.
import assert from 'node:assert/strict'
import {mkdtempSync, rmSync, writeFileSync} from 'node:fs'
import {tmpdir} from 'node:os'
import {join} from 'node:path'
import {after, test} from 'node:test'
import {pathToFileURL} from 'node:url'
import {gzipSync} from 'node:zlib'
import {build} from 'esbuild'
import {PMTiles, zxyToTileId} from 'pmtiles'
import {root} from './harness.mjs'
import {query, scenario, scenes} from './scenes.mjs'
import {archive, directory} from './tiles.mjs'

const folder = mkdtempSync(join(tmpdir(), 'surgeonward-pure-'))
after(() => rmSync(folder, {recursive: true, force: true}))
const src = join(root, 'api/web/src')
const entry = join(folder, 'entry.ts')
writeFileSync(entry, ['state', 'facts', 'reach_layout', 'archive', 'lanes_layout', 'geometry', 'format', 'excluded', 'events', 'leaves', 'say_changes', 'history_view', 'plan', 'plan_cells', 'plan_change', 'plan_pairs', 'palette'].map(m => `export * from ${JSON.stringify(join(src, m))}`).join('\n'))
await build({entryPoints: [entry], outfile: join(folder, 'all.mjs'), bundle: true, format: 'esm', jsx: 'automatic', jsxImportSource: 'preact', nodePaths: [join(root, 'api/web/node_modules')]})
const page = await import(pathToFileURL(join(folder, 'all.mjs')))

test('an address says the same after it is read and written', () => {
  for (const name of scenes) {
    const state = page.fromHash('#desk' + query(name, {light: 'night', pick: 'road:a+b:c', wind: '240/18G28', reports: 'METAR QQOV 1=\nTAF &#?', only: 'a,b', job: '0a1b', hour: '1', side: 'difference'}))
    assert.deepEqual(page.fromHash(page.toHash(state)), state, name)
  }
  assert.deepEqual(page.fromHash(''), page.blank)
  assert.equal(page.toHash(page.blank), '#')
  for (const junk of ['#nothing?%%%', '#desk?states=;;,,&carry_s=9-&light=blue&landing=maybe', '#desk?scene=' + 'x'.repeat(5000)]) {
    const state = page.fromHash(junk)
    assert.deepEqual(page.fromHash(page.toHash(state)), state, junk.slice(0, 40))
  }
})

test('an address asks the question of its scene', () => {
  for (const name of scenes) {
    const want = scenario(name)
    const got = page.toQuestion(page.fromHash('#desk' + query(name)), want.limit)
    if (want.scene.position) {
      const [lon, lat] = want.scene.position
      assert.equal(got.scene.position_text, `${lat}, ${lon}`)
      delete got.scene.position_text
      delete want.scene.position
    }
    delete want.rank_by // the default
    delete got.conditions
    assert.deepEqual(got, want, name)
    assert.deepEqual(page.toQuestion(page.fromQuestion(scenario(name)), 10).patient, scenario(name).patient, name)
  }
})

test('a wind is read as it is spoken', () => {
  assert.deepEqual(page.readWind('240/18'), {from_deg: 240, speed_kt: 18})
  assert.deepEqual(page.readWind(' 060 / 5 G 20 kt'), {from_deg: 60, speed_kt: 5, gust_kt: 20})
  for (const wrong of ['', '240', 'west 10', '240/', '1e3/5', '240/18G']) assert.equal(page.readWind(wrong), null, wrong)
})

const step = (id, lane, start, end, more = {}) => ({id, lane, kind: 'travel', after: [], start_s: start, end_s: end, slow_s: 0, slack_s: 0, critical: false, basis: '', ...more})

test('steps that overlap stand in rows of their own, those of one vehicle in one row', () => {
  const option = {activities: [
    step('a', 'vehicle', 0, 100, {asset: 'one'}), step('b', 'vehicle', 0, 50, {asset: 'two'}),
    step('c', 'vehicle', 50, 90, {asset: 'two', after: ['b']}), step('d', 'vehicle', 100, 120, {asset: 'one', after: ['a']}),
    step('e', 'patient', 0, 70), step('f', 'hospital', 0, 30), step('g', 'hospital', 30, 60, {after: ['f']}), step('h', 'hospital', 30, 40, {after: ['f']}),
    step('meet', 'hospital', 120, 120, {kind: 'with_surgeon', after: ['d', 'g', 'h']}),
  ]}
  const lanes = page.lanesOf(option)
  assert.deepEqual(lanes.map(l => [l.lane, l.rows]), [['vehicle', 2], ['patient', 1], ['hospital', 2]])
  const row = Object.fromEntries(lanes.flatMap(l => l.bars.map(b => [b.activity.id, b.row])))
  assert.equal(row.a, row.d)
  assert.equal(row.b, row.c)
  assert.equal(row.f, row.g)
  for (const lane of lanes) {
    for (const x of lane.bars) {
      for (const y of lane.bars) {
        if (x === y || x.row !== y.row) continue
        assert.ok(x.activity.end_s <= y.activity.start_s || y.activity.end_s <= x.activity.start_s, `${x.activity.id} over ${y.activity.id}`)
      }
    }
  }
})

test('the two clocks are when each side is ready, waiting left out', () => {
  const option = {total: {typical_s: 120}, activities: [
    step('handover', 'patient', 60, 80), step('call_in', 'hospital', 0, 120), step('theatre', 'hospital', 0, 90),
    step('wait', 'patient', 80, 120, {kind: 'wait', after: ['handover']}),
    step('meet', 'hospital', 120, 120, {kind: 'with_surgeon', after: ['handover', 'call_in', 'theatre']}),
  ]}
  assert.deepEqual(page.clocksOf(option), {patient: 80, surgeon: 120, together: 120})
})

test('marks on the clock are round minutes of the wall clock', () => {
  // decided at 19:43:20, marks at least nine minutes apart
  const marks = page.ticks(3600, 19 * 3600 + 43 * 60 + 20, 540)
  assert.deepEqual(marks.slice(0, 2), [400, 1000]) // 19:50, 20:00
  assert.ok(marks.at(-1) <= 3600)
})

test('a clock shows the region’s time, whatever the browser’s zone', () => {
  const clock = new page.WallClock('2031-03-14T19:40:00-02:00')
  assert.equal(clock.after(0), '19:40')
  assert.equal(clock.after(1860), '20:11')
  assert.equal(clock.at('2031-03-14T22:11:00Z'), '20:11')
  assert.equal(clock.zone, 'UTC−02:00')
  assert.equal(new page.WallClock('2031-03-14T19:40:00+05:30').zone, 'UTC+05:30')
})

test('a great circle keeps to the sphere and goes half way in the middle', () => {
  // source: definition of the mid-point; a quarter of the equator, and over the pole
  const quarter = page.greatCircle([0, 0], [90, 0], 2)
  assert.ok(Math.abs(quarter[1][0] - 45) < 1e-9 && Math.abs(quarter[1][1]) < 1e-9)
  const pole = page.greatCircle([0, 60], [180, 60], 2)
  assert.ok(Math.abs(pole[1][1] - 90) < 1e-9)
  const across = page.greatCircle([179, 0], [-179, 0], 4).map(p => p[0])
  assert.ok(across.every((lon, i) => i === 0 || Math.abs(lon - across[i - 1]) < 1), 'no jump at 180°')
  assert.deepEqual(page.greatCircle([5, 5], [5, 5]), [[5, 5], [5, 5]])
})

test('a frame holds what it is fitted to', () => {
  const points = [[-29.5, 45.5], [-29.1, 45.7], [-29.3, 45.4]]
  const at = page.fit(page.extentOf(points), 680, 230, 46)
  for (const [x, y] of points.map(at)) {
    assert.ok(x >= 45.9 && x <= 634.1 && y >= 45.9 && y <= 184.1, `${x} ${y}`)
  }
  assert.ok(at([-29.3, 45.7])[1] < at([-29.3, 45.4])[1], 'north is up')
  assert.equal(page.extentOf([]), null)
})

test('what is not possible is grouped by reason, the most frequent first', () => {
  const pair = (asset, ...codes) => ({asset, destination: 'h', shape: 'air', reasons: codes.map(code => ({code, detail: code}))})
  const groups = page.byReason([pair('a', 'wind', 'no_pad'), pair('b', 'no_pad'), pair('c', 'icing')], new Map([['a', 'Asset A']]))
  assert.deepEqual(groups.map(g => [g.code, g.rows.length]), [['no_pad', 2], ['icing', 1], ['wind', 1]])
  assert.equal(groups[0].rows[0].who, 'Asset A')
  assert.equal(groups[0].rows[1].who, 'b')
})

test('small and large chances are never rounded to what they are not', () => {
  assert.match(page.chance(0.0001), /^< 1/)
  assert.match(page.chance(0.999), /^> 99/)
  assert.match(page.chance(0), /^0/)
  assert.match(page.chance(1), /^100/)
})

test('server-sent events are read whole, however they are cut', () => {
  const text = 'retry: 2000\n\nid: 1\nevent: region\ndata: {"a":1}\n\n: still here\n\nid: 2\nevent: faults\ndata: x\ndata: y\n\nid: 3\nevent: region\ndata: unfinished'
  for (let size = 1; size < 12; size++) {
    const got = []
    const parse = page.parser((...e) => got.push(e))
    for (let i = 0; i < text.length; i += size) parse(text.slice(i, i + size))
    assert.deepEqual(got, [['1', 'region', '{"a":1}'], ['2', 'faults', 'x\ny']], `in pieces of ${size}`)
  }
})

test('a change of single values is a merge patch of no more than them', () => {
  const element = {type: 'Feature', id: 'x', properties: {name: 'X', lit: false, pad: {lit: true, 'to/door': 3}, skills: ['a', 'b'], weekly: [{days: ['mon']}]}, geometry: {type: 'Point', coordinates: [-29.5, 45.5]}}
  const leaves = page.leavesOf(element)
  assert.deepEqual(leaves.map(l => [l.pointer, l.kind, l.text]), [
    ['#/properties/name', 'text', 'X'], ['#/properties/lit', 'yes', 'false'], ['#/properties/pad/lit', 'yes', 'true'],
    ['#/properties/pad/to~1door', 'number', '3'], ['#/properties/skills', 'words', 'a, b'], ['#/geometry/coordinates', 'place', '45.5, -29.5'],
  ])
  const edits = new Map([['#/properties/name', 'Y'], ['#/properties/pad/lit', 'true'], ['#/properties/pad/to~1door', '4,5'], ['#/properties/skills', 'a,  c'], ['#/properties/lit', ''], ['#/geometry/coordinates', '46, -30']])
  assert.deepEqual(page.patchOf(leaves, edits), {properties: {name: 'Y', pad: {'to/door': 4.5}, skills: ['a', 'c'], lit: null}, geometry: {coordinates: [-30, 46]}})
  assert.deepEqual(page.patchOf(leaves, new Map()), {})
  assert.equal(page.valueOf('number', 'many'), 'many', 'what is no number goes as it is, to be refused with its reason')
  assert.equal(page.valueOf('place', 'here'), 'here')
})

test('what is said goes to the right place', () => {
  const now = Date.parse('2031-03-14T21:40:00Z')
  const said = (...args) => page.action(...args, now)
  assert.deepEqual(said('hospital', 'a b', 'divert', '30', ' full ', ''), ['/v1/facilities/a%20b/accepting', {state: 'divert', reason: 'full', until: '2031-03-14T22:10:00Z'}])
  assert.deepEqual(said('hospital', 'h', 'open', '30', '', ''), ['/v1/facilities/h/accepting', {state: 'open'}])
  assert.deepEqual(said('hospital', 'h', 'surgeon', '', '', ''), ['/v1/facilities/h/away', {what: 'surgeon', away: true}])
  assert.deepEqual(said('vehicle', 'v', 'committed', '20', '', ''), ['/v1/assets/v/state', {state: 'committed', free_at: '2031-03-14T22:00:00Z'}])
  assert.deepEqual(said('vehicle', 'v', 'moving', '', '', '45.5, -29.4'), ['/v1/assets/v/state', {state: 'moving', position: [-29.4, 45.5]}])
  assert.deepEqual(said('crossing', 'c', 'closed', '', 'wind', ''), ['/v1/roads/c/closed', {closed: true, reason: 'wind'}])
  assert.deepEqual(said('crossing', 'c', 'reopened', '9', '', ''), ['/v1/roads/c/closed', {closed: false}])
})

test('a difference names only what differs', () => {
  assert.deepEqual(page.differ({a: 1, b: {c: [1], d: 2}}, {a: 1, b: {c: [2], d: 2}, e: 0}, ''), [
    {at: '/b/c', before: '[1]', after: '[2]'}, {at: '/e', before: '–', after: '0'},
  ])
  assert.deepEqual(page.differ({a: 1}, {a: 1}, ''), [])
})

test('the facts of an address are asked, and read again', () => {
  const happened = [{asset: 'a', event: 'lifted', at: '2031-06-17T14:27:00Z'}, {event: 'alerted', at: '2031-06-17T14:28:00Z', facility: 'h'}]
  const state = {...page.blank, scene: '1, 2', lost: '2031-06-17T14:16:00Z', regained: '2031-06-17T14:20:00Z', happened}
  assert.deepEqual(page.fromHash(page.toHash(state)), state)
  const q = page.toQuestion(state, 3)
  assert.deepEqual([q.output_lost_at, q.output_regained_at, q.happened], [state.lost, state.regained, happened])
  assert.deepEqual(page.fromQuestion(q).happened, happened)
  for (const junk of ['', 'a,flown,2031-06-17T14:27:00Z', 'a,lifted', ',lifted,2031-06-17T14:27:00Z', 'a,lifted,soon', 'a,alerted,2031-06-17T14:27:00Z,h']) assert.equal(page.readFact(junk), null, junk)
})

test('what happens next to a vehicle', () => {
  const heli = {kind: 'helicopter'}
  const fact = (asset, event) => ({asset, event, at: '2031-06-17T14:27:00Z'})
  const next = (facts, asset = heli, state, from = '', to = 'h') => page.nextEvent(facts, asset, 'a', state, from, to)
  assert.equal(next([]), 'lifted')
  assert.equal(next([], heli, 'at_scene'), 'patient_loaded')
  assert.equal(next([fact('a', 'at_scene')]), 'patient_loaded')
  assert.equal(next([fact('a', 'at_scene')], {kind: 'response_car'}), null)
  assert.equal(next([fact('a', 'at_scene'), fact('b', 'patient_loaded')]), null)
  assert.equal(next([fact('a', 'left_scene')], heli, undefined, 'h', 'h'), null)
  assert.equal(next([fact('a', 'handed_over')]), null)
  assert.equal(page.factOf([], 'a', 'at_hospital', 't', 'h').facility, 'h')
  assert.equal(page.factOf([{...fact('a', 'at_hospital'), facility: 'g'}], 'a', 'handed_over', 't', 'h').facility, 'g')
  const states = [{asset: 'a', state: 'at_scene'}, {asset: 'b', state: 'at_base'}]
  assert.deepEqual(page.statesWith(states, fact('a', 'left_scene')), [states[1]])
  assert.deepEqual(page.statesWith(states, fact('b', 'lifted')), [states[0]])
})

test('the time noted is the service’s, or the decision time that is set', () => {
  const asked = {at: '2031-06-17T14:27:00Z', received: 5_000}
  assert.equal(page.presentTime('', asked, 35_900), '2031-06-17T14:27:30Z')
  assert.equal(page.presentTime('', asked, 0), '2031-06-17T14:27:00Z')
  assert.equal(page.presentTime('2031-06-17T15:00:00Z', asked, 0), '2031-06-17T15:00:00Z')
})

test('a time of day is the last one that is not after the decision', () => {
  const hours = 3_600_000
  const cases = [
    ['14:10', 0, '2031-06-17T14:27:00Z', '2031-06-17T14:10:00Z'],
    ['14:27', 0, '2031-06-17T14:27:30Z', '2031-06-17T14:27:00Z'],
    ['14:28', 0, '2031-06-17T14:27:30Z', '2031-06-16T14:28:00Z'],
    ['23:50', -2 * hours, '2031-06-17T02:05:00Z', '2031-06-17T01:50:00Z'],
    ['00:30', 2 * hours, '2031-06-16T23:05:00Z', '2031-06-16T22:30:00Z'],
    ['', 0, '2031-06-17T14:27:00Z', 'old'],
    ['12:00', 0, 'junk', 'old'],
  ]
  for (const [time, offset, latest, want] of cases) assert.equal(page.lastAt(time, offset, latest, 'old'), want, `${time} ${latest}`)
})

const lists = {
  name: 'R', demonstration: false, ground: [], ways: [],
  assets: [{id: 'heli-1', name: 'Helicopter', kind: 'helicopter', base: 'b-1', state: 'committed', hours: {}}, {id: 'amb-1', name: 'Ambulance', kind: 'ambulance', base: 'b-1'}],
  facilities: [
    {id: 'b-1', geometry: {coordinates: [0, 50]}, properties: {kind: 'base', name: 'Base'}},
    {id: 'h-1', geometry: {coordinates: [0, 50]}, properties: {kind: 'hospital', name: 'Hospital', capabilities: ['emergency_department']}},
  ],
  names: new Map([['heli-1', 'Helicopter'], ['amb-1', 'Ambulance'], ['b-1', 'Base'], ['h-1', 'Hospital']]),
}

test('noon is when the sun stands highest, on the day that it is there', () => {
  const noon = Date.parse('2031-06-10T12:00:00Z')
  assert.equal(page.solarHour(0, 12, noon), '2031-06-10T12:00:00Z')
  assert.equal(page.solarHour(0, 0, noon), '2031-06-10T00:00:00Z')
  assert.equal(page.solarHour(-30, 12, noon), '2031-06-10T14:00:00Z') // 15 degrees an hour
  assert.equal(page.solarHour(180, 12, Date.parse('2031-06-10T13:00:00Z')), '2031-06-11T00:00:00Z')
})

test('an hour is read in UTC unless it has its zone', () => {
  assert.equal(page.readHour(' 2031-06-10 14:00 '), '2031-06-10T14:00:00Z')
  assert.equal(page.readHour('2031-06-10T14:00:30+02:00'), '2031-06-10T12:00:30Z')
  for (const wrong of ['', 'tomorrow', '2031-06-10', '2031-13-10 14:00', '2031-06-10 25:00', '14:00']) assert.equal(page.readHour(wrong), null, wrong)
})

test('a position is latitude first, in degrees', () => {
  assert.deepEqual(page.readPosition(' 45.52, -29.41 '), [-29.41, 45.52])
  for (const wrong of ['', '45.52', '95, 10', '45, 181', '45N 29W', '1,2,3', 'NaN, 1']) assert.equal(page.readPosition(wrong), null, wrong)
})

test('a form asks about its hours, weather and vehicles', () => {
  const f = {...page.planForm, wind: '240/18', ceiling: '900', away: ['amb-1']}
  const now = Date.parse('2031-06-10T12:00:00Z')
  const asked = page.situations(f, ['heli-1', 'amb-1'], 0, now)
  assert.deepEqual(asked[1], {name: 'midnight', at: '2031-06-10T00:00:00Z', share: 1, conditions: {wind: {from_deg: 240, speed_kt: 18}, ceiling_ft: 900}, assets: {only: ['heli-1']}})
  const own = page.situations({...f, when: 'hours', hours: [{name: '', at: '2031-01-01 03:00', share: '2,5'}, {name: 'rush', at: '2031-01-01 17:00Z', share: '1'}]}, [], 0, now)
  assert.deepEqual(own.map(s => [s.name, s.at, s.share]), [['Hour 1', '2031-01-01T03:00:00Z', 2.5], ['rush', '2031-01-01T17:00:00Z', 1]])
  const siting = {...f, task: 'siting', bases: ['b-1'], places: [{key: 4, name: 'Hill', at: '50.1, 1'}, {key: 7, name: '', at: '50.2, 2'}], objective: 'most_people', like: 'heli-1'}
  const q = page.sitingQuestion(siting, page.situations(siting, ['heli-1', 'amb-1'], 0, now)[0], null)
  assert.deepEqual(q.candidates, [{facility: 'b-1'}, {position: [1, 50.1], name: 'Hill'}, {position: [2, 50.2], name: 'place 2'}])
  assert.deepEqual([q.within_s, q.count, q.situation.share, q.situation.name], [3600, 1, undefined, 'noon'])
})

test('what is wrong in a form is named by its field, and so is what the service finds', () => {
  const at = f => page.wrongIn({...page.planForm, ...f}, lists).map(x => x.pointer)
  assert.deepEqual(at({}), [])
  assert.deepEqual(at({cell: 'wide', wind: 'strong', visibility: '-1'}), ['#/cell_m', '#/situation/conditions/wind', '#/situation/conditions/visibility_m'])
  assert.deepEqual(at({task: 'siting', people: 'land', count: '1.5'}), ['#/demand', '#/bases', '#/count'])
  assert.deepEqual(at({task: 'siting', bases: ['b-1'], count: '2', objective: 'most_people', limit: ''}), ['#/count', '#/within_s'])
  assert.deepEqual(at({task: 'siting', places: [{key: 1, name: '', at: 'there'}]}), ['#/places/0'])
  assert.deepEqual(at({task: 'change'}), ['#/change'])
  assert.deepEqual(at({task: 'change', steps: [{kind: 'add', of: 'gone', at: 'place:9'}], more: '[]'}), ['#/steps/0/of', '#/steps/0/at', '#/change'])
  const f = {...page.planForm, bases: ['b-1']}
  const faults = ['#/situations/0/conditions/wind', '#/situations/1/conditions/wind', '#/candidates/0', '#/candidates/3', '#/situations/1/at'].map(pointer => ({pointer, detail: 'wrong'}))
  assert.deepEqual(page.atFields(f, faults).map(x => x.pointer), ['#/situation/conditions/wind', '#/bases', '#/places/2', '#/situation/at'])
  assert.deepEqual(page.atFields({...f, when: 'hours'}, faults.slice(-1)).map(x => x.pointer), ['#/hours/1/at'])
})

test('steps become one document of merge patches', () => {
  const f = {...page.planForm, task: 'change', places: [{key: 3, name: 'Hill', at: '50.1, 1'}], steps: [
    {kind: 'add', of: 'heli-1', at: 'place:3'}, {kind: 'move', of: 'amb-1', at: 'place:3'}, {kind: 'night', of: 'amb-1', at: ''},
    {kind: 'surgeon', of: 'h-1', at: ''}, {kind: 'pad', of: 'h-1', at: ''}], more: '{"roads.geojson":{"bridge":null},"fleet.json":{"amb-1":{"name":"Moved"}}}'}
  const change = page.changeOf(f, lists)
  assert.deepEqual(change['facilities.geojson']['new-base-1'], {type: 'Feature', id: 'new-base-1', geometry: {type: 'Point', coordinates: [1, 50.1]}, properties: {kind: 'base', name: 'Hill', fuel: true}})
  assert.deepEqual(change['fleet.json']['new-vehicle-1'], {id: 'new-vehicle-1', name: 'Helicopter, one more', kind: 'helicopter', base: 'new-base-1', hours: {}})
  assert.deepEqual(change['fleet.json']['amb-1'], {base: 'new-base-1', position: null, state: null, free_at: null, until: null, hours: null, name: 'Moved'})
  assert.deepEqual(Object.keys(change['facilities.geojson']['h-1'].properties), ['capabilities', 'surgeons', 'pad'])
  assert.deepEqual(change['roads.geojson'], {bridge: null})
  assert.equal(page.changeOf({...f, steps: [{kind: 'take', of: 'heli-1', at: ''}], more: ''}, lists)['fleet.json']['heli-1'], null)
})

test('a table of people is read with its quotes, and anything else is refused', () => {
  const table = '\ufefflatitude,longitude,weight,name\r\n45.5,-29,12,"One, ""two"""\r\n46,x,,\n'
  assert.deepEqual(page.readDemand(table).features.map(f => [f.geometry.coordinates, f.properties]),
    [[[-29, 45.5], {people: 12, name: 'One, "two"'}], [['x', 46], {people: ''}]])
  assert.deepEqual(page.countOf(page.readDemand(table)), {people: 12, points: 2})
  for (const wrong of ['', '{', '{"type":"Feature"}', 'a,b\n1,2', 'latitude,longitude\n']) assert.equal(page.readDemand(wrong), null, wrong)
})

test('a cell is the nearest, over the antimeridian too, and its gain has a class', () => {
  const cells = page.readCells('latitude,longitude,name,people,area_km2,typical_s,slow_s,shape,asset,assets,hospital,option\n10,179.9,A,1,1,600,700,air,h,h i,x,o\n10,-170,,0,1,,,,,,,\n')
  assert.deepEqual([cells[0].typical, cells[1].typical, cells[0].assets], [600, null, ['h', 'i']])
  assert.equal(page.nearest(cells, [-179.9, 10]).index, 0)
  assert.ok(Math.abs(page.nearest(cells, [-179.9, 10]).metres - 0.2 * 111_195 * Math.cos(Math.PI / 18)) < 1)
  const of = (before, after) => page.gainClass(before === null ? null : 60 * before, after === null ? null : 60 * after)
  assert.deepEqual([of(60, 45), of(60, 50), of(60, 58), of(60, 60.5), of(60, 62), of(60, 70), of(60, 75), of(null, 20), of(20, null), of(null, null)], [0, 1, 2, 3, 4, 5, 6, 0, 6, null])
  assert.equal(page.gainColours.length, page.gainClasses)
  assert.deepEqual([page.bandColours.length, page.bandDashes.length], [page.bandMinutes.length, page.bandMinutes.length])
})

test('a curve is a stair, its steps where the times are', () => {
  const curve = [{within_s: 1800, people: 25, area_km2: 1}, {within_s: 3600, people: 100, area_km2: 2}, {within_s: 99999, people: 100, area_km2: 2}]
  assert.equal(page.curvePath(curve, 100, 'people', 60, 120, 40), 'M0 40H60V30H120V0H120')
  assert.equal(page.curvePath(curve, 0, 'people', 60, 120, 40), '')
})

test('who can open the chest is asked while output is lost and no hospital has the patient', () => {
  const answer = {at: '2031-03-14T21:40:00Z'}
  const lost = '2031-03-14T21:38:00Z'
  const ask = more => page.reachQuestion({question: {scene: {position_text: '1, 2'}, limit: 3, patient: {}, output_lost_at: lost, ...more}, answer})
  assert.deepEqual(ask({}), {at: answer.at, scene: {position_text: '1, 2'}, output_lost_at: lost})
  const carried = {assets: {only: ['a']}, conditions: {ceiling_ft: 900}, happened: [{asset: 'a', event: 'lifted', at: lost}]}
  assert.deepEqual(ask(carried), {at: answer.at, scene: {position_text: '1, 2'}, output_lost_at: lost, ...carried})
  assert.equal(ask({output_lost_at: undefined}), null)
  assert.equal(ask({output_regained_at: '2031-03-14T21:39:00Z'}), null)
  assert.equal(ask({output_regained_at: lost}), null)
  assert.notEqual(ask({output_regained_at: '2031-03-14T21:30:00Z'}), null, 'lost again')
  assert.equal(ask({happened: [{asset: 'a', event: 'at_hospital', at: lost, facility: 'h'}]}), null)
})

test('the clock of the teams holds loss of output, the window’s end and the first team, if slow', () => {
  const team = slow => ({opening: {after: {typical_s: slow / 2, slow_s: slow}, in_window: true, in_window_if_slow: false}})
  const reach = (teams, lost = '21:38') => ({at: '2031-03-14T21:40:00Z', output_lost_at: `2031-03-14T${lost}:00Z`, closes_at: '2031-03-14T21:48:00Z', teams})
  const s = page.reachSpan(reach([{}, team(900), team(5000)]))
  assert.deepEqual([s.from, s.closes], [-120, 480])
  assert.ok(s.to > 900 && s.to < 1000)
  assert.equal(page.reachSpan(reach([], '19:00')).from, -3600, 'an hour at most')
  assert.ok(page.reachSpan({...reach([]), closes_at: '2031-03-14T21:00:00Z'}).to > 0)
  assert.equal(page.verdict(team(1)), 'unless_slow')
  assert.equal(page.verdict({}), null)
})

// source: the published reader of PMTiles, which reads the same bytes
test('tiles of an archive are those that its published reader finds', async () => {
  for (let z = 0; z <= 6; z++) {
    for (let x = 0; x < 2 ** z; x++) for (let y = 0; y < 2 ** z; y++) assert.equal(page.tileID(z, x, y), zxyToTileId(z, x, y), `${z}/${x}/${y}`)
  }
  for (const [z, x, y] of [[22, 0, 0], [22, 2 ** 22 - 1, 2 ** 22 - 1], [22, 1234567, 3456789], [18, 2 ** 18 - 1, 0]]) assert.equal(page.tileID(z, x, y), zxyToTileId(z, x, y))

  const tiles = Buffer.from(Array.from({length: 300}, (_, i) => i % 251))
  const random = ((n) => () => (n = n * 16807 % 2147483647) / 2147483647)(42) // Park and Miller's
  const some = (first, count) => Array.from({length: count}, (_, i) => [first + 3 * i, 1 + Math.floor(3 * random()), 1 + Math.floor(9 * random()), Math.floor(280 * random())])
  const one = directory(some(0, 40), gzipSync)
  const two = directory(some(150, 60), gzipSync)
  const bytes = archive({root: directory([[0, 0, one.length, 0], [150, 0, two.length, one.length]], gzipSync), leaves: Buffer.concat([one, two]), tiles, packed: 2, maxZoom: 5})
  const getBytes = async (offset, length) => ({data: Uint8Array.from(bytes.subarray(offset, offset + length)).buffer})
  const published = new PMTiles({getKey: () => 'a', getBytes})
  const own = new page.Archive(async (offset, length) => (await getBytes(offset, length)).data)
  let found = 0
  for (let z = 0; z <= 5; z++) {
    for (let x = 0; x < 2 ** z; x++) {
      for (let y = 0; y < 2 ** z; y++) {
        const want = await published.getZxy(z, x, y)
        const got = await own.tile(z, x, y)
        assert.deepEqual(got === null ? null : [...new Uint8Array(got)], want === undefined ? null : [...new Uint8Array(want.data)], `${z}/${x}/${y}`)
        if (got !== null) found++
      }
    }
  }
  assert.ok(found > 100)
})

test('an archive that is broken is an error, never a hang', async () => {
  const open = bytes => new page.Archive(async (offset, length) => Uint8Array.from(bytes.subarray(offset, offset + length)).buffer).tile(0, 0, 0)
  await assert.rejects(open(Buffer.from('no map')), /no PMTiles/)
  await assert.rejects(open(archive({root: Buffer.from([200, 200, 200]), tiles: Buffer.alloc(1), maxZoom: 0})), /cut short/)
  await assert.rejects(open(archive({root: Buffer.alloc(40, 255), tiles: Buffer.alloc(1), maxZoom: 0})), /cut short/)
  const loop = directory([[0, 0, 5, 0]])
  await assert.rejects(open(archive({root: loop, leaves: loop, tiles: Buffer.alloc(1), maxZoom: 0})), /below each other/)
})
