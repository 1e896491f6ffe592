// Draws meeting lanes. Colour says which lane; height and outline say what is
// critical; hatching says waiting; a slant says flight: nothing by colour alone.

import type {JSX} from 'preact'
import {chance, kilometres, minutes, type WallClock} from './format'
import {clocksOf, lanesOf, ticks, type Bar, type LaneRows} from './lanes_layout'
import type {Activity, Option} from './shapes'
import {say, words} from './strings'

export const pad = 62 // px left of the clock's zero, for lane names

interface Frame {
  option: Option
  span: number
  width: number
  clock: WallClock
  tall: boolean
}

const sizes = {
  slim: {bar: 8, row: 10, label: 0, gap: 3, top: 5, bottom: 5},
  tall: {bar: 14, row: 30, label: 14, gap: 5, top: 20, bottom: 8},
} as const

type Size = (typeof sizes)['slim'] | (typeof sizes)['tall']

/** Patterns and fades, once for the whole page. */
export function LaneDefs(): JSX.Element {
  return <svg class="defs" width="0" height="0" aria-hidden="true">
    <defs>
      {(['vehicle', 'patient', 'hospital'] as const).map(lane =>
        <pattern key={lane} id={'wait-' + lane} width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
          <line class={'hatch ' + lane} x1="1" y1="0" x2="1" y2="6" />
        </pattern>)}
      <linearGradient id="fade">
        <stop class="fade" offset="0" stop-opacity="0.06" />
        <stop class="fade" offset="0.4" stop-opacity="0.42" />
        <stop class="fade" offset="1" stop-opacity="0.03" />
      </linearGradient>
    </defs>
  </svg>
}

/** The common clock above the lanes. */
export function ClockScale({span, width, clock}: Omit<Frame, 'option' | 'tall'>): JSX.Element {
  const x = scale(span, width)
  const marks = marksOf(span, width, clock)
  return <svg class="scale" width={width} height="26" aria-hidden="true">
    {marks.map(at => <g key={at}>
      <line class="tick" x1={x(at)} x2={x(at)} y1="18" y2="26" />
      <text class="tick-time" x={x(at)} y="14" text-anchor="middle">{clock.after(at)}</text>
    </g>)}
    <circle class="zero" cx={x(0)} cy="22" r="3.5" />
  </svg>
}

export function MeetingLanes(f: Frame): JSX.Element {
  const s = f.tall ? sizes.tall : sizes.slim
  const x = scale(f.span, f.width)
  const lanes = lanesOf(f.option)
  let y = s.top
  const placed = lanes.map(lane => {
    const top = y
    const rows = Math.max(lane.rows, 1)
    y += rows * s.row + s.gap
    return {lane, top, bottom: y - s.gap}
  })
  const height = y - s.gap + s.bottom
  const patientTop = placed[1]?.top ?? s.top
  const meetTop = f.tall ? patientTop + s.label : patientTop
  const together = clocksOf(f.option).together
  const {p10_s: p10, p90_s: p90} = f.option.spread
  const leave = f.option.leave_scene_at === undefined ? null : (Date.parse(f.option.leave_scene_at) - f.clock.start) / 1000
  return <svg class={f.tall ? 'lanes tall' : 'lanes'} width={f.width} height={height} role="img" aria-label={summary(f)}>
    {marksOf(f.span, f.width, f.clock).map(at =>
      <line key={at} class="grid" x1={x(at)} x2={x(at)} y1="0" y2={height} />)}
    <line class="grid zero" x1={x(0)} x2={x(0)} y1="0" y2={height} />
    {p90 > p10 && <rect class="spread" x={x(p10)} width={Math.max(x(p90) - x(p10), 1)} y={patientTop} height={height - s.bottom - patientTop} />}
    {placed.map(p => <LaneDrawing key={p.lane.lane} lane={p.lane} top={p.top} size={s} x={x} frame={f} />)}
    <Thread placed={placed} size={s} x={x} />
    {f.tall && leave !== null && <g class="instant">
      <line x1={x(leave)} x2={x(leave)} y1="14" y2={placed[1]?.bottom ?? height} />
      <text x={x(leave)} y="11" text-anchor={x(leave) < pad + 60 ? 'start' : 'middle'}>{f.clock.after(leave)} {words.leaveScene.toLowerCase()}</text>
    </g>}
    <g class="meet">
      <line x1={x(together)} x2={x(together)} y1={meetTop} y2={height - s.bottom} />
      <circle cx={x(together)} cy={meetTop} r={f.tall ? 5 : 3.5} />
      <circle cx={x(together)} cy={height - s.bottom} r={f.tall ? 5 : 3.5} />
      {f.tall && x(p90) < f.width - 38 && <text class="late" x={x(p90) + 4} y={height - s.bottom}>{f.clock.after(p90)}</text>}
    </g>
    {f.tall && placed.map(p =>
      <text key={p.lane.lane} class={'lane-name ' + p.lane.lane} x={pad - 8} y={(p.top + p.bottom) / 2 + 9} text-anchor="end">{say(words.lanes, p.lane.lane)}</text>)}
  </svg>
}

