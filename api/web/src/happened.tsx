// The patient's own times, and what has happened since: the answer follows it.

import type {JSX} from 'preact'
import type {Asked} from './ask'
import type {Fault} from './client'
import {factOf, lastAt, nextEvent, presentTime, statesWith} from './facts'
import {faultAt} from './fields'
import {minutes, offsetOf} from './format'
import type {Region} from './region'
import type {Event, Fact, Option} from './shapes'
import type {State} from './state'
import {words} from './strings'

type Set = (change: Partial<State>) => void

const w = words.happened

export function PatientTimes({state, set, asked, faults}: {state: State, set: Set, asked: Asked | null, faults: readonly Fault[]}): JSX.Element {
  const common = {asked, at: state.at}
  return <div class="part times">
    <EventTime {...common} id="output-lost" label={w.lost} value={state.lost} set={lost => set({lost})} wrong={faultAt(faults, '#/output_lost_at')} />
    <EventTime {...common} id="output-back" label={w.regained} value={state.regained} set={regained => set({regained})} wrong={faultAt(faults, '#/output_regained_at')} />
  </div>
}

function EventTime({id, label, value, asked, at, set, wrong}: {
  id: string, label: string, value: string, asked: Asked | null, at: string, set: (v: string) => void, wrong: string,
}): JSX.Element {
  const offset = asked === null ? 0 : offsetOf(asked.answer.at_local)
  const now = () => presentTime(at, asked === null ? null : {at: asked.answer.at, received: asked.received}, Date.now())
  return <div class={wrong === '' ? 'field time' : 'field time wrong'}>
    <span class="head"><label for={id}>{label}</label></span>
    <span class="entry">
      <input id={id} type="datetime-local" value={wall(value, offset, 16)} aria-invalid={wrong !== ''} aria-describedby={wrong === '' ? undefined : id + '-fault'}
        onChange={e => {
          const typed = Date.parse(e.currentTarget.value + 'Z')
          set(Number.isFinite(typed) ? new Date(typed - offset).toISOString().slice(0, 19) + 'Z' : '')
        }} />
      <button type="button" class="quiet" aria-label={w.lostNow(label)} onClick={() => set(now())}>{words.now}</button>
    </span>
    {wrong !== '' && <span class="fault" id={id + '-fault'}>{wrong}</span>}
  </div>
}

/** An instant as a region's clocks show it, so many letters of it; empty where it is none. */
function wall(time: string, offset: number, letters: number): string {
  const t = Date.parse(time) + offset
  return Number.isFinite(t) ? new Date(t).toISOString().slice(0, letters) : ''
}

/** How long after the patient's own events an option has them with the surgeon. */
export function Since({option: o}: {option: Option}): JSX.Element | null {
  const said = [
    ...(o.since_output_lost === undefined ? [] : [w.sinceLost(minutes(o.since_output_lost.typical_s), minutes(o.since_output_lost.slow_s))]),
    ...(o.since_output_regained === undefined ? [] : [w.sinceRegained(minutes(o.since_output_regained.typical_s), minutes(o.since_output_regained.slow_s))]),
  ]
  return said.length === 0 ? null : <span class="since">{said.join('; ')}</span>
}

interface Props {
  state: State
  set: Set
  region: Region
  asked: Asked | null
  option: Option | undefined
  faults: readonly Fault[]
}

/** What has happened, and a button for what happens next to each vehicle of a way.
 * What is noted can be taken back also while there is no way. */
export function Happened(p: Props): JSX.Element | null {
  if (p.option === undefined && p.state.happened.length === 0) return null
  return <section class="happened" aria-label={w.title}>
    {p.asked !== null && p.option !== undefined && <Next {...p} asked={p.asked} option={p.option} />}
    <Noted {...p} />
  </section>
}

function Next({state, set, asked, region, option}: Props & {asked: Asked, option: Option}): JSX.Element {
  const destination = option.destination.facility
  const note = (f: Fact) => set({happened: [...state.happened, f], states: statesWith(state.states, f), pick: option.id})
  const now = () => presentTime(state.at, {at: asked.answer.at, received: asked.received}, Date.now())
  const next = option.assets.flatMap(id => {
    const event = nextEvent(state.happened, region.assets.find(a => a.id === id), id, state.states.find(s => s.asset === id)?.state, state.facility, destination)
    return event === null ? [] : [{id, event}]
  })
  const alerted = state.happened.some(f => f.event === 'alerted' && f.facility === destination)
  return <p class="actions">
    <span class="label">{w.next}</span>
    {next.map(({id, event}) => <button key={id} type="button" onClick={() => note(factOf(state.happened, id, event, now(), destination))}>
      <bdi>{region.names.get(id) ?? id}</bdi>: {told(region, event, id)}</button>)}
    {!alerted && destination !== state.facility && <button type="button" onClick={() => note({event: 'alerted', at: now(), facility: destination})}>
      <bdi>{option.destination.name}</bdi>: {w.events.alerted}</button>}
  </p>
}

function Noted({state, set, region, asked, faults}: Props): JSX.Element | null {
  if (state.happened.length === 0) return null
  const offset = asked === null ? 0 : offsetOf(asked.answer.at_local)
  const change = (i: number, at: string) => set({happened: state.happened.map((f, k) => k === i ? {...f, at} : f)})
  return <ul>{state.happened.map((f, i) => {
    const who = f.asset ?? f.facility ?? ''
    const said = `${region.names.get(who) ?? who}: ${told(region, f.event, f.asset ?? '')}`
    const wrong = faultAt(faults, `#/happened/${i}`)
    return <li key={i} class={wrong === '' ? 'field' : 'field wrong'}>
      <span class="entry">
        <input type="time" aria-label={w.when(said)} value={wall(f.at, offset, 16).slice(11)} aria-invalid={wrong !== ''} aria-describedby={wrong === '' ? undefined : `fact-${i}-fault`}
          onChange={e => change(i, lastAt(e.currentTarget.value, offset, presentTime(state.at, asked === null ? null : {at: asked.answer.at, received: asked.received}, Date.now()), f.at))} />
        <bdi>{said}</bdi>
        <button type="button" class="quiet" aria-label={w.undoOf(said)} onClick={() => set({happened: state.happened.filter((_, k) => k !== i)})}>{w.undo}</button>
      </span>
      {wrong !== '' && <span class="fault" id={`fact-${i}-fault`}>{wrong}</span>}
    </li>
  })}</ul>
}

/** What has happened, in a word or two: a road vehicle sets off where an aircraft lifts. */
export function told(region: Region, event: Event, asset: string): string {
  const kind = region.assets.find(a => a.id === asset)?.kind
  return event === 'lifted' && (kind === 'ambulance' || kind === 'response_car') ? w.setOff : w.events[event]
}
