// The figures of a job by situation, each as it is now and, where something is changed
// or chosen, as it would be then.

import type {CoverageSummary, SitingSummary, SituationSummary} from './shapes'
import {words} from './strings'

export type Summary = CoverageSummary | SitingSummary

/** Who comes within a time and who falls out of it; between low and high lie 8 in 10
 * of what the net gain may be. */
export interface Gain { within_s: number, before: number, after: number, gained: number, lost: number, low: number | null, high: number | null }

export interface Pair {
  name: string
  at: string // UTC
  now: SituationSummary
  then: SituationSummary | null
  gains: readonly Gain[]
  meanGain: {s: number, low: number | null, high: number | null} | null
}

type Expected = NonNullable<CoverageSummary['expected']>

export type Busy = NonNullable<CoverageSummary['busy']>

/** What coverage says of a change. */
export type Changed = NonNullable<CoverageSummary['changed']>

type ChangedBand = SitingSummary['changes'][number] & {gained_low?: number, gained_high?: number}

export function changedOf(s: Summary): Changed | null { return 'chosen' in s ? null : s.changed ?? null }

export function pairsOf(s: Summary): Pair[] {
  if ('chosen' in s) {
    return [{
      name: s.before.name, at: s.before.at, now: {...s.before, name: words.plan.before}, then: s.found ? {...s.after, name: words.plan.after} : null,
      gains: s.changes.map(gain), meanGain: meanGain(s.mean_gain_s, null, null),
    }]
  }
  const changed = changedOf(s)
  return s.situations.map((now, i) => {
    const then = changed?.situations[i] ?? null
    const d = changed?.differences[i]
    return {
      name: now.name, at: now.at, now: then === null ? now : {...now, name: words.plan.before}, then: then === null ? null : {...then, name: words.plan.changedThen},
      gains: d?.bands.map(gain) ?? [], meanGain: d === undefined ? null : meanGain(d.mean_gain_s, d.mean_gain_low_s, d.mean_gain_high_s),
    }
  })
}

function gain(b: ChangedBand): Gain {
  return {within_s: b.within_s, before: b.people_before, after: b.people_after, gained: b.people_gained, lost: b.people_lost, low: b.gained_low ?? null, high: b.gained_high ?? null}
}

function meanGain(s: number | null | undefined, low: number | null, high: number | null): Pair['meanGain'] {
  return s === null || s === undefined ? null : {s, low, high}
}

/** What to expect over all situations by their shares; null for one. */
export function expectedOf(s: Summary): {now: Expected, then: Expected | null} | null {
  return 'chosen' in s || s.expected === undefined ? null : {now: s.expected, then: changedOf(s)?.expected ?? null}
}

/** How busy vehicles are with other calls, as things are and as they would be; null
 * where that was not asked. */
export function busyOf(s: Summary): {now: Busy, then: Busy | null} | null {
  return s.busy === undefined ? null : {now: s.busy, then: changedOf(s)?.busy ?? null}
}

/** Names of assets and facilities, those too that a job has made. */
export function namesIn(s: Summary, known: ReadonlyMap<string, string>): ReadonlyMap<string, string> {
  const out = new Map(known)
  if ('chosen' in s) for (const c of s.chosen) { if (c.asset !== undefined) out.set(c.asset, words.plan.newAt(c.name)) }
  else for (const l of changedOf(s)?.situations.flatMap(x => [...x.assets, ...x.hospitals]) ?? []) if (!out.has(l.id)) out.set(l.id, l.id.replaceAll('-', ' '))
  return out
}

/** Whether people are counted, or land where nobody is known to live. */
export type Counted = 'people' | 'area_km2'

/** A step of the curve in a frame: minutes to the right, the share upward. */
export function curvePath(curve: SituationSummary['curve'], all: number, counted: Counted, maxMin: number, width: number, height: number): string {
  if (!(all > 0)) return ''
  let d = `M0 ${height}`
  for (const b of curve) {
    const min = (b.within_s ?? 0) / 60
    if (min > maxMin) break
    d += `H${tenth(min / maxMin * width)}V${tenth(height * (1 - Math.min(1, b[counted] / all)))}`
  }
  return d + `H${width}`
}

function tenth(v: number): number { return Math.round(10 * v) / 10 }