function LaneDrawing({lane, top, size, x, frame}: {lane: LaneRows, top: number, size: Size, x: (s: number) => number, frame: Frame}): JSX.Element {
  const rows = Array.from({length: lane.rows}, (_, row) => lane.bars.filter(b => b.row === row))
  return <g class={'lane ' + lane.lane}>
    {rows.map((bars, row) => <g key={row}>
      {bars.map(b => <BarDrawing key={b.activity.id} bar={b} y={top + row * size.row + size.label} size={size} x={x} frame={frame} />)}
      {frame.tall && labels(bars, x, frame.width).map(l =>
        <text key={l.id} class={l.critical ? 'step critical' : 'step'} x={l.x} y={top + row * size.row + size.label - 3}>{l.text}</text>)}
    </g>)}
  </g>
}

function BarDrawing({bar, y, size, x, frame}: {bar: Bar, y: number, size: Size, x: (s: number) => number, frame: Frame}): JSX.Element {
  const a = bar.activity
  const x0 = x(a.start_s)
  const x1 = Math.max(x(a.end_s), x0 + 1.5)
  const high = a.critical ? size.bar : Math.round(size.bar * 0.55)
  const top = y + (size.bar - high) / 2
  const name = ['bar', a.critical && 'critical', a.kind === 'wait' && 'waiting', a.by].filter(Boolean).join(' ')
  const slant = a.by === 'air' ? Math.min(high * 0.6, (x1 - x0) / 3) : 0
  const points = `${x0 + slant},${top} ${x1},${top} ${x1 - slant},${top + high} ${x0},${top + high}`
  return <polygon class={name} points={points}><title>{hint(a, frame.clock)}</title></polygon>
}

/** The critical path where it changes lane or row: from the end of what is
 * waited for to the start of what waits. */
function Thread({placed, size, x}: {placed: {lane: LaneRows, top: number}[], size: Size, x: (s: number) => number}): JSX.Element {
  const at = new Map<string, {y: number, a: Activity}>()
  for (const p of placed) {
    for (const b of p.lane.bars) {
      if (b.activity.critical) at.set(b.activity.id, {y: p.top + b.row * size.row + size.label + size.bar / 2, a: b.activity})
    }
  }
  const lines: JSX.Element[] = []
  for (const {y, a} of at.values()) {
    for (const id of a.after) {
      const before = at.get(id)
      if (before === undefined || before.y === y || before.a.end_s !== a.start_s) continue
      lines.push(<line key={id + '>' + a.id} class="thread" x1={x(a.start_s)} x2={x(a.start_s)} y1={before.y} y2={y} />)
    }
  }
  return <g>{lines}</g>
}

interface Label { id: string, x: number, text: string, critical: boolean }

/** The names of steps, as many as fit without running into each other: what is
 * critical first, then what is long. */
