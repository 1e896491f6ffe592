// What the plan view asks: its form, what is wrong in it, and the questions it becomes.

import type {Fault} from './client'
import {changeOf, changeFaults, type Step} from './plan_change'
import type {Region} from './region'
import {number, readWind} from './state'
import type {CoverageQuestion, Demand, Position, SitingQuestion, Situation} from './shapes'
import {words} from './strings'

export type Task = 'coverage' | 'change' | 'siting'
export type When = 'both' | 'day' | 'night' | 'hours'
export type People = 'region' | 'file' | 'land'
export type What = NonNullable<SitingQuestion['what']>
export type Objective = SitingQuestion['objective']

/** An hour of one's own, and how much it counts against the others. */
export interface Hour { name: string, at: string, share: string }

/** A place that somebody has put on the map or written down. */
export interface Place { key: number, name: string, at: string }

export interface PlanForm {
  task: Task
  when: When
  hours: Hour[]
  cell: string       // km
  wind: string
  ceiling: string    // feet
  visibility: string // metres
  away: string[]     // assets
  people: People
  file: Demand | null
  calls: string      // a day; '': nobody is out on other calls
  service: string    // minutes; '': as the engine says
  what: What
  objective: Objective
  busyShare: string  // percent of the time
  move: string[]     // assets that may have another base
  grid: string       // km between places to choose from; '': bases and places
  count: string
  limit: string      // minutes
  like: string
  bases: string[]
  places: Place[]
  steps: Step[]
  called: string     // what the change is called
  more: string       // further changes, as JSON
}

export const planForm: PlanForm = {
  task: 'coverage', when: 'both', hours: [{name: '', at: '', share: '1'}], cell: '5', wind: '', ceiling: '', visibility: '', away: [], people: 'region', file: null, calls: '', service: '',
  what: 'base', busyShare: '20', move: [], grid: '', objective: 'least_mean_time', count: '1', limit: '60', like: '', bases: [], places: [], steps: [], called: '', more: '',
}

/** The moment of a solar hour at a longitude, today: the sun stands highest at 12
 * there, within a quarter of an hour. */
export function solarHour(longitude: number, hour: number, now: number): string {
  const day = 86_400_000
  const ahead = longitude / 360 * day
  const midnight = Math.floor((now + ahead) / day) * day - ahead
  return utc(Math.round((midnight + hour * 3_600_000) / 600_000) * 600_000)
}

function utc(ms: number): string { return new Date(ms).toISOString().slice(0, 19) + 'Z' }

/** An hour as it is written: 2030-06-21 14:00, in UTC where no zone is given. Null
 * where it is none. */
export function readHour(text: string): string | null {
  const m = /^(\d{4}-\d{2}-\d{2})[T ](\d{2}:\d{2}(?::\d{2})?)\s*(Z|[+-]\d{2}:\d{2})?$/.exec(text.trim())
  const ms = m === null ? NaN : Date.parse(`${m[1]}T${m[2]}${m[3] ?? 'Z'}`)
  return Number.isFinite(ms) ? utc(ms) : null
}

/** A position as it is written: latitude, longitude in degrees; null where it is none. */
export function readPosition(text: string): Position | null {
  const m = /^([+-]?\d{1,2}(?:\.\d+)?)\s*[,; ]\s*([+-]?\d{1,3}(?:\.\d+)?)$/.exec(text.trim())
  const lat = Number(m?.[1]), lon = Number(m?.[2])
  return m === null || Math.abs(lat) > 90 || Math.abs(lon) > 180 ? null : [lon, lat]
}

/** What a place is called: its own name, or its number. */
export function placeName(places: readonly Place[], i: number): string {
  const name = places[i]?.name.trim() ?? ''
  return name !== '' ? name : words.plan.candidate(i + 1)
}

export interface Wrong extends Fault { empty: boolean } // empty: said only once a start is tried

