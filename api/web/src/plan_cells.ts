// Tables of places: people that somebody hands in, and the cells of a result.

import type {Demand, Position} from './shapes'

/** Rows of a table of comma-separated values (RFC 4180). */
function readCSV(text: string): string[][] {
  const rows: string[][] = []
  let row: string[] = []
  let at = 0
  if (text.startsWith('\ufeff')) at = 1
  while (at < text.length) {
    let value = ''
    if (text[at] === '"') {
      for (at++; at < text.length; at++) {
        if (text[at] !== '"') value += text[at]
        else if (text[at + 1] === '"') value += text[at++]
        else break
      }
      at++
    } else {
      const from = at
      while (at < text.length && text[at] !== ',' && text[at] !== '\n' && text[at] !== '\r') at++
      value = text.slice(from, at)
    }
    row.push(value)
    if (text[at] === ',') {
      at++
      if (at === text.length) row.push('')
      continue
    }
    if (text[at] === '\r') at++
    if (text[at] === '\n') at++
    rows.push(row)
    row = []
  }
  if (row.length > 0) rows.push(row)
  return rows.filter(r => r.length > 1 || r[0] !== '')
}

/** A file of people, GeoJSON or a table with latitude, longitude, people and name, as a
 * question takes it; null where it is neither. What its values are is judged by the
 * service. */
export function readDemand(text: string): Demand | null {
  if (text.trimStart().startsWith('{')) {
    try {
      const found = JSON.parse(text) as Demand
      return found.type === 'FeatureCollection' && Array.isArray(found.features) ? {type: 'FeatureCollection', features: found.features} : null
    } catch {
      return null
    }
  }
  const [head = [], ...rows] = readCSV(text)
  const column = (name: string) => head.findIndex(h => h.trim().toLowerCase() === name)
  const lat = column('latitude'), lon = column('longitude'), name = column('name')
  const people = column('people') >= 0 ? column('people') : column('weight')
  if (lat < 0 || lon < 0 || rows.length === 0) return null
  const value = (text: string | undefined) => { const n = Number(text); return text?.trim() === '' || !Number.isFinite(n) ? text : n }
  return {
    type: 'FeatureCollection',
    features: rows.map(r => ({
      type: 'Feature', geometry: {type: 'Point', coordinates: [value(r[lon]), value(r[lat])]},
      properties: {...(people >= 0 && {people: value(r[people])}), ...(name >= 0 && r[name] !== '' && {name: r[name]})},
    })),
  }
}

/** How many live in a demand, and at how many points. */
export function countOf(d: Demand): {people: number, points: number} {
  let people = 0, points = 0
  for (const f of d.features as {geometry?: {type?: string}, properties?: {people?: unknown, weight?: unknown} | null}[]) {
    if (f.geometry?.type !== 'Point') continue
    points++
    const n = Number(f.properties?.people ?? f.properties?.weight ?? 1)
    if (Number.isFinite(n)) people += n
  }
  return {people, points}
}

/** One cell of a result; a time that nobody reaches is null. */
export interface Cell { at: Position, name: string, typical: number | null, slow: number | null, assets: string[], hospital: string }

export function readCells(text: string): Cell[] {
  const [head = [], ...rows] = readCSV(text)
  const i = (name: string) => head.indexOf(name)
  const [lat, lon, name, typical, slow, assets, hospital] = [i('latitude'), i('longitude'), i('name'), i('typical_s'), i('slow_s'), i('assets'), i('hospital')] as
    [number, number, number, number, number, number, number]
  const seconds = (text: string | undefined) => text === undefined || text === '' ? null : Number(text)
  return rows.map(r => ({
    at: [Number(r[lon]), Number(r[lat])], name: r[name] ?? '', typical: seconds(r[typical]), slow: seconds(r[slow]),
    assets: (r[assets] ?? '').split(' ').filter(Boolean), hospital: r[hospital] ?? '',
  }))
}

/** The index of the cell whose middle is nearest, and how far away that is in metres;
 * -1 where there is none. Flat, which is near enough between neighbours. */
export function nearest(cells: readonly Cell[], [lon, lat]: Position): {index: number, metres: number} {
  const shrink = Math.cos(lat * Math.PI / 180)
  let index = -1, least = Infinity
  cells.forEach((c, i) => {
    const x = ((c.at[0] - lon + 540) % 360 - 180) * shrink, y = c.at[1] - lat
    const d = x * x + y * y
    if (d < least) [index, least] = [i, d]
  })
  return {index, metres: Math.sqrt(least) * 111_195}
}

/** The classes of a gain, from much sooner to much later; the middle one is no change. */
export const gainClasses = 7

/** Which class a change of a cell's time falls into: 0 sooner by 15 minutes or reached
 * at last, 6 later by as much or not reached any more; null: reached neither way. */
export function gainClass(before: number | null, after: number | null): number | null {
  if (before === null) return after === null ? null : 0
  if (after === null) return 6
  const min = (before - after) / 60
  const size = Math.abs(min) >= 15 ? 3 : Math.abs(min) >= 5 ? 2 : Math.abs(min) >= 1 ? 1 : 0
  return min > 0 ? 3 - size : 3 + size
}
