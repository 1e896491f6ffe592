// The worked examples of the interface's own description, offered in the invented
// region only, so that somebody who looks for the first time has something to see.

import type {JSX} from 'preact'
import {useEffect, useState} from 'preact/hooks'
import {fromQuestion, type State} from './state'
import {words} from './strings'

type List = typeof import('./examples.gen').examples

const notScenes = new Set(['least', 'all', 'windy-aeroplane']) // these show what may be asked

export function Examples({show}: {show: (s: State) => void}): JSX.Element | null {
  const [list, set] = useState<List>([])
  useEffect(() => {
    let over = false
    import('./examples.gen').then(
      m => { if (!over) set(m.examples.filter(([id, e]) => !notScenes.has(id) && e.value.happened === undefined)) },
      () => undefined) // no signal: nothing is offered
    return () => { over = true }
  }, [])
  if (list.length === 0) return null
  return <section class="examples" aria-label={words.examples}>
    <h2>{words.examples}</h2>
    <p class="hint">{words.examplesHint}</p>
    <ul>{list.map(([id, e]) => <li key={id}><button type="button" onClick={() => show(fromQuestion(e.value))}>{e.summary}</button></li>)}</ul>
  </section>
}
