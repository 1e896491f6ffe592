// The figures of coverage: who is within which time, the curve, who waits longest,
// who carries how much. Situations stand side by side, and so do now and then.

import type {JSX} from 'preact'
import {chance, minutes, toTenth, wholeNumber} from './format'
import {curvePath, type Busy, type Counted, type Gain, type Pair} from './plan_pairs'
import type {CoverageSummary, SituationSummary} from './shapes'
import {say, words} from './strings'

const w = words.plan
export interface Of { all: number, counted: Counted, names: ReadonlyMap<string, string> }

type Reach = Pick<SituationSummary, 'within' | 'reached'>
interface Column { name: string, reach: Reach, quantiles: Pick<SituationSummary, 'by_people' | 'by_area'> | null }

export function time(seconds: number | null | undefined): string {
  return seconds === null || seconds === undefined ? w.never : `${minutes(seconds)} ${words.min}`
}

export function signed(n: number): string { return Math.round(n) === 0 ? '0' : (n > 0 ? '+' : '−') + wholeNumber(Math.abs(n)) }

export function columnsOf(list: readonly SituationSummary[], expected: NonNullable<CoverageSummary['expected']> | null, busy: Busy | null): Column[] {
  return [
    ...list.map(s => ({name: s.name, reach: s, quantiles: s})), ...(expected === null ? [] : [{name: w.expected, reach: expected, quantiles: null}]),
    ...(busy === null ? [] : [{name: w.whileBusy, reach: busy, quantiles: null}]),
  ]
}

/** Who is within each time, a column for each situation. */
export function Within({columns, of}: {columns: readonly Column[], of: Of}): JSX.Element {
  const share = (n: number) => of.all > 0 ? <>{wholeNumber(n)} <span class="share">{chance(n / of.all)}</span></> : wholeNumber(n)
  const what = of.counted === 'people' ? w.peopleCounted : w.land
  const quantile = (c: Column, k: 'median_s' | 'p90_s') => c.quantiles === null ? '' : time((of.counted === 'people' ? c.quantiles.by_people : c.quantiles.by_area)[k])
  return <div class="scroll" role="region" tabIndex={0} aria-label={w.table(what)}><table class="within">
    <caption>{w.table(what)}</caption>
    <thead><tr><th scope="col">{w.minutes}</th>{columns.map((c, i) => <th key={i} scope="col"><bdi>{c.name}</bdi></th>)}</tr></thead>
    <tbody>
      {columns[0]?.reach.within.map((b, i) => <tr key={i}><th scope="row">{minutes(b.within_s ?? 0)}</th>
        {columns.map((c, k) => <td key={k}>{share(c.reach.within[i]?.[of.counted] ?? 0)}</td>)}</tr>)}
      <tr><th scope="row">{w.anybody}</th>{columns.map((c, k) => <td key={k}>{share(c.reach.reached[of.counted])}</td>)}</tr>
      {(['median_s', 'p90_s'] as const).map(k => <tr key={k}><th scope="row">{k === 'median_s' ? w.median : w.p90}</th>{columns.map((c, i) => <td key={i}>{quantile(c, k)}</td>)}</tr>)}
    </tbody>
  </table></div>
}

/** Who comes within each time by a change, and who falls out of it. */
export function Gains({gains, mean}: {gains: readonly Gain[], mean: Pair['meanGain']}): JSX.Element {
  const sure = gains.some(g => g.low !== null && g.high !== null)
  const range = (low: number | null, high: number | null, text: (n: number) => string) => low === null || high === null ? '–' : w.range(text(low), text(high))
  const sooner = (s: number) => s >= 0 ? w.soonerBy(toTenth(s / 60)) : w.laterBy(toTenth(-s / 60))
  return <div class="scroll" role="region" tabIndex={0} aria-label={w.reachedBy}><table class="gains">
    <caption>{w.reachedBy}</caption>
    <thead><tr><th scope="col">{w.minutes}</th><th scope="col">{w.before}</th><th scope="col">{w.then}</th><th scope="col">{w.gained}</th><th scope="col">{w.lostPeople}</th>
      {sure && <th scope="col">{w.netRange}</th>}</tr></thead>
    <tbody>{gains.map(g => <tr key={g.within_s}><th scope="row">{minutes(g.within_s)}</th><td>{wholeNumber(g.before)}</td><td>{wholeNumber(g.after)}</td>
      <td>{signed(g.gained)}</td><td>{signed(-g.lost)}</td>{sure && <td>{range(g.low, g.high, signed)}</td>}</tr>)}</tbody></table>
    {mean !== null && <p class="mean-gain">{w.mean(sooner(mean.s))} {mean.low !== null && mean.high !== null && w.meanRange(sooner(mean.low), sooner(mean.high))}</p>}
  </div>
}

const width = 340, height = 150
const dashes = 6 // kinds of lines

