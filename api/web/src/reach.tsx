// Who can open the chest in time, while output is lost: every team on one clock with
// the end of the window marked.

import type {JSX} from 'preact'
import {useEffect, useState} from 'preact/hooks'
import type {Asked} from './ask'
import {postJSON, Refused} from './client'
import {chance, WallClock, wholeNumber} from './format'
import {ticks} from './lanes_layout'
import {reachQuestion, reachSpan, verdict, type ReachSpan} from './reach_layout'
import type {Reach, ReachTeam} from './shapes'
import {words} from './strings'
import {useWidth} from './use_width'

const w = words.reach

export interface ReachState { answer: Reach | null, wrong: string }

const none: ReachState = {answer: null, wrong: ''}

/** Keeps the teams beside an answer; the last ones stay while there is no signal. */
export function useReach(asked: Asked | null): ReachState {
  const [state, set] = useState(none)
  const question = asked === null ? null : reachQuestion(asked)
  const key = question === null ? '' : JSON.stringify(question)
  useEffect(() => {
    if (key === '') return set(none)
    const stop = new AbortController()
    postJSON<Reach>('/v1/reach', JSON.parse(key), stop.signal).then(
      answer => set({answer, wrong: ''}),
      (e: unknown) => {
        if (!stop.signal.aborted && e instanceof Refused) set({answer: null, wrong: e.message})
      })
    return () => stop.abort()
  }, [key])
  return state
}

/** The panel, with so many teams at first. */
export function ReachPanel({reach: {answer, wrong}, first}: {reach: ReachState, first: number}): JSX.Element | null {
  if (wrong !== '') return <section class="reach" aria-label={w.title}><h2>{w.title}</h2><p role="alert">{wrong}</p></section>
  return answer === null ? null : <Teams answer={answer} first={first} />
}

function Teams({answer, first}: {answer: Reach, first: number}): JSX.Element {
  const [box, width] = useWidth()
  const clock = new WallClock(answer.at_local)
  const span = reachSpan(answer)
  const coming = answer.teams.filter(t => t.opening !== undefined)
  const draw = (t: ReachTeam) => <Team key={t.asset} team={t} span={span} width={width} clock={clock} />
  return <section class="reach" aria-label={w.title}>
    <h2>{w.title}</h2>
    <p class="closes"><strong>{w.until} <time>{clock.at(answer.closes_at)}</time></strong>, {answer.window.what}
      {coming.length > 1 && <> · {w.all(chance(answer.chance))}</>}</p>
    <p class="sentence">{sentence(answer.headline)}</p>
    <div ref={box}>
      {coming.length > 0 && <Scale span={span} width={width} clock={clock} />}
      <ul class="teams">{coming.slice(0, first).map(draw)}</ul>
      {coming.length > first && <details class="later"><summary>{w.later(coming.length - first)}</summary><ul class="teams">{coming.slice(first).map(draw)}</ul></details>}
    </div>
    <Sentences of={answer.teams.filter(t => t.opening === undefined)} title={w.cannot} />
    <Sentences of={answer.others} title={w.others} />
    <details class="window"><summary>{w.whence}</summary>
      <p>{w.source(answer.window.source, answer.window.mark)}{answer.window.note !== undefined && ` ${sentence(answer.window.note)}`} {w.noAdvice}</p>
      {answer.cautions.length > 0 && <ul>{answer.cautions.map(c => <li key={c}>{c}</li>)}</ul>}
    </details>
  </section>
}

/** The same in words alone, for a file. */
export function ReachSentences({answer}: {answer: Reach}): JSX.Element {
  const clock = new WallClock(answer.at_local)
  return <section class="reach" aria-label={w.title}>
    <h2>{w.title}</h2>
    <p class="closes"><strong>{w.until} <time>{clock.at(answer.closes_at)}</time></strong>, {answer.window.what}</p>
    <p class="sentence">{sentence(answer.headline)}</p>
    <Sentences of={[...answer.teams, ...answer.others]} title={w.every} />
    <p>{w.noAdvice}</p>
  </section>
}

function Sentences({of, title}: {of: readonly ReachTeam[], title: (n: string) => string}): JSX.Element | null {
  if (of.length === 0) return null
  return <details><summary>{title(wholeNumber(of.length))}</summary><ul>{of.map(t => <li key={t.asset}>{t.sentence}</li>)}</ul></details>
}

