// What the page shows, and its place in the address. All of it stands after the
// "#": browsers never send that part, so no server's log says where a patient is.

import {factText, readFact} from './facts'
import type {Fact, Landing, Question, RankBy, StateChange, Timing} from './shapes'

export type View = 'desk' | 'phone' | 'briefing' | 'region' | 'plan'
export type Light = 'day' | 'night'

/** What of a change is on the map of the plan view. */
export const sides = ['now', 'then', 'both', 'difference'] as const
export type Side = typeof sides[number]

export interface State {
  view: View | ''      // '': by the width of the screen
  light: Light | ''    // '': as the system asks
  pick: string         // the id of the option that is looked at; '': the first
  at: string           // decision time; '': now
  scene: string        // position text, latitude first
  facility: string     // or the hospital of a transfer
  uncertainty: string  // metres
  landing: Landing | ''
  winch: boolean
  carry: Timing | null
  age: string
  needs: string[]
  escort: string
  ready: Timing | null
  wind: string         // 240/18 or 240/18G28
  ceiling: string      // feet
  visibility: string   // metres
  reports: string      // one weather report a line
  rank: RankBy | ''
  target: string       // minutes
  only: string[]
  states: StateChange[]
  lost: string         // when output was lost; '': not stated
  regained: string     // when it came back
  happened: Fact[]
  job: string          // the job of coverage or siting that is looked at
  hour: string         // which of its situations, from 0; '': the first
  side: Side | ''      // '': both
}

export const blank: State = {
  view: '', light: '', pick: '', at: '', scene: '', facility: '', uncertainty: '', landing: '', winch: false,
  carry: null, age: '', needs: [], escort: '', ready: null, wind: '', ceiling: '', visibility: '', reports: '',
  rank: '', target: '', only: [], states: [], lost: '', regained: '', happened: [], job: '', hour: '', side: '',
}

const views: readonly string[] = ['desk', 'phone', 'briefing', 'region', 'plan']

/** The address of a state, beginning with "#". */
export function toHash(s: State): string {
  const q = new URLSearchParams()
  const put = (name: string, value: string) => { if (value !== '') q.set(name, value) }
  put('scene', s.scene)
  put('facility', s.facility)
  put('at', s.at)
  put('uncertainty_m', s.uncertainty)
  put('landing', s.landing)
  put('winch', s.winch ? 'true' : '')
  put('carry_s', timingText(s.carry))
  put('age_years', s.age)
  put('needs', s.needs.join(','))
  put('escort', s.escort)
  put('ready_s', timingText(s.ready))
  put('wind', s.wind)
  put('ceiling_ft', s.ceiling)
  put('visibility_m', s.visibility)
  put('reports', s.reports)
  put('rank_by', s.rank)
  put('target_min', s.target)
  put('only', s.only.join(','))
  put('states', s.states.map(stateText).join(';'))
  put('output_lost_at', s.lost)
  put('output_regained_at', s.regained)
  put('happened', s.happened.map(factText).join(';'))
  put('light', s.light)
  put('pick', s.pick)
  put('job', s.job)
  put('hour', s.hour)
  put('side', s.side)
  const text = q.toString()
  return '#' + s.view + (text === '' ? '' : '?' + text)
}