/** What is wrong in the form, each at its field. The fields are named by where their
 * values stand in the question, or in the form where that has several. */
export function wrongIn(f: PlanForm, region: Region): Wrong[] {
  const w = words.plan.wrong
  const out: Wrong[] = []
  const add = (pointer: string, text: string, detail: string) => out.push({pointer, detail, empty: text.trim() === ''})
  const positive = (text: string, low: number, high: number) => { const n = Number(text.trim().replace(',', '.')); return text.trim() !== '' && n >= low && n <= high }
  if (!positive(f.cell, 0.1, 200)) add('#/cell_m', f.cell, w.cell)
  if (f.wind.trim() !== '' && readWind(f.wind) === null) add('#/situation/conditions/wind', f.wind, words.windWrong)
  if (f.ceiling.trim() !== '' && !positive(f.ceiling, 0, 100_000)) add('#/situation/conditions/ceiling_ft', f.ceiling, w.number)
  if (f.visibility.trim() !== '' && !positive(f.visibility, 0, 100_000)) add('#/situation/conditions/visibility_m', f.visibility, w.number)
  if (whenOf(f) === 'hours') {
    hoursOf(f).forEach((h, i) => {
      if (readHour(h.at) === null) add(`#/hours/${i}/at`, h.at, w.hour)
      if (!positive(h.share, 1e-9, 1e6)) add(`#/hours/${i}/share`, h.share, w.share)
    })
  }
  if (usesCalls(f)) {
    if (f.calls.trim() !== '' && !positive(f.calls, 0, 100_000)) add('#/busy/calls_per_day', f.calls, w.number)
    if (f.service.trim() !== '' && !positive(f.service, 1, 10_000)) add('#/busy/service_min', f.service, w.minutes)
  }
  if (f.people === 'file' && f.file === null) add('#/demand', '', w.file)
  f.places.forEach((p, i) => { if (usesPlaces(f) && readPosition(p.at) === null) add(`#/places/${i}`, p.at, w.position) })
  if (f.task === 'change') for (const fault of changeFaults(f, region)) out.push({...fault, empty: true})
  if (f.task === 'siting') {
    const all = f.what !== 'base' || f.grid.trim() !== '' ? Infinity : f.bases.length + f.places.length + f.move.length
    if (f.people === 'land') add('#/demand', '', w.needsPeople)
    if (all === 0) add('#/bases', '', w.noCandidate)
    if (!Number.isInteger(number(f.count)) || !positive(f.count, 1, 200)) add('#/count', f.count, w.count)
    else if (number(f.count) > all && all > 0 && f.objective !== 'most_people_busy') add('#/count', f.count, w.moreThanThereAre(all))
    if (f.what === 'base' && f.grid.trim() !== '' && !positive(f.grid, 0.1, 200)) add('#/candidate_cell_m', f.grid, w.cell)
    if (f.objective === 'most_people_busy' && !positive(f.busyShare, 0, 99)) add('#/busy_share', f.busyShare, w.percent)
    if (isLimited(f) && !positive(f.limit, 1, 2880)) add('#/within_s', f.limit, w.limit)
  }
  return out
}

export function isLimited(f: PlanForm): boolean { return f.objective !== 'least_mean_time' && f.objective !== 'least_worst_time' }

/** Whether places on the map have a part in the question. */
export function usesPlaces(f: PlanForm): boolean { return f.task === 'change' || (f.task === 'siting' && f.what === 'base' && f.grid.trim() === '') }

/** Whether other calls have a part in the question. */
export function usesCalls(f: PlanForm): boolean { return f.task !== 'siting' }

/** Siting has one situation. */
export function whenOf(f: PlanForm): When { return f.task === 'siting' && f.when === 'both' ? 'day' : f.when }

export function hoursOf(f: PlanForm): readonly Hour[] { return f.task === 'siting' ? f.hours.slice(0, 1) : f.hours }