function labels(bars: Bar[], x: (s: number) => number, width: number): Label[] {
  const taken: [number, number][] = []
  const out: Label[] = []
  const length = (b: Bar) => b.activity.end_s - b.activity.start_s
  const inOrder = bars.filter(b => b.activity.kind !== 'wait') // the hatching says so
    .sort((a, b) => Number(b.activity.critical) - Number(a.activity.critical) || length(b) - length(a))
  for (const {activity: a} of inOrder) {
    const text = stepName(a)
    const from = x(a.start_s) + (a.critical ? 3 : 0)
    const to = from + 6.1 * text.length
    const room = Math.max(x(a.end_s), from + 26)
    if (to > width || to > room + (a.kind === 'travel' ? 40 : 12) || taken.some(([l, r]) => from < r + 4 && to > l - 4)) continue
    if (to > room && bars.some(b => b.activity !== a && x(b.activity.start_s) < to && x(b.activity.start_s) >= x(a.end_s) && b.activity.critical)) continue
    taken.push([from, to])
    out.push({id: a.id, x: from, text, critical: a.critical})
  }
  return out
}

/** A step in a word or two. */
export function stepName(a: Activity): string {
  const kind = a.kind === 'travel' && a.by === 'air' ? words.fly
    : a.kind === 'load' && a.lane === 'vehicle' ? words.board : say(words.kinds, a.kind)
  return a.distance_m !== undefined && a.kind === 'travel' ? `${kind} ${kilometres(a.distance_m)} km` : kind
}

function hint(a: Activity, clock: WallClock): string {
  return `${stepName(a)}: ${clock.after(a.start_s)}–${clock.after(a.end_s)}, ${a.critical ? words.legendCritical : `${words.spare.toLowerCase()} ${minutes(a.slack_s)} ${words.min}`}. ${a.basis}`
}

function summary({option, clock}: Frame): string {
  const c = clocksOf(option)
  return `${words.handedOver} ${clock.after(c.patient)}, ${words.surgeonReady} ${clock.after(c.surgeon)}, ` +
    `${words.together.toLowerCase()} ${clock.after(c.together)}; ${words.range(clock.after(option.spread.p10_s), clock.after(option.spread.p90_s))}; ` +
    words.quickestLong(chance(option.spread.quickest))
}

function scale(span: number, width: number): (seconds: number) => number {
  return seconds => pad + (width - pad - 14) * seconds / span
}

function marksOf(span: number, width: number, clock: WallClock): number[] {
  const wall = ((clock.start + clock.offset) / 1000) % 86_400
  return ticks(span, wall, span * 54 / Math.max(width - pad, 54))
}

/** What the drawing means. */
export function LaneLegend(): JSX.Element {
  const sample = (className: string, slant: number, high: number) =>
    <svg width="34" height="14" aria-hidden="true" class="lanes"><g class="lane patient">
      <polygon class={className} points={`${2 + slant},${7 - high / 2} 32,${7 - high / 2} ${32 - slant},${7 + high / 2} 2,${7 + high / 2}`} />
    </g></svg>
  return <details class="legend">
    <summary>{words.legend}</summary>
    <ul>
      <li>{sample('bar critical', 0, 11)} {words.legendCritical}</li>
      <li>{sample('bar', 0, 6)} {words.legendSlack}</li>
      <li>{sample('bar waiting', 0, 6)} {words.legendWait}</li>
      <li>{sample('bar critical air', 6, 11)} {words.legendAir}</li>
      <li><svg width="34" height="14" aria-hidden="true" class="lanes"><g class="meet"><line x1="17" x2="17" y1="3" y2="11" /><circle cx="17" cy="3" r="3" /><circle cx="17" cy="11" r="3" /></g></svg> {words.legendMeet}</li>
      <li><svg width="34" height="14" aria-hidden="true" class="lanes"><rect class="spread" x="2" y="1" width="30" height="12" /></svg> {words.legendSpread}</li>
    </ul>
  </details>
}
