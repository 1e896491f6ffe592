// The maps of the plan view: one, or two side by side that move together, with what
// their colours mean and what is true at a place that is looked at.

import type {JSX} from 'preact'
import {useEffect, useRef, useState} from 'preact/hooks'
import {useFetched} from './fetched'
import {minutes} from './format'
import {bandColours, bandDashes, bandMinutes, gainColours, shade} from './palette'
import {nearest, readCells, type Cell} from './plan_cells'
import {time} from './plan_figures'
import {useResult} from './plan_job'
import type * as Code from './plan_map'
import type {Difference, Hooks, PlanMap, PlanSeen, Site, Spot} from './plan_map'
import type {Pair} from './plan_pairs'
import type {Region} from './region'
import type {Job, Position, SituationSummary} from './shapes'
import {positionText, type Light, type Side} from './state'
import {words} from './strings'

const w = words.plan

interface MapsProps {
  region: Region
  light: Light
  job: Job | null
  pair: Pair | null
  side: Side
  cellM: number
  sites: readonly Site[]
  spots: readonly Spot[]
  names: ReadonlyMap<string, string>
  places: boolean // a click puts a place there
  put: (p: Position) => void
  move: (key: number, p: Position) => void
}

const maxTable = 6_000_000 // bytes of a table that a browser is made to read: some 50,000 cells

export function Maps(props: MapsProps): JSX.Element {
  const {region, light, job, pair, side, cellM, sites, spots, names, places} = props
  const [code, failed, again] = useFetched(() => import('./plan_map'))
  const view = useRef<ReturnType<typeof Code.newView> | null>(null)
  const [looked, look] = useState<Position | null>(null)
  useEffect(() => { look(null) }, [job?.id])
  const then = pair?.then ?? null
  const shown: Side = then === null ? 'now' : side
  const wanted = looked !== null || shown === 'difference'
  const nowBands = useFile(job, shown === 'then' || shown === 'difference' ? null : pair?.now ?? null, 'within.geojson', parse)
  const thenBands = useFile(job, shown === 'now' || shown === 'difference' ? null : then, 'within.geojson', parse)
  const nowCells = useFile(job, wanted ? pair?.now ?? null : null, 'cells.csv', readCells)
  const thenCells = useFile(job, wanted ? then : null, 'cells.csv', readCells)
  const difference: Difference | null = shown === 'difference' && nowCells.value !== null && thenCells.value !== null
    ? {before: nowCells.value, after: thenCells.value, cellM} : null
  const hooks: Hooks = {click: p => { if (places) props.put(p); else look(p) }, move: props.move}
  const seen = (bands: object | null, of: 'now' | 'then' | 'difference'): PlanSeen => ({
    region, light, bands, difference: of === 'difference' ? difference : null, sites: of === 'now' ? [] : sites, spots, mark: places ? null : looked,
  })
  const lost = [nowBands, thenBands, nowCells, thenCells].some(f => f.failed)
  const large = wanted && (nowCells.large || thenCells.large)
  if (code !== null && view.current === null) view.current = code.newView()
  const pane = (id: string, title: string, what: PlanSeen) => code === null || view.current === null
    ? <div class="map-pane" key={id}><div class="map" id={id} /></div>
    : <Pane key={id} id={id} title={title} label={places ? w.mapSiting : w.map} code={code} view={view.current} seen={what} hooks={hooks} />
  return <>
    {failed && <p class="notice" role="alert">{w.mapLost} <button type="button" onClick={again}>{w.tryAgain}</button></p>}
    {lost && <p class="notice" role="alert">{w.fileLost}</p>}
    {large && <p class="notice" role="status">{w.tooLarge}</p>}
    <div class={shown === 'both' ? 'maps two' : 'maps'}>
      {shown === 'both' ? [pane('map', w.before, seen(nowBands.value, 'now')), pane('map-then', w.then, seen(thenBands.value, 'then'))]
        : pane('map', '', shown === 'difference' ? seen(null, 'difference') : shown === 'then' ? seen(thenBands.value, 'then') : seen(nowBands.value, 'now'))}
    </div>
    {pair !== null && <p class="looked" role="status">{looked === null ? w.lookHint : lookedAt(looked, nowCells.value, thenCells.value, then !== null, cellM, names)}</p>}
    {pair !== null && (shown === 'difference' ? <GainLegend light={light} /> : <Legend light={light} chosen={sites.length > 0} />)}
  </>
}

function parse(text: string): object { return JSON.parse(text) as object }

