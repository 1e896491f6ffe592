// A change to the region, step by step, as the document that coverage is asked with:
// merge patches (RFC 7396) of elements by file and id.

import type {Fault} from './client'
import {placeName, readPosition, type PlanForm} from './plan'
import {capabilitiesOf, type Region} from './region'
import {words} from './strings'

export type StepKind = 'add' | 'move' | 'take' | 'night' | 'surgeon' | 'pad'

/** What is changed: a vehicle or a hospital, and where to. `at` is a base's id, or
 * "place:" and the key of a place. */
export interface Step { kind: StepKind, of: string, at: string }

export type Change = {[member: string]: unknown}

export function needsPlace(kind: StepKind): boolean { return kind === 'add' || kind === 'move' }
export function ofHospital(kind: StepKind): boolean { return kind === 'surgeon' || kind === 'pad' }

export function changeFaults(f: PlanForm, region: Region): Fault[] {
  const w = words.plan.wrong
  const out: Fault[] = []
  f.steps.forEach((s, i) => {
    if (!region.names.has(s.of)) out.push({pointer: `#/steps/${i}/of`, detail: w.chooseOne})
    if (needsPlace(s.kind) && !region.names.has(s.at) && placeOf(f, s.at) < 0) out.push({pointer: `#/steps/${i}/at`, detail: w.chooseOne})
  })
  if (f.more.trim() !== '' && readObject(f.more) === null) out.push({pointer: '#/change', detail: w.json})
  if (f.steps.length === 0 && f.more.trim() === '') out.push({pointer: '#/change', detail: w.noChange})
  return out
}

function placeOf(f: PlanForm, at: string): number { return at.startsWith('place:') ? f.places.findIndex(p => 'place:' + p.key === at) : -1 }

function readObject(text: string): Change | null {
  try {
    const value: unknown = JSON.parse(text)
    return typeof value === 'object' && value !== null && !Array.isArray(value) ? value as Change : null
  } catch {
    return null
  }
}

/** The document of a form's change. Further changes come on top. */
export function changeOf(f: PlanForm, region: Region): Change {
  const facilities: Change = {}
  const fleet: Change = {}
  const base = (at: string): string => {
    const i = placeOf(f, at)
    if (i < 0) return at
    const id = fresh(`new-base-${i + 1}`, region)
    facilities[id] = {type: 'Feature', id, geometry: {type: 'Point', coordinates: readPosition(f.places[i]!.at)}, properties: {kind: 'base', name: placeName(f.places, i), fuel: true}}
    return id
  }
  f.steps.forEach((s, i) => {
    switch (s.kind) {
      case 'add': {
        const like = region.assets.find(a => a.id === s.of)
        const {state: _, position: __, free_at: ___, until: ____, fuel_s: _____, ...kept} = (like ?? {}) as Change
        const id = fresh(`new-vehicle-${i + 1}`, region)
        fleet[id] = {...kept, id, name: words.plan.oneMore(like?.name ?? s.of), base: base(s.at)}
        break
      }
      case 'move': fleet[s.of] = merge(fleet[s.of], {base: base(s.at), position: null, state: null, free_at: null, until: null}); break
      case 'take': fleet[s.of] = null; break
      case 'night': fleet[s.of] = merge(fleet[s.of], {hours: null, ...(flies(s.of, region) && {night_flying: true})}); break
      case 'surgeon': facilities[s.of] = merge(facilities[s.of], {properties: resident(s.of, region)}); break
      case 'pad': facilities[s.of] = merge(facilities[s.of], {properties: {pad: {position: null, vehicle_needed: false, shuttle_call: null, lit: true, hours: null, occupied: null}}}); break
    }
  })
  const own: Change = {
    name: short(f.called.trim()) || short(f.steps.map(s => stepText(s, f, region)).join('; ')) || words.plan.change,
    ...(Object.keys(facilities).length > 0 && {'facilities.geojson': facilities}),
    ...(Object.keys(fleet).length > 0 && {'fleet.json': fleet}),
  }
  const more = readObject(f.more)
  return more === null ? own : merge(own, more) as Change
}

/** The name of a change may have 60 letters. */
function short(name: string): string {
  const letters = [...name]
  return letters.length <= 60 ? name : letters.slice(0, 59).join('') + '…'
}

/** A step in words. */
export function stepText(s: Step, f: PlanForm, region: Region): string {
  const i = placeOf(f, s.at)
  return words.plan.stepText[s.kind](region.names.get(s.of) ?? s.of, i >= 0 ? placeName(f.places, i) : region.names.get(s.at) ?? s.at)
}

/** A surgeon for the chest in the house at every hour, with a theatre. */
function resident(id: string, region: Region): Change {
  const hospital = region.facilities.find(f => f.id === id)
  const has = hospital === undefined ? [] : capabilitiesOf(hospital)
  const need = 'cardiothoracic_surgery'
  return {
    ...(!has.includes(need) && {capabilities: [...has, need]}),
    surgeons: {[need]: {otherwise: {presence: 'resident', call_in: null}, weekly: null, exceptions: null}},
  }
}

function flies(id: string, region: Region): boolean { return region.assets.some(a => a.id === id && a.kind === 'helicopter') }

function fresh(id: string, region: Region): string {
  while (region.names.has(id)) id += '-x'
  return id
}

/** One patch after another, as one. */
function merge(one: unknown, two: unknown): unknown {
  if (!isObject(one) || !isObject(two)) return two
  const out: Change = {...one}
  for (const [k, v] of Object.entries(two)) out[k] = k in out ? merge(out[k], v) : v
  return out
}

function isObject(v: unknown): v is Change { return typeof v === 'object' && v !== null && !Array.isArray(v) }
