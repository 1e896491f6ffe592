// A plain drawn map of one way out, for paper: the region's own lines, no canvas.

import type {JSX} from 'preact'
import {useMemo} from 'preact/hooks'
import {extentOf, fit, greatCircle, type Extent} from './geometry'
import {operatesInChest, positionOf, type Region} from './region'
import type {Option, Position, Scene} from './shapes'
import {words} from './strings'

export function Sketch({region, option, scene, width, height}: {region: Region, option: Option, scene: Scene, width: number, height: number}): JSX.Element {
  const legs = useMemo(() => option.activities.filter(a => a.path !== undefined).map(a => ({
    id: a.id, air: a.by === 'air', carries: a.lane === 'patient',
    line: a.by === 'air' && a.path!.length === 2 ? greatCircle(a.path![0]!, a.path![1]!) : a.path!,
  })), [option])
  const own = extentOf([scene.position, option.destination.position, ...legs.flatMap(l => l.line)])
  const extent: Extent = own ?? [0, 0, 1, 1]
  const at = fit(extent, width, height, 46)
  const path = (line: readonly Position[], close = false) => line.map((p, i) => {
    const [x, y] = at(p)
    return `${i === 0 ? 'M' : 'L'}${x.toFixed(1)} ${y.toFixed(1)}`
  }).join('') + (close ? 'Z' : '')
  const stops = [option.meeting, option.via, option.far_field, option.destination].filter(p => p !== undefined)
  const [sx, sy] = at(scene.position)
  return <svg class="sketch" viewBox={`0 0 ${width} ${height}`} role="img" aria-label={`${words.mapOf}: ${option.sentence}`}>
    <rect class="sea" width={width} height={height} />
    {region.ground.map((g, i) => <path key={i} class={'ground ' + g.kind} d={g.rings.map(r => path(r, true)).join('')} />)}
    {region.ways.map((w, i) => <path key={i} class={'net ' + w.kind} d={path(w.line)} />)}
    {legs.map(l => <g key={l.id} class={['leg', l.air && 'air', l.carries && 'carries'].filter(Boolean).join(' ')}>
      <path class="edge" d={path(l.line)} /><path d={path(l.line)} /></g>)}
    {region.facilities.filter(f => f.properties.kind === 'hospital' && f.id !== option.destination.facility).map(f => {
      const [x, y] = at(positionOf(f))
      return <rect key={f.id} class={operatesInChest(f) ? 'hospital chest' : 'hospital'} x={x - 4} y={y - 4} width="8" height="8" />
    })}
    {stops.map(p => {
      const [x, y] = at(p.position)
      const end = p === option.destination
      const right = x > width * 0.6
      return <g key={p.facility + p.name}>
        {end ? <rect class="hospital end" x={x - 7} y={y - 7} width="14" height="14" /> : <circle class="stop" cx={x} cy={y} r="5" />}
        <text class="place" x={right ? x - 15 : x + 15} y={y + 4} text-anchor={right ? 'end' : 'start'}>{[...p.name].slice(0, 40).join('')}</text>
      </g>
    })}
    <g class="patient"><circle cx={sx} cy={sy} r="9" /><path d={`M${sx - 13} ${sy}h26M${sx} ${sy - 13}v26`} /></g>
  </svg>
}
