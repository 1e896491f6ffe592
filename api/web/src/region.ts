// The region's lists as the page needs them: what to draw, and names for ids.

import {getJSON, Refused} from './client'
import type {Asset, Facility, Position} from './shapes'

export interface Ring { kind: 'land' | 'water' | 'high', rings: Position[][] }
export interface Way { id: string, kind: 'road' | 'bridge' | 'ferry' | 'pass', name: string, line: Position[], closed: boolean }

export interface Region {
  name: string
  demonstration: boolean
  facilities: Facility[]
  assets: Asset[]
  ground: Ring[]
  ways: Way[]
  names: Map<string, string> // of facilities, assets and roads
}

export const nowhere: Region = {name: '', demonstration: false, facilities: [], assets: [], ground: [], ways: [], names: new Map()}

interface Feature {
  id: string
  geometry: {type: string, coordinates: unknown} | null
  properties: {kind?: string, name?: string, water?: string, crossing?: string, closed?: unknown}
}

export async function loadRegion(): Promise<Region> {
  const [parameters, facilities, fleet, roads] = await Promise.all([
    getJSON<{region: {name: string, demonstration: boolean}}>('/v1/parameters'),
    getJSON<{features: Facility[]}>('/v1/facilities'),
    getJSON<{assets: Asset[]}>('/v1/assets'),
    getJSON<{features: Feature[]}>('/v1/roads').catch((e: unknown) => {
      if (e instanceof Refused && e.status === 404) return {features: []} // a region may have no such file
      throw e
    }),
  ])
  const names = new Map<string, string>()
  for (const f of facilities.features) names.set(f.id, f.properties.name)
  for (const a of fleet.assets) names.set(a.id, a.name)
  for (const r of roads.features) if (r.properties.name !== undefined && r.properties.name !== '') names.set(r.id, r.properties.name)
  return {
    ...parameters.region, facilities: facilities.features, assets: fleet.assets, names,
    ground: roads.features.flatMap(ring), ways: roads.features.flatMap(way),
  }
}

function ring(f: Feature): Ring[] {
  if (f.geometry?.type !== 'Polygon') return []
  const rings = f.geometry.coordinates as Position[][]
  switch (f.properties.kind) {
    case 'barrier':
      if (f.properties.water === 'outside') return [{kind: 'land', rings}]
      if (f.properties.water === 'inside') return [{kind: 'water', rings}]
      return []
    case 'area': return [{kind: 'high', rings}]
  }
  return []
}

function way(f: Feature): Way[] {
  if (f.geometry?.type !== 'LineString') return []
  const line = f.geometry.coordinates as Position[]
  const name = f.properties.name ?? ''
  const {id} = f
  switch (f.properties.kind) {
    case 'road': return [{id, kind: 'road', name, line, closed: false}]
    case 'crossing': {
      const kind = f.properties.crossing
      if (kind === 'bridge' || kind === 'ferry' || kind === 'pass') {
        return [{id, kind, name, line, closed: f.properties.closed !== undefined}]
      }
    }
  }
  return []
}

export function positionOf(f: Facility): Position { return f.geometry.coordinates as Position }

/** Where an asset stands: its own position, or its base's. */
export function placeOf(a: Asset, r: Region): Position | null {
  if (a.position !== undefined) return a.position
  const base = r.facilities.find(f => f.id === a.base)
  return base === undefined ? null : positionOf(base)
}

const chest = ['cardiothoracic_surgery', 'paediatric_cardiothoracic_surgery']

export function capabilitiesOf(f: Facility): string[] { return (f.properties.capabilities ?? []).map(String) }

export function operatesInChest(f: Facility): boolean { return capabilitiesOf(f).some(c => chest.includes(c)) }

/** Whether a hospital takes patients at an instant. */
export function accepts(f: Facility, at: number): boolean {
  const a = f.properties.accepting
  return a === undefined || a.state === 'open' || (a.until !== undefined && Date.parse(a.until) <= at)
}

export function inAir(kind: string): boolean { return kind === 'helicopter' || kind === 'aeroplane' }