/** The state of an address. What cannot be read is left out. */
export function fromHash(hash: string): State {
  const [view = '', query = ''] = split(hash.replace(/^#/, ''), '?')
  const q = new URLSearchParams(query)
  const get = (name: string) => q.get(name) ?? ''
  const list = (name: string) => get(name).split(',').filter(Boolean)
  const one = <T extends string>(name: string, ...of: T[]): T | '' => of.find(x => x === get(name)) ?? ''
  return {
    view: (views.includes(view) ? view : '') as View | '',
    light: one('light', 'day', 'night'),
    pick: get('pick'),
    job: get('job').slice(0, 100),
    hour: /^\d{1,2}$/.test(get('hour')) ? get('hour') : '',
    side: one('side', ...sides),
    at: get('at'),
    scene: get('scene').slice(0, 200),
    facility: get('facility'),
    uncertainty: get('uncertainty_m'),
    landing: one('landing', 'possible', 'impossible', 'unknown'),
    winch: get('winch') === 'true',
    carry: readTiming(get('carry_s')),
    age: get('age_years'),
    needs: list('needs'),
    escort: get('escort'),
    ready: readTiming(get('ready_s')),
    wind: get('wind'),
    ceiling: get('ceiling_ft'),
    visibility: get('visibility_m'),
    reports: get('reports'),
    rank: one('rank_by', 'typical', 'slow'),
    target: get('target_min'),
    only: list('only'),
    states: get('states').split(';').map(readState).filter(x => x !== null),
    lost: get('output_lost_at'),
    regained: get('output_regained_at'),
    happened: get('happened').split(';').map(readFact).filter(x => x !== null),
  }
}

function split(text: string, at: string): string[] {
  const i = text.indexOf(at)
  return i < 0 ? [text] : [text.slice(0, i), text.slice(i + 1)]
}

function timingText(t: Timing | null): string {
  return t === null ? '' : `${t.typical_s}-${t.slow_s}`
}

function readTiming(text: string): Timing | null {
  const m = /^(\d{1,6})-(\d{1,6})$/.exec(text)
  return m === null ? null : {typical_s: Number(m[1]), slow_s: Number(m[2])}
}

const doing: readonly string[] = ['at_scene', 'at_base', 'moving', 'committed']

function stateText(s: StateChange): string {
  const parts = [s.asset, s.state, s.free_at ?? '', s.position?.join(' ') ?? '']
  return parts.join(',').replace(/,+$/, '')
}

function readState(text: string): StateChange | null {
  const [asset = '', state = '', free = '', position = ''] = text.split(',')
  if (asset === '' || !doing.includes(state)) return null
  const out: StateChange = {asset, state: state as StateChange['state']}
  if (free !== '') out.free_at = free
  const [lon, lat] = position.split(' ').map(Number)
  if (position !== '' && Number.isFinite(lon) && Number.isFinite(lat)) out.position = [lon as number, lat as number]
  return out
}

/** Whether there is anything to ask about. */
export function hasScene(s: State): boolean {
  return s.scene.trim() !== '' || s.facility !== ''
}

/** The question a state asks. What is not a number goes as it is, so that the
 * service says what is wrong with it. */
export function toQuestion(s: State, limit: number): Question {
  const q: Question = {scene: s.facility !== '' ? {facility: s.facility} : {position_text: s.scene.trim()}, limit}
  if (s.at !== '') q.at = s.at
  if (s.facility === '') {
    if (s.uncertainty !== '') q.scene.uncertainty_m = number(s.uncertainty)
    if (s.landing !== '') q.scene.landing = s.landing
    if (s.carry !== null) q.scene.carry = s.carry
    if (s.winch) q.scene.winch = true
  }
  q.patient = {
    ...(s.age !== '' && {age_years: number(s.age)}),
    ...(s.needs.length > 0 && {needs: s.needs}),
    ...(s.escort !== '' && {escort: s.escort}),
    ...(s.ready !== null && {ready_in: s.ready}),
  }
  const wind = readWind(s.wind)
  const reports = s.reports.split('\n').map(x => x.trim()).filter(Boolean)
  q.conditions = {
    ...(wind !== null && {wind}),
    ...(s.ceiling !== '' && {ceiling_ft: number(s.ceiling)}),
    ...(s.visibility !== '' && {visibility_m: number(s.visibility)}),
    ...(reports.length > 0 && {reports}),
  }
  if (s.only.length > 0 || s.states.length > 0) {
    q.assets = {...(s.only.length > 0 && {only: s.only}), ...(s.states.length > 0 && {states: s.states})}
  }
  if (s.lost !== '') q.output_lost_at = s.lost
  if (s.regained !== '') q.output_regained_at = s.regained
  if (s.happened.length > 0) q.happened = s.happened
  if (s.rank !== '') q.rank_by = s.rank
  if (s.target !== '') q.target_s = 60 * number(s.target)
  return q
}

export function number(text: string): number {
  const value = Number(text.trim().replace(',', '.'))
  return Number.isFinite(value) ? value : (text as unknown as number)
}

/** Reads a wind as it is spoken and written: 240/18, 240/18G28. Null where it is
 * neither; the field says so. */
export function readWind(text: string): {from_deg: number, speed_kt: number, gust_kt?: number} | null {
  const m = /^\s*(\d{1,3})\s*[/ ]\s*(\d{1,3})(?:\s*G\s*(\d{1,3}))?(?:\s*KT)?\s*$/i.exec(text)
  if (m === null) return null
  return {from_deg: Number(m[1]), speed_kt: Number(m[2]), ...(m[3] !== undefined && {gust_kt: Number(m[3])})}
}

/** The state that asks a given question, as in a worked example. */
export function fromQuestion(q: Question): State {
  const p = q.scene.position
  const carry = q.scene.carry
  const w = q.conditions?.wind
  return {
    ...blank,
    at: q.at ?? '',
    scene: q.scene.position_text ?? (p === undefined ? '' : positionText(p)),
    facility: q.scene.facility ?? '',
    uncertainty: text(q.scene.uncertainty_m),
    landing: q.scene.landing ?? '',
    winch: q.scene.winch ?? false,
    carry: carry !== undefined && 'typical_s' in carry ? carry : null,
    age: text(q.patient?.age_years),
    needs: q.patient?.needs ?? [],
    escort: q.patient?.escort ?? '',
    ready: q.patient?.ready_in ?? null,
    wind: w === undefined ? '' : `${w.from_deg}/${w.speed_kt}` + (w.gust_kt === undefined ? '' : `G${w.gust_kt}`),
    ceiling: text(q.conditions?.ceiling_ft),
    visibility: text(q.conditions?.visibility_m),
    reports: (q.conditions?.reports ?? []).join('\n'),
    rank: q.rank_by ?? '',
    target: q.target_s === undefined ? '' : String(q.target_s / 60),
    only: q.assets?.only ?? [],
    states: q.assets?.states ?? [],
    lost: q.output_lost_at ?? '',
    regained: q.output_regained_at ?? '',
    happened: q.happened ?? [],
  }
}

function text(value: number | undefined): string { return value === undefined ? '' : String(value) }

/** A position as text, latitude first, to about a metre. */
export function positionText([lon, lat]: readonly [number, number]): string {
  return `${lat.toFixed(5)}, ${lon.toFixed(5)}`
}
