// Who can open the chest in time: what is asked, and where the bars stand on the
// clock. Pure arithmetic; reach.tsx draws what comes out.

import type {Asked} from './ask'
import type {Reach, ReachQuestion, ReachTeam} from './shapes'

/** The question that goes with an answer: the same scene, vehicles, conditions and
 * facts at the same time; null while output is not lost, or is back, or a hospital
 * has the patient. */
export function reachQuestion({question: q, answer}: Pick<Asked, 'question' | 'answer'>): ReachQuestion | null {
  const lost = q.output_lost_at
  if (lost === undefined) return null
  if (q.output_regained_at !== undefined && Date.parse(q.output_regained_at) >= Date.parse(lost)) return null
  if (q.happened?.some(f => f.event === 'at_hospital' || f.event === 'handed_over') === true) return null
  return {
    at: answer.at, scene: q.scene, output_lost_at: lost,
    ...(q.assets !== undefined && {assets: q.assets}),
    ...(q.conditions !== undefined && {conditions: q.conditions}),
    ...(q.happened !== undefined && {happened: q.happened}),
  }
}

export interface ReachSpan {
  from: number   // s after the decision time, not more than 0: when output was lost
  closes: number // the end of the window
  to: number
}

const longest = 3600 // s before the decision time that are drawn

/** The common clock of the teams: from loss of output until the window has ended and the
 * first team, if slow, has opened the chest. Later teams may end beyond it. */
export function reachSpan(r: Reach): ReachSpan {
  const at = Date.parse(r.at)
  const closes = (Date.parse(r.closes_at) - at) / 1000
  const first = r.teams.find(t => t.opening !== undefined)?.opening?.after.slow_s ?? 0
  return {from: Math.max((Date.parse(r.output_lost_at) - at) / 1000, -longest), closes, to: 1.08 * Math.max(closes, first, 300)}
}

/** Whether a team is in time: also when slow, typically only, or not. */
export function verdict(t: ReachTeam): 'in_time' | 'unless_slow' | 'too_late' | null {
  if (t.opening === undefined) return null
  return t.opening.in_window_if_slow ? 'in_time' : t.opening.in_window ? 'unless_slow' : 'too_late'
}
