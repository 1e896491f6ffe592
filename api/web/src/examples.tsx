// The worked examples of the interface's own description, offered in the invented
// region only, so that somebody who looks for the first time has something to see.

import type {JSX} from 'preact'
import {useEffect, useState} from 'preact/hooks'
import {getJSON} from './client'
import type {Question} from './shapes'
import {fromQuestion, type State} from './state'
import {words} from './strings'

interface Document { paths: {'/v1/options': {post: {requestBody: {content: {'application/json': {examples: Record<string, {summary: string, value: Question}>}}}}}} }

const notScenes = new Set(['least', 'all', 'windy-aeroplane']) // these show what may be asked
const offered = ([id, e]: [string, {value: Question}]) => !notScenes.has(id) && e.value.happened === undefined

export function Examples({show}: {show: (s: State) => void}): JSX.Element | null {
  const [list, set] = useState<[string, {summary: string, value: Question}][]>([])
  useEffect(() => {
    const stop = new AbortController()
    getJSON<Document>('/v1/openapi.json', stop.signal).then(
      d => set(Object.entries(d.paths['/v1/options'].post.requestBody.content['application/json'].examples).filter(offered)),
      () => undefined) // without the description there is nothing to offer
    return () => stop.abort()
  }, [])
  if (list.length === 0) return null
  return <section class="examples" aria-label={words.examples}>
    <h2>{words.examples}</h2>
    <p class="hint">{words.examplesHint}</p>
    <ul>{list.map(([id, e]) => <li key={id}><button type="button" onClick={() => show(fromQuestion(e.value))}>{e.summary}</button></li>)}</ul>
  </section>
}
