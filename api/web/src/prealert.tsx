// The message to the receiving hospital, and the calls with the times by which
// to make them, for the way that is looked at.

import type {JSX} from 'preact'
import {useEffect, useState} from 'preact/hooks'
import type {Asked} from './ask'
import {ClinicalForm, toClinical, type Told} from './clinical'
import {postJSON, Refused, type Fault} from './client'
import {WallClock} from './format'
import type {Option, PreAlert} from './shapes'
import {words} from './strings'

export interface Message {
  text: PreAlert | null
  wrong: string
  faults: Fault[]
}

const nothing: Message = {text: null, wrong: '', faults: []}

/** Keeps the message for an option; the last one stays while there is no signal. */
export function useMessage(asked: Asked | null, option: Option | undefined, told: Told): Message {
  const [message, set] = useState<Message>(nothing)
  const key = asked === null || option === undefined ? '' : JSON.stringify({
    // the time of the answer, not of this request: both must be about the same plan
    ...asked.question, at: asked.answer.at, option: option.id, clinical: toClinical(told),
  })
  useEffect(() => {
    if (key === '') return set(nothing)
    const stop = new AbortController()
    const wait = window.setTimeout(() => {
      postJSON<PreAlert>('/v1/pre-alert', JSON.parse(key), stop.signal).then(
        text => set({text, wrong: '', faults: []}),
        (e: unknown) => {
          if (stop.signal.aborted) return
          if (e instanceof Refused) set({text: null, wrong: e.message, faults: e.faults})
          else set(m => m.text?.option === option?.id ? m : nothing)
        })
    }, 150)
    return () => {
      window.clearTimeout(wait)
      stop.abort()
    }
  }, [key])
  return message
}

/** The message large enough to read out, and the calls. */
export function ReadOut({message, clock, limit = 99}: {message: Message, clock: WallClock, limit?: number}): JSX.Element | null {
  const {text, wrong, faults} = message
  if (text === null) {
    return wrong === '' ? <p class="hint">{words.working}</p>
      : <div class="problem" role="alert"><p>{wrong}</p><ul>{faults.map(f => <li key={f.pointer + f.detail}>{f.detail}</li>)}</ul></div>
  }
  return <div class="read-out">
    <blockquote>{text.text}</blockquote>
    <table class="calls">
      <caption>{words.calls}</caption>
      <thead><tr><th scope="col">{words.callBy}</th><th scope="col">{words.callWho}</th></tr></thead>
      <tbody>{text.calls.slice(0, limit).map(c => <tr key={c.who + c.for} class={c.now ? 'now' : ''}>
        <td>{c.now ? words.callNow : clock.at(c.by)}</td>
        <th scope="row">{words.callees[c.who] ?? c.who}{c.facility_name !== undefined && <>, <bdi>{c.facility_name}</bdi></>}</th>
      </tr>)}</tbody>
    </table>
  </div>
}

export function MessagePanel({message, clock, told, tell, open = false}: {
  message: Message, clock: WallClock, told: Told, tell: (t: Told) => void, open?: boolean,
}): JSX.Element {
  return <details class="message" open={open} id="message">
    <summary>{words.preAlert}</summary>
    <ReadOut message={message} clock={clock} />
    <details class="tell"><summary>{words.clinical.title}</summary>
      <p class="hint">{words.clinical.noNames}</p>
      <ClinicalForm told={told} tell={tell} faults={message.faults} />
    </details>
  </details>
}