/** What the service says is wrong, at the fields of the form: situations share theirs. */
export function atFields(f: PlanForm, faults: readonly Fault[]): Fault[] {
  const out = new Map<string, Fault>()
  for (const {pointer, detail} of faults) {
    const at = pointer
      .replace(/^#\/situations\/(\d+)\/(at|share)\b/, whenOf(f) === 'hours' ? '#/hours/$1/$2' : '#/situation/$2')
      .replace(/^#\/situation\/at\b/, whenOf(f) === 'hours' ? '#/hours/0/at' : '#/situation/at')
      .replace(/^#\/situations\/\d+/, '#/situation')
      .replace(/^#\/candidates\/(\d+)/, (_, n) => Number(n) < f.bases.length ? '#/bases' : `#/places/${Number(n) - f.bases.length}`)
      .replace(/^#\/candidates$/, '#/bases')
    out.set(at + detail, {pointer: at, detail})
  }
  return [...out.values()]
}

/** The hours that a form asks about, with their names. */
export function hoursAsked(f: PlanForm, longitude: number, now: number): {name: string, at: string, share: number}[] {
  const w = words.plan
  const day = {name: w.day, at: solarHour(longitude, 12, now), share: 1}
  const night = {name: w.night, at: solarHour(longitude, 0, now), share: 1}
  switch (whenOf(f)) {
    case 'both': return [day, night]
    case 'day': return [day]
    case 'night': return [night]
    case 'hours': return hoursOf(f).map((h, i) => ({name: h.name.trim() !== '' ? h.name.trim() : w.hourNumber(i + 1), at: readHour(h.at) ?? h.at, share: number(h.share)}))
  }
}

/** The situations that a form asks about. */
export function situations(f: PlanForm, fleet: readonly string[], longitude: number, now: number): Situation[] {
  const wind = readWind(f.wind)
  return hoursAsked(f, longitude, now).map(hour => ({
    ...hour,
    conditions: {
      ...(wind !== null && {wind}),
      ...(f.ceiling.trim() !== '' && {ceiling_ft: number(f.ceiling)}),
      ...(f.visibility.trim() !== '' && {visibility_m: number(f.visibility)}),
    },
    ...(f.away.length > 0 && {assets: {only: fleet.filter(id => !f.away.includes(id))}}),
  }))
}

export function coverageQuestion(f: PlanForm, at: Situation[], demand: Demand | null, region: Region): CoverageQuestion {
  return {
    cell_m: 1000 * number(f.cell), situations: at, ...(demand !== null && {demand}),
    ...(f.calls.trim() !== '' && {busy: {calls_per_day: number(f.calls), ...(f.service.trim() !== '' && {service_min: number(f.service)})}}),
    ...(f.task === 'change' && {change: changeOf(f, region)}),
  }
}

/** The question of siting; it has one situation. */
export function sitingQuestion(f: PlanForm, at: Situation, demand: Demand | null): SitingQuestion {
  const {share: _, ...situation} = at
  const candidates = [
    ...f.bases.map(facility => ({facility})),
    ...f.places.flatMap((p, i) => { const position = readPosition(p.at); return position === null ? [] : [{position, name: placeName(f.places, i).slice(0, 100)}] }),
  ]
  return {
    cell_m: 1000 * number(f.cell), situation, ...(demand !== null && {demand}), what: f.what, objective: f.objective, count: number(f.count),
    ...(isLimited(f) && {within_s: 60 * number(f.limit)}),
    ...(f.objective === 'most_people_busy' && {busy_share: number(f.busyShare) / 100}),
    ...(f.what === 'base' && {
      like: f.like, ...(f.move.length > 0 && {move: f.move}),
      ...(f.grid.trim() !== '' ? {candidates_from: 'grid' as const, candidate_cell_m: 1000 * number(f.grid)} : candidates.length > 0 && {candidates}),
    }),
  }
}
