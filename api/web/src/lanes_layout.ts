// Meeting lanes: an option's steps laid out as bars on a clock. Pure arithmetic;
// lanes.tsx draws what comes out.

import type {Activity, Lane, Option} from './shapes'

export interface Bar {
  activity: Activity
  row: number // within its lane, from 0
}

export interface LaneRows {
  lane: Lane
  rows: number
  bars: Bar[]
}

const order: readonly Lane[] = ['vehicle', 'patient', 'hospital']

/** The three lanes in order, each with its steps in as few rows as do not
 * overlap. A step stays in the row of the step that it follows where it can, so
 * that one vehicle's steps read from left to right. A lane with nothing in it is
 * there with no rows. */
export function lanesOf(option: Option): LaneRows[] {
  return order.map(lane => {
    const bars: Bar[] = []
    const ends: {end: number, last: Activity}[] = []
    for (const activity of option.activities) {
      if (activity.lane !== lane || activity.end_s <= activity.start_s) continue
      const row = rowFor(activity, ends)
      ends[row] = {end: activity.end_s, last: activity}
      bars.push({activity, row})
    }
    return {lane, rows: ends.length, bars}
  })
}

function rowFor(a: Activity, ends: {end: number, last: Activity}[]): number {
  const follows = ends.findIndex(e => e.end <= a.start_s && a.after.includes(e.last.id) && sameAsset(e.last, a))
  if (follows >= 0) return follows
  const free = ends.findIndex(e => e.end <= a.start_s && (a.lane !== 'vehicle' || sameAsset(e.last, a)))
  return free >= 0 ? free : ends.length
}

function sameAsset(a: Activity, b: Activity): boolean {
  return a.lane !== 'vehicle' || a.asset === b.asset
}

/** The two clocks that must meet, in seconds after the decision. */
export interface Clocks {
  patient: number  // handed over
  surgeon: number  // surgeon and theatre ready
  together: number
}

/** Reads from an option when each side is ready: the ends of what the meeting
 * waits for, waiting itself left out. */
export function clocksOf(option: Option): Clocks {
  const byID = new Map(option.activities.map(a => [a.id, a]))
  const meeting = option.activities.find(a => a.kind === 'with_surgeon')
  const together = meeting?.end_s ?? option.total.typical_s
  let patient = 0
  let surgeon = 0
  for (const id of meeting?.after ?? []) {
    const a = byID.get(id)
    if (a === undefined) continue
    if (a.lane === 'hospital') surgeon = Math.max(surgeon, a.end_s)
    else patient = Math.max(patient, a.end_s)
  }
  return {patient, surgeon, together}
}

/** A common clock for several options: as far as any may last, but no farther
 * than three times the first, so that one very slow way does not squeeze all. */
export function spanOf(options: readonly Option[]): number {
  const first = options[0]
  if (first === undefined) return 3600
  const all = Math.max(...options.map(o => o.spread.p90_s))
  return Math.min(all, 3 * first.spread.p90_s) * 1.02
}

const steps = [1, 2, 5, 10, 15, 30, 60, 120, 240, 480, 720, 1440]

/** Instants to mark, in seconds after the decision: round minutes of the wall
 * clock, at least gap seconds apart. offset is the wall clock's seconds past a
 * full day at the decision. */
export function ticks(span: number, offset: number, gap: number): number[] {
  const step = 60 * (steps.find(s => 60 * s >= gap) ?? 1440)
  const out: number[] = []
  for (let at = step - mod(offset, step); at <= span; at += step) out.push(at)
  if (mod(offset, step) === 0) out.unshift(0)
  return out
}

function mod(a: number, b: number): number { return ((a % b) + b) % b }
