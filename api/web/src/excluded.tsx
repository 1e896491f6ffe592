// What is not possible, by reason, each pair with the service's own sentence.

import type {JSX} from 'preact'
import {wholeNumber} from './format'
import type {NotPossible} from './shapes'
import {say, words} from './strings'

interface Group { code: string, rows: {key: string, who: string, where: string, shape: string, detail: string}[] }

/** Groups pairs by reason code, the most frequent first; equal ones by code. */
export function byReason(list: readonly NotPossible[], names: ReadonlyMap<string, string>): Group[] {
  const groups = new Map<string, Group>()
  const name = (id: string) => names.get(id) ?? id
  for (const pair of list) {
    for (const r of pair.reasons) {
      const group = groups.get(r.code) ?? {code: r.code, rows: []}
      groups.set(r.code, group)
      group.rows.push({key: `${pair.asset}>${pair.destination}>${pair.shape}>${r.detail}`, who: name(pair.asset), where: name(pair.destination), shape: pair.shape, detail: r.detail})
    }
  }
  return [...groups.values()].sort((a, b) => b.rows.length - a.rows.length || (a.code < b.code ? -1 : 1))
}

export function Excluded({list, names}: {list: readonly NotPossible[], names: ReadonlyMap<string, string>}): JSX.Element | null {
  if (list.length === 0) return null
  return <details class="excluded" id="excluded">
    <summary>{words.reasonsAgainst(wholeNumber(list.length))}</summary>
    <p class="hint">{words.reasonsHint}</p>
    {byReason(list, names).map(g => <details key={g.code}>
      <summary>{say(words.reasons, g.code)} <span class="count">{wholeNumber(g.rows.length)}</span></summary>
      <ul>{g.rows.map(r => <li key={r.key}><bdi>{r.who}</bdi> {words.to} <bdi>{r.where}</bdi>, {say(words.shapes, r.shape)}: {r.detail}</li>)}</ul>
    </details>)}
  </details>
}
