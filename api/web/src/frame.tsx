// What stands around every view: whose region, which view, day or night, the
// signal, and the line every answer carries.

import type {JSX} from 'preact'
import {useEffect, useState} from 'preact/hooks'
import type {Asking} from './ask'
import type {Region} from './region'
import type {Light, View} from './state'
import {words} from './strings'

interface TopProps { region: Region, view: View, views: readonly View[], go: (v: View) => void, light: Light, flip: () => void, help: () => void }

export function Top({region, view, views, go, light, flip, help}: TopProps): JSX.Element {
  return <header class="top">
    <a class="skip" href="#main" onClick={e => { e.preventDefault(); document.getElementById('ways')?.focus() }}>{words.skip}</a>
    {view === 'desk' ? <h1 class="brand">{words.title}</h1> : <strong class="brand">{words.title}</strong>}
    {region.name !== '' && <bdi class="region-name">{region.name}</bdi>}
    {region.demonstration && <span class="demonstration" title={words.demonstrationLong}>{words.demonstration}</span>}
    <nav aria-label={words.viewsLabel}>
      {views.map(v => <button key={v} type="button" aria-current={v === view ? 'page' : undefined} onClick={() => go(v)}>{words.views[v]}</button>)}
    </nav>
    <button type="button" class="light" onClick={flip}>{light === 'day' ? words.nightOn : words.dayOn}</button>
    <button type="button" class="keys" onClick={help}><kbd aria-hidden="true">?</kbd> {words.help}</button>
  </header>
}

/** The state of the answer: being worked out, how old, or without signal. */
export function Signal({asking}: {asking: Asking}): JSX.Element {
  const now = useNow(15_000)
  const {last, lost, busy, wrong} = asking
  const age = last === null ? '' : words.ageMinutes(Math.floor(Math.max(0, now - last.received) / 60_000))
  return <div class="signal" role="status">
    {lost ? <p class="lost"><strong>{last === null ? words.lostNothing : words.lostSignal(age)}</strong> {words.trying}</p>
      : wrong !== '' ? null
      : busy ? <p class="busy">{words.working}</p>
      : last !== null ? <p class="age">{words.answerAge(age)}</p> : null}
  </div>
}

export function Wrong({asking}: {asking: Asking}): JSX.Element | null {
  if (asking.wrong === '') return null
  return <div class="problem" role="alert">
    <h2>{words.wrong}</h2>
    {asking.faults.length === 0 ? <p>{asking.wrong}</p> : <ul>{asking.faults.map(f => <li key={f.pointer + f.detail}>{f.detail}</li>)}</ul>}
  </div>
}

export function Caution({text}: {text: string}): JSX.Element {
  return <footer class="caution">{text}</footer>
}

/** The device's clock, seen every so many ms. */
export function useNow(every: number): number {
  const [now, set] = useState(Date.now)
  useEffect(() => {
    const t = window.setInterval(() => set(Date.now()), every)
    return () => window.clearInterval(t)
  }, [every])
  return now
}
