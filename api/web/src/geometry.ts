// Lines and frames on the sphere, as far as drawing needs them.

import type {Position} from './shapes'

const radians = Math.PI / 180

/** A great circle from a to b in short straight pieces, its longitudes running
 * on past ±180° so that it can be drawn as one line. */
export function greatCircle(a: Position, b: Position, pieces = 32): Position[] {
  const va = unit(a)
  const vb = unit(b)
  const dot = Math.max(-1, Math.min(1, va[0] * vb[0] + va[1] * vb[1] + va[2] * vb[2]))
  const angle = Math.acos(dot)
  if (angle < 1e-9) return [a, b]
  const out: Position[] = []
  let last = a[0]
  for (let i = 0; i <= pieces; i++) {
    const f = i / pieces
    const p = Math.sin((1 - f) * angle) / Math.sin(angle)
    const q = Math.sin(f * angle) / Math.sin(angle)
    const v = [0, 1, 2].map(k => p * (va[k] as number) + q * (vb[k] as number)) as [number, number, number]
    let lon = Math.atan2(v[1], v[0]) / radians
    while (lon - last > 180) lon -= 360
    while (lon - last < -180) lon += 360
    last = lon
    out.push([lon, Math.atan2(v[2], Math.hypot(v[0], v[1])) / radians])
  }
  return out
}

function unit([lon, lat]: Position): [number, number, number] {
  const c = Math.cos(lat * radians)
  return [c * Math.cos(lon * radians), c * Math.sin(lon * radians), Math.sin(lat * radians)]
}

export type Extent = [west: number, south: number, east: number, north: number]

/** The least frame around positions; null for none. */
export function extentOf(points: Iterable<Position>): Extent | null {
  let e: Extent | null = null
  for (const [lon, lat] of points) {
    e = e === null ? [lon, lat, lon, lat]
      : [Math.min(e[0], lon), Math.min(e[1], lat), Math.max(e[2], lon), Math.max(e[3], lat)]
  }
  return e
}

/** A flat map for a small region: longitude shrunk by the cosine of the middle
 * latitude, fitted into width × height with a margin on each side. */
export function fit(e: Extent, width: number, height: number, margin: number): (p: Position) => [number, number] {
  const shrink = Math.cos((e[1] + e[3]) / 2 * radians)
  const wide = Math.max((e[2] - e[0]) * shrink, 0.02)
  const high = Math.max(e[3] - e[1], 0.02)
  const scale = Math.min((width - 2 * margin) / wide, (height - 2 * margin) / high)
  const x0 = width / 2 - (e[0] + e[2]) / 2 * shrink * scale
  const y0 = height / 2 + (e[1] + e[3]) / 2 * scale
  return ([lon, lat]) => [x0 + lon * shrink * scale, y0 - lat * scale]
}