export function Curve({list, of}: {list: readonly SituationSummary[], of: Of}): JSX.Element {
  const what = of.counted === 'people' ? w.peopleCounted : w.land
  const shown = list.slice(0, dashes)
  const most = longest(shown, of.counted)
  return <figure class="curve"><figcaption>{w.curve(what)}</figcaption>
    <svg viewBox={`-40 -8 ${width + 56} ${height + 42}`} role="img" aria-label={w.curve(what)}>
      {[0, 0.5, 1].map(f => <g key={f}><path class="grid" d={`M0 ${height * (1 - f)}H${width}`} /><text x={-6} y={height * (1 - f) + 4} text-anchor="end">{chance(f)}</text></g>)}
      {[0, 1, 2, 3, 4, 5, 6].map(i => i * most / 6).map(m => <g key={m}><path class="grid" d={`M${m / most * width} 0V${height}`} /><text x={m / most * width} y={height + 15} text-anchor="middle">{m}</text></g>)}
      <text x={width / 2} y={height + 30} text-anchor="middle">{w.curveAxis}</text>
      {shown.map((s, i) => <path key={i} class={`line l${i}`} d={curvePath(s.curve, of.all, of.counted, most, width, height)} />)}
    </svg>
    {shown.length > 1 && <ul class="keys">{shown.map((s, i) => <li key={i}><svg width="36" height="10" aria-hidden="true"><path class={`line l${i}`} d="M0 5H36" /></svg> <bdi>{s.name}</bdi></li>)}</ul>}
  </figure>
}

/** The end of the scale: where all but a hundredth of those who are reached are in it. */
function longest(list: readonly SituationSummary[], counted: Counted): number {
  const need = Math.max(0, ...list.map(s => (s.curve.find(b => b[counted] >= 0.99 * s.reached[counted])?.within_s ?? 0) / 60))
  return [60, 90, 120, 180, 240, 360].find(m => m >= need) ?? 720
}

/** Who carries how much, and who waits longest: now, and then beside it. */
export function Details({list, of}: {list: readonly SituationSummary[], of: Of}): JSX.Element {
  const share = (n: number | undefined, cells: number | undefined) => of.all > 0 ? chance((n ?? 0) / of.all) : wholeNumber(cells ?? 0)
  const loads = (what: string, caption: string, pick: (s: SituationSummary) => SituationSummary['assets']) => {
    const ids = [...new Set(list.flatMap(s => pick(s).slice(0, 8).map(l => l.id)))]
    return <table><caption>{caption}</caption>
      <thead><tr><th scope="col">{what}</th>{list.map((s, i) => <th key={i} scope="col">{list.length > 1 ? <bdi>{s.name}</bdi> : w.shareOf}</th>)}</tr></thead>
      <tbody>{ids.map(id => <tr key={id}><th scope="row"><bdi>{of.names.get(id) ?? say(words.shapes, id)}</bdi></th>
        {list.map((s, i) => { const l = pick(s).find(x => x.id === id); return <td key={i}>{share(l?.[of.counted], l?.cells)}</td> })}</tr>)}</tbody></table>
  }
  return <div class="details">
    {loads(words.vehicle, w.firstAsset, s => s.assets)}
    {loads(w.hospitalOf, w.toHospital, s => s.hospitals)}
    {list.filter(s => s.worst.length > 0).map((s, k) => <table key={k}><caption>{list.length > 1 ? w.worstIn(s.name) : w.worst}</caption>
      <thead><tr><th scope="col">{w.place}</th><th scope="col">{w.peopleCounted}</th><th scope="col">{w.time}</th></tr></thead>
      <tbody>{s.worst.map((x, i) => <tr key={i}><th scope="row"><bdi>{x.name === '' ? w.unnamed : x.name}</bdi></th><td>{wholeNumber(x.people)}</td><td>{time(x.typical_s)}</td></tr>)}</tbody></table>)}
  </div>
}

/** How much of the time each vehicle is out on other calls. */
export function HowBusy({now, then}: {now: Busy, then: Busy | null}): JSX.Element {
  const all = then === null ? [now] : [now, then]
  const ids = new Map(all.flatMap(b => b.shares.map(s => [s.asset, s.name] as const)))
  const of = (b: Busy, id: string) => b.shares.find(s => s.asset === id)
  return <>
    {all.map((b, i) => <p key={i}>{then !== null && `${i === 0 ? w.before : w.then}: `}{w.howBusyHint(toTenth(b.calls_per_day), chance(b.unanswered_share))}</p>)}
    <table><thead><tr><th scope="col">{words.vehicle}</th>{all.map((_, i) => <th key={i} scope="col">{then === null ? w.outShare : `${w.outShare}, ${i === 0 ? w.before : w.then}`}</th>)}
      {then === null && <th scope="col">{w.callsEach}</th>}</tr></thead>
      <tbody>{[...ids].map(([id, name]) => <tr key={id}><th scope="row"><bdi>{name}</bdi></th>{all.map((b, i) => { const s = of(b, id); return <td key={i}>{s === undefined ? '–' : chance(s.busy_share)}</td> })}
        {then === null && <td>{toTenth(of(now, id)?.calls_per_day ?? 0)}</td>}</tr>)}</tbody></table>
    <p class="hint">{now.method} {now.error_note}</p>
  </>
}
