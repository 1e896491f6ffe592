// Until when the first way is the first, and what its time hangs on.

import type {JSX} from 'preact'
import {minutes, type WallClock} from './format'
import type {Answer} from './shapes'
import {words} from './strings'

/** The one sentence for now: what must have begun, by when, and what then. */
export function DecideBy({answer, clock}: {answer: Answer, clock: WallClock}): JSX.Element | null {
  const d = answer.decide_by
  if (d === undefined) return null
  return <p class="decide-by"><strong>{words.decideBy} <time>{clock.at(d.latest_start_at)}</time></strong> <span>{sentence(d.sentence)}</span></p>
}

export function Deadlines({answer, clock}: {answer: Answer, clock: WallClock}): JSX.Element | null {
  if (answer.until.length === 0 && answer.runner_up === undefined) return null
  return <details class="until">
    <summary>{words.untilWhen}</summary>
    <ul>{[...answer.until].sort((a, b) => a.latest_start_s - b.latest_start_s).map(d =>
      <li key={d.activity + (d.asset ?? '')}><time>{clock.at(d.latest_start_at)}</time> {sentence(d.sentence)}</li>)}</ul>
    {answer.runner_up !== undefined && <p>{words.runnerUp}: {answer.runner_up.sentence}.</p>}
  </details>
}

/** One thing at a time is slow: by how much the first way is then longer. */
export function HangsOn({answer, names}: {answer: Answer, names: ReadonlyMap<string, string>}): JSX.Element | null {
  const rows = answer.sensitivity.filter(s => s.change_s !== 0)
  const still = answer.sensitivity.length - rows.length
  if (answer.sensitivity.length === 0) return null
  const most = Math.max(60, ...rows.map(s => Math.abs(s.change_s)))
  const first = answer.options[0]?.id
  return <details class="hangs-on">
    <summary>{words.sensitivity}</summary>
    <ul>{rows.map(s => <li key={s.cause}>
      <span class="what">{s.what}</span>
      <span class="weight"><svg width="120" height="12" aria-hidden="true"><rect width={Math.max(1, 120 * Math.abs(s.change_s) / most)} y="1" height="10" class={s.first === first ? '' : 'turns'} /></svg>
        {' '}{s.change_s > 0 ? '+' : '−'}{minutes(Math.abs(s.change_s))} {words.min}</span>
      {s.first !== first && <span class="then">{words.thenRather(otherName(answer, s.first, names))}</span>}
    </li>)}</ul>
    {still > 0 && <p class="hint">{words.changesNothing(still)}</p>}
  </details>
}

function otherName(answer: Answer, id: string, names: ReadonlyMap<string, string>): string {
  const o = answer.options.find(x => x.id === id)
  return o === undefined ? id : `${o.rank}. ${o.destination.name} (${o.assets.map(a => names.get(a) ?? a).join(', ')})`
}

function sentence(text: string): string { return text.charAt(0).toUpperCase() + text.slice(1) + (/[.!?]$/.test(text) ? '' : '.') }
