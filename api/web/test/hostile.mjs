// The demo region with names that a list edited by hand might hold.
import {cpSync, mkdirSync, readFileSync, writeFileSync} from 'node:fs'
import {join} from 'node:path'
import {root} from './harness.mjs'

export const names = [
  '<img src=x onerror="window.hacked=1">',
  '"><script>window.hacked=1</script>',
  '\u202eمستشفى القلب\u202c 12',
  'Ж'.repeat(180),
  '🚑🏥👩‍⚕️ ' + '🫀'.repeat(30),
  '{{constructor.constructor("window.hacked=1")()}} ${1} &lt;b&gt;',
  'A name in one word that never ends'.replaceAll(' ', ''),
]

/** Writes the region into a folder, every name in it hostile. */
export function hostileRegion(folder) {
  mkdirSync(folder, {recursive: true})
  const demo = join(root, 'testdata/demo')
  let next = 0
  const name = () => names[next++ % names.length]
  const read = file => JSON.parse(readFileSync(join(demo, file), 'utf8'))
  const write = (file, value) => writeFileSync(join(folder, file), JSON.stringify(value))
  const facilities = read('facilities.geojson')
  for (const f of facilities.features) f.properties.name = name()
  write('facilities.geojson', facilities)
  const fleet = read('fleet.json')
  for (const a of fleet.assets) a.name = name()
  write('fleet.json', fleet)
  const settings = read('settings.json')
  settings.region.name = names[0]
  write('settings.json', settings)
  cpSync(join(demo, 'roads.geojson'), join(folder, 'roads.geojson'))
}