function Team({team: t, span, width, clock}: {team: ReachTeam, span: ReachSpan, width: number, clock: WallClock}): JSX.Element | null {
  const v = verdict(t)
  if (t.opening === undefined || t.arrival === undefined || v === null) return null
  return <li class={'team ' + v}>
    <p><strong><bdi>{t.name}</bdi></strong> <span class="verdict">{w.verdicts[v]}</span> <span class="odds">{w.inTime(chance(t.opening.chance))}</span></p>
    <p>{w.there(clock.at(t.arrival.at), clock.at(t.opening.at), clock.at(t.opening.slow_at))}</p>
    <Bars there={t.arrival.after.typical_s} open={t.opening.after.typical_s} slow={t.opening.after.slow_s} span={span} width={width} />
    {t.cautions.length > 0 && <ul class="cautions">{t.cautions.map(c => <li key={c}>{c}</li>)}</ul>}
  </li>
}

const bar = {height: 30, top: 8, high: 14}

/** On the way thin, opening heavy, as late as it may become faded; what ends beyond the
 * clock runs out of it. The words beside it say the same. */
function Bars({there, open, slow, span, width}: {there: number, open: number, slow: number, span: ReachSpan, width: number}): JSX.Element {
  const x = scale(span, width)
  const thin = bar.top + bar.high / 4
  return <svg class="lanes reach-bars" width={width} height={bar.height} aria-hidden="true">
    <rect class="window" x={x(span.from)} width={Math.max(x(span.closes) - x(span.from), 0)} y="0" height={bar.height} />
    <line class="grid zero" x1={x(0)} x2={x(0)} y1="0" y2={bar.height} />
    {slow > open && <rect class="spread" x={x(open)} width={Math.max(x(slow) - x(open), 0)} y={bar.top} height={bar.high} />}
    <g class="lane vehicle"><rect class="bar" x={x(0)} width={Math.max(x(there) - x(0), 0)} y={thin} height={bar.high / 2} /></g>
    <g class="lane patient"><rect class="bar critical" x={x(there)} width={Math.max(x(open) - x(there), 0)} y={bar.top} height={bar.high} /></g>
    {open <= span.to && <g class="meet"><line x1={x(open)} x2={x(open)} y1={bar.top - 5} y2={bar.top + bar.high + 5} /></g>}
    {open > span.to && <path class="beyond" d={`M${width - 12} ${bar.top}l10 ${bar.high / 2}l-10 ${bar.high / 2}z`} />}
    <line class="closing" x1={x(span.closes)} x2={x(span.closes)} y1="0" y2={bar.height} />
  </svg>
}

function Scale({span, width, clock}: {span: ReachSpan, width: number, clock: WallClock}): JSX.Element {
  const x = scale(span, width)
  const wall = ((clock.start + clock.offset) / 1000 + span.from) % 86_400
  const at = ticks(span.to - span.from, wall, (span.to - span.from) * 54 / Math.max(width, 54)).map(s => s + span.from)
  const end = x(span.closes)
  return <svg class="scale reach-scale" width={width} height="44" aria-hidden="true">
    {at.map(s => <g key={s}>
      <line class="tick" x1={x(s)} x2={x(s)} y1="36" y2="44" />
      {x(s) > 16 && x(s) < width - 16 && Math.abs(x(s) - end) > 20 && <text class="tick-time" x={x(s)} y="32" text-anchor="middle">{clock.after(s)}</text>}
    </g>)}
    <circle class="zero" cx={x(0)} cy="40" r="3.5" />
    <line class="closing" x1={end} x2={end} y1="15" y2="44" />
    <text class="closing-word" x={Math.min(Math.max(end, 58), width - 58)} y="11" text-anchor="middle">{w.windowEnds(clock.after(span.closes))}</text>
  </svg>
}

function scale(span: ReachSpan, width: number): (seconds: number) => number {
  return s => 4 + (width - 8) * Math.min(Math.max((s - span.from) / (span.to - span.from), 0), 1)
}

function sentence(text: string): string { return text.charAt(0).toUpperCase() + text.slice(1) + (/[.!?]$/.test(text) ? '' : '.') }
