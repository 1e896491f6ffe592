// One element of the region, changed in place: each value by itself, or the whole
// as text. What the validator finds stands at its field.

import type {JSX} from 'preact'
import {useEffect, useState} from 'preact/hooks'
import {Refused, type Fault} from './client'
import {patchElement, putElement, readElement, removeElement, type Held, type List} from './edits'
import {LinesField, SelectField, TextField} from './fields'
import {leavesOf, patchOf} from './leaves'
import {plain, words} from './strings'

interface Props {
  list: List
  id: string        // '': a new one
  round: number     // grows when the region has changed
  placed: string    // where the map was clicked, as text; '': nowhere
  done: (id: string) => void
}

interface Wrong { text: string, faults: Fault[], meanwhile: boolean }
const nothingWrong: Wrong = {text: '', faults: [], meanwhile: false}

const templates: Record<List, (id: string) => unknown> = {
  facilities: id => ({type: 'Feature', id, properties: {kind: 'landing_site', name: '', lit: false, road_access: true}, geometry: {type: 'Point', coordinates: [0, 0]}}),
  assets: id => ({id, name: '', kind: 'ambulance', base: '', skills: ['paramedic']}),
  roads: id => ({type: 'Feature', id, properties: {kind: 'crossing', name: '', crossing: 'bridge'}, geometry: {type: 'LineString', coordinates: [[0, 0], [0, 0]]}}),
}

export function ElementForm({list, id, round, placed, done}: Props): JSX.Element {
  const w = words.region
  const [held, setHeld] = useState<Held | null>(null)
  const [edits, setEdits] = useState<ReadonlyMap<string, string>>(new Map())
  const [asText, setAsText] = useState<string | null>(null)
  const [why, setWhy] = useState('')
  const [wrong, setWrong] = useState<Wrong>(nothingWrong)
  const [said, setSaid] = useState('')
  const [sure, setSure] = useState(false)
  const fail = (e: unknown) => {
    setSaid('')
    setWrong({text: e instanceof Error ? e.message : String(e), faults: e instanceof Refused ? e.faults : [], meanwhile: e instanceof Refused && e.status === 412})
  }
  const read = () => readElement(list, id).then(h => { setHeld(h); setWrong(nothingWrong); return h }, fail)
  useEffect(() => {
    setEdits(new Map())
    setWrong(nothingWrong)
    setSaid('')
    setSure(false)
    setHeld(null)
    setAsText(id === '' ? JSON.stringify(templates[list](''), null, 2) : null)
    if (id !== '') void read()
  }, [list, id])
  const dirty = edits.size > 0 || asText !== null
  useEffect(() => { if (id !== '' && !dirty) void read() }, [round]) // what is being changed here is not replaced under the hands
  useEffect(() => {
    if (placed === '' || held === null || asText !== null) return
    const leaf = leavesOf(held.element).find(l => l.kind === 'place')
    if (leaf !== undefined) change(leaf.pointer, placed)
  }, [placed])

  const change = (pointer: string, text: string) => setEdits(old => new Map(old).set(pointer, text))
  const saved = (h: Held) => {
    setHeld(h)
    setEdits(new Map())
    setAsText(null)
    setWrong(nothingWrong)
    setSaid(w.saved)
    done(String(h.element['id']))
  }
  const save = () => {
    if (asText !== null) {
      let name: unknown
      try {
        name = (JSON.parse(asText) as {id?: unknown}).id
      } catch (e) {
        return fail(e)
      }
      if (typeof name !== 'string' || name === '') return fail(new Error(w.needsID))
      putElement(list, name, asText, held?.tag ?? '', why).then(saved, fail)
    } else if (held !== null) {
      patchElement(list, id, patchOf(leavesOf(held.element), edits), held.tag, why).then(saved, fail)
    }
  }
  const remove = () => {
    if (!sure) return setSure(true)
    if (held !== null) removeElement(list, id, held.tag, why).then(() => done(''), fail)
  }
  const leaves = held === null ? [] : leavesOf(held.element)
  const elsewhere = wrong.faults.filter(f => asText !== null || !leaves.some(l => f.pointer === l.pointer || f.pointer.startsWith(l.pointer + '/')))
  return <form class="element" aria-label={id === '' ? w.fresh : id} onSubmit={e => { e.preventDefault(); save() }}>
    <h2><bdi>{id === '' ? w.fresh : String((held?.element['properties'] as {name?: string} | undefined)?.name ?? held?.element['name'] ?? id)}</bdi> <span class="hint">{id}</span></h2>
    {wrong.text !== '' && <div class="problem" role="alert">
      <p>{wrong.text}</p>
      {elsewhere.length > 0 && <ul>{elsewhere.map(f => <li key={f.pointer + f.detail}><code>{f.pointer}</code> {f.detail}</li>)}</ul>}
      {wrong.meanwhile && <p><button type="button" onClick={() => void read()}>{w.readAgain}</button></p>}
    </div>}
    {asText !== null
      ? <LinesField class="text" label={w.asText} value={asText} set={setAsText} />
      : <div class="leaves">{leaves.map(l => {
          const value = edits.get(l.pointer) ?? l.text
          const props = {label: labelOf(l.path), faults: wrong.faults, at: l.pointer, class: edits.has(l.pointer) && value !== l.text ? 'edited' : ''}
          return l.kind === 'yes'
            ? <SelectField key={l.pointer} {...props} value={value} set={v => change(l.pointer, v)} choices={[['true', w.yes], ['false', w.no]]} />
            : <TextField key={l.pointer} {...props} value={value} set={v => change(l.pointer, v)} inputMode={l.kind === 'number' ? 'decimal' : 'text'} />
        })}</div>}
    <TextField label={w.why} value={why} set={setWhy} />
    <p class="actions">
      <button type="submit" class="strong" disabled={!dirty || (held === null && id !== '')}>{w.save}</button>
      {dirty && id !== '' && <button type="button" onClick={() => { setEdits(new Map()); setAsText(null); void read() }}>{w.drop}</button>}
      {asText === null && held !== null && <button type="button" onClick={() => setAsText(JSON.stringify(held.element, null, 2))}>{w.toText}</button>}
      {id !== '' && held !== null && <button type="button" onClick={remove}>{sure ? w.reallyRemove : w.remove}</button>}
      <span role="status">{said}</span>
    </p>
    {asText === null && held !== null && list !== 'roads' && <p class="hint">{w.mapMoves}</p>}
  </form>
}

/** A path as people read it: pad, lit. */
function labelOf(path: readonly string[]): string {
  const shown = path[0] === 'properties' || path[0] === 'geometry' ? path.slice(1) : path
  return shown.length === 1 && shown[0] === 'coordinates' ? words.region.place : shown.map(plain).join(', ')
}

