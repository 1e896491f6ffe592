// The worked examples of the interface's own description, offered in the invented
// region only, so that somebody who looks for the first time has something to see.

import type {JSX} from 'preact'
import {useFetched} from './fetched'
import {fromQuestion, type State} from './state'
import {words} from './strings'

const notScenes = new Set(['least', 'all', 'windy-aeroplane']) // these show what may be asked

export function Examples({show}: {show: (s: State) => void}): JSX.Element | null {
  const [code] = useFetched(() => import('./examples.gen')) // without it nothing is offered
  const list = code?.examples.filter(([id, e]) => !notScenes.has(id) && e.value.happened === undefined) ?? []
  if (list.length === 0) return null
  return <section class="examples" aria-label={words.examples}>
    <h2>{words.examples}</h2>
    <p class="hint">{words.examplesHint}</p>
    <ul>{list.map(([id, e]) => <li key={id}><button type="button" onClick={() => show(fromQuestion(e.value))}>{e.summary}</button></li>)}</ul>
  </section>
}