function useFile<T>(job: Job | null, of: SituationSummary | null, end: string, read: (text: string) => T): {value: T | null, failed: boolean, large: boolean} {
  const name = of?.results.find(n => n.endsWith(end))
  const large = (job?.results.find(r => r.name === name)?.bytes ?? 0) > maxTable
  return {...useResult(job, large ? undefined : name, read), large}
}

let framed = '' // the region and the number of maps that were framed last: the frame stays while others are looked at

function Pane({id, title, label, code, view, seen, hooks}: {
  id: string, title: string, label: string, code: typeof Code, view: ReturnType<typeof Code.newView>, seen: PlanSeen, hooks: Hooks,
}): JSX.Element {
  const target = useRef<HTMLDivElement>(null)
  const map = useRef<PlanMap | null>(null)
  const latest = useRef(hooks)
  latest.current = hooks
  useEffect(() => {
    map.current = new code.PlanMap(target.current!, view, {click: p => latest.current.click(p), move: (key, p) => latest.current.move(key, p)})
    return () => {
      framed = ''
      map.current?.dispose()
    }
  }, [])
  const {region, light, bands, difference, sites, spots, mark} = seen
  useEffect(() => {
    map.current?.draw(seen)
    const key = `${region.name}|${title === '' ? 1 : 2}`
    if (region.facilities.length > 0 && framed !== key) {
      framed = key
      map.current?.frame(region)
    }
  }, [title, region, light, bands, difference?.before, difference?.after, JSON.stringify([sites, spots, mark])])
  const shown = useRef(seen)
  shown.current = seen
  useEffect(() => { // on paper it is day, whatever the screen is
    const before = () => map.current?.drawNow({...shown.current, light: 'day'})
    const after = () => map.current?.draw(shown.current)
    window.addEventListener('beforeprint', before)
    window.addEventListener('afterprint', after)
    return () => {
      window.removeEventListener('beforeprint', before)
      window.removeEventListener('afterprint', after)
    }
  }, [])
  return <figure class="map-pane">
    {title !== '' && <figcaption>{title}</figcaption>}
    <div class="map" id={id} ref={target} tabIndex={0} role="application" aria-label={title === '' ? label : `${title}. ${label}`} />
  </figure>
}

/** What is true at a place: the figures of the cell whose middle is nearest. */
function lookedAt(at: Position, now: readonly Cell[] | null, then: readonly Cell[] | null, changed: boolean, cellM: number, names: ReadonlyMap<string, string>): string {
  if (now === null || (changed && then === null)) return w.looking(positionText(at))
  const {index, metres} = nearest(now, at)
  const before = now[index]
  if (before === undefined || metres > Math.max(cellM, 2_000)) return w.nobodyAsked(positionText(at))
  const text = (c: Cell) => c.typical === null ? w.never : w.cellText(time(c.typical), c.slow === null ? '' : String(minutes(c.slow)), c.assets.map(a => names.get(a) ?? a).join(' + '), names.get(c.hospital) ?? c.hospital)
  const after = then?.[index]
  const where = before.name === '' ? positionText(at) : `${positionText(at)} (${before.name})`
  return after === undefined ? `${where}: ${text(before)}.` : `${where}: ${w.before} ${text(before)}; ${w.then} ${text(after)}.`
}

function Legend({light, chosen}: {light: Light, chosen: boolean}): JSX.Element {
  return <div class="legend"><h2>{w.legend}</h2>
    <ul>{bandMinutes.map((m, i) => <li key={m}><svg width="34" height="18" aria-hidden="true">
      <rect class="under" width="34" height="18" /><rect width="34" height="18" fill={bandColours[i]} fill-opacity={shade[light]} />
      <path d="M0 16H34" stroke="#16202a" stroke-width="2" stroke-dasharray={bandDashes[i]!.join(' ')} /></svg> {w.within(m)}</li>)}
      <li><svg width="34" height="18" aria-hidden="true"><rect class="under" width="34" height="18" /></svg> {w.beyond}</li></ul>
    <p class="hint">{w.lines} {w.marks(chosen)}</p>
  </div>
}

function GainLegend({light}: {light: Light}): JSX.Element {
  return <div class="legend"><h2>{w.gainLegend}</h2>
    <ul>{gainColours.map((c, i) => <li key={c}><svg width="34" height="18" aria-hidden="true"><rect class="under" width="34" height="18" /><rect width="34" height="18" fill={c} fill-opacity={shade[light]} stroke="#8b949c" />
      <text x="17" y="13" text-anchor="middle" font-size="12" font-weight="600" fill="#16202a" stroke="#fff" stroke-width="3" paint-order="stroke">{w.gainSigns[i]}</text></svg> {w.gainClasses[i]}</li>)}</ul>
    <p class="hint">{w.gainLines} {w.marks(true)}</p>
  </div>
}
