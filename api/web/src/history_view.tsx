// Who changed what, when and why; and any version made to hold again.

import type {JSX} from 'preact'
import {useEffect, useState} from 'preact/hooks'
import {readHistory, readPast, restore} from './edits'
import type {PastEdit} from './shapes'
import {say, words} from './strings'

export function HistoryView({round, names}: {round: number, names: ReadonlyMap<string, string>}): JSX.Element {
  const w = words.region
  const [entries, set] = useState<PastEdit[]>([])
  const [next, setNext] = useState<number | undefined>(undefined)
  const [open, setOpen] = useState<PastEdit | null>(null)
  const [sure, setSure] = useState(0)
  const [said, setSaid] = useState('')
  const [wrong, setWrong] = useState('')
  const fail = (e: unknown) => setWrong(e instanceof Error ? e.message : String(e))
  useEffect(() => { readHistory().then(h => { set(h.entries); setNext(h.next) }, fail) }, [round])
  const go = (n: number) => {
    if (sure !== n) return setSure(n)
    setSure(0)
    restore(n, '').then(() => { setSaid(w.restored(n)); setWrong('') }, fail)
  }
  return <div>
    {wrong !== '' && <p class="problem" role="alert">{wrong}</p>}
    <p role="status">{said}</p>
    <div class="scroll" tabIndex={0} role="region" aria-label={w.history}><table class="history">
      <thead><tr><th scope="col">{w.version}</th><th scope="col">{w.when}</th><th scope="col">{w.who}</th><th scope="col">{w.what}</th><th scope="col">{words.say.reason}</th><th scope="col"><span class="unseen">{w.restore}</span></th></tr></thead>
      <tbody>{entries.map((e, i) => <tr key={e.number}>
        <th scope="row"><button type="button" class="quiet" aria-expanded={open?.number === e.number}
          onClick={() => { if (open?.number === e.number) setOpen(null); else readPast(e.number).then(setOpen, fail) }}>{e.number}</button></th>
        <td>{e.at.slice(0, 10)} {e.at.slice(11, 19)} {words.utc}</td><td><bdi>{e.who}</bdi></td>
        <td>{e.changes.map(c => <div key={c.file + (c.element ?? '')}><bdi>{c.element === undefined ? c.file : names.get(c.element) ?? c.element}</bdi>: {say(words.actions, c.action)}</div>)}
          {open?.number === e.number && <Difference edit={open} />}</td>
        <td>{e.why}</td>
        <td>{i > 0 && <button type="button" onClick={() => go(e.number)}>{sure === e.number ? w.reallyRestore : w.restore}</button>}</td>
      </tr>)}</tbody>
    </table></div>
    {next !== undefined && <button type="button" class="quiet" onClick={() => readHistory(next).then(h => { set(old => [...old, ...h.entries]); setNext(h.next) }, fail)}>{w.older}</button>}
  </div>
}

/** What stood and what stands, where the two differ. */
function Difference({edit}: {edit: PastEdit}): JSX.Element {
  return <ul class="difference">{edit.changes.flatMap(c => differ(c.before, c.after, '').map(d =>
    <li key={c.element + d.at}><code>{d.at}</code> <del>{d.before}</del> <ins>{d.after}</ins></li>))}</ul>
}

/** Where two JSON values differ, by pointer, each side as text. */
export function differ(a: unknown, b: unknown, at: string): {at: string, before: string, after: string}[] {
  if (JSON.stringify(a) === JSON.stringify(b)) return []
  if (isObject(a) && isObject(b)) {
    return [...new Set([...Object.keys(a), ...Object.keys(b)])].flatMap(k => differ(a[k], b[k], `${at}/${k}`))
  }
  const text = (v: unknown) => v === undefined ? '–' : JSON.stringify(v)
  return [{at: at === '' ? '/' : at, before: text(a), after: text(b)}]
}

function isObject(v: unknown): v is Record<string, unknown> { return typeof v === 'object' && v !== null && !Array.isArray(v) }
