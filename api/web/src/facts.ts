// What has happened, in the order in which it happens to one vehicle: what may be
// noted next, and the address's text of it.

import type {Asset, Event, Fact, StateChange} from './shapes'

const order: readonly Event[] = ['lifted', 'at_scene', 'patient_loaded', 'left_scene', 'at_hospital', 'handed_over']
const ofPatient: readonly Event[] = order.slice(2)

/** What happens next to a vehicle; null: nothing that may be noted. Places of a
 * hospital are those of the destination. */
export function nextEvent(facts: readonly Fact[], asset: Asset | undefined, id: string, state: StateChange['state'] | undefined, transferFrom: string, destination: string): Event | null {
  let done = state === 'at_scene' ? 1 : -1
  for (const f of facts) if (f.asset === id) done = Math.max(done, order.indexOf(f.event))
  const next = order[done + 1]
  if (next === undefined) return null
  if (ofPatient.includes(next)) {
    if (asset === undefined || asset.kind === 'aeroplane' || asset.kind === 'response_car') return null
    if (facts.some(f => f.asset !== id && ofPatient.includes(f.event))) return null // they are in another vehicle
    if (next === 'at_hospital' && transferFrom === destination) return null
  }
  return next
}

/** The fact of an event; at a hospital the patient has been brought to, the same one. */
export function factOf(facts: readonly Fact[], asset: string, event: Event, at: string, destination: string): Fact {
  if (event !== 'at_hospital' && event !== 'handed_over') return {asset, event, at}
  return {asset, event, at, facility: facts.find(f => f.asset === asset && f.event === 'at_hospital')?.facility ?? destination}
}

/** The states that a new fact does not contradict. */
export function statesWith(states: readonly StateChange[], f: Fact): StateChange[] {
  const early = f.event === 'lifted' || f.event === 'at_scene' || f.event === 'patient_loaded'
  return states.filter(s => s.asset !== f.asset || (s.state === 'at_scene' ? early : s.state === 'moving' && f.event !== 'at_scene'))
}

/** The time to note: by the service's clock as far as it is known, or the decision
 * time where one is set, since nothing after it is a fact. */
export function presentTime(at: string, answered: {at: string, received: number} | null, now: number): string {
  if (at !== '') return at
  return stamp(answered === null ? now : Date.parse(answered.at) + Math.max(0, now - answered.received))
}

const day = 86_400_000

/** The last instant not after another one at which clocks that are offset ms ahead of
 * UTC show a time of day, as 14:27; the old one where that cannot be read. */
export function lastAt(timeOfDay: string, offset: number, latest: string, old: string): string {
  const m = /^(\d\d):(\d\d)/.exec(timeOfDay)
  const end = Date.parse(latest)
  if (m === null || !Number.isFinite(end)) return old
  const since = (end + offset) % day // of the wall clock's day
  const into = (60 * Number(m[1]) + Number(m[2])) * 60_000
  return stamp(end - since + into - (into > since ? day : 0))
}

function stamp(t: number): string { return new Date(Math.floor(t / 1000) * 1000).toISOString().slice(0, 19) + 'Z' }

export function factText(f: Fact): string {
  return [f.asset ?? '', f.event, f.at, f.facility ?? ''].join(',').replace(/,+$/, '')
}

export function readFact(text: string): Fact | null {
  const [asset = '', event = '', at = '', facility = ''] = text.split(',')
  const known = [...order, 'alerted' as const].find(e => e === event)
  if (known === undefined || !Number.isFinite(Date.parse(at)) || (asset === '') !== (known === 'alerted')) return null
  return {...(asset !== '' && {asset}), event: known, at, ...(facility !== '' && {facility})}
}
