// The region: its lists beside the map, changed in place; its history; imports.

import type {JSX} from 'preact'
import {useMemo, useState} from 'preact/hooks'
import type {List} from './edits'
import {ElementForm} from './element_form'
import {TextField} from './fields'
import {HistoryView} from './history_view'
import {ImportView} from './import_view'
import {accepts, operatesInChest, placeOf, positionOf, type Region} from './region'
import type {Position} from './shapes'
import {positionText, type Light} from './state'
import {plain, say, words} from './strings'
import {useMap} from './use_map'

type Tab = List | 'history' | 'import'
const tabs: readonly Tab[] = ['facilities', 'assets', 'roads', 'history', 'import']

interface Row { id: string, name: string, kind: string, state: string, at: Position | null }

export function RegionView({region, light, round}: {region: Region, light: Light, round: number}): JSX.Element {
  const w = words.region
  const [tab, setTab] = useState<Tab>('facilities')
  const [chosen, choose] = useState<string | null>(null)
  const [filter, setFilter] = useState('')
  const [placed, place] = useState('')
  const list: List | null = tab === 'history' || tab === 'import' ? null : tab
  const rows = useMemo(() => list === null ? [] : rowsOf(list, region), [list, region])
  const shown = rows.filter(r => `${r.name} ${r.id} ${r.kind} ${r.state}`.toLowerCase().includes(filter.toLowerCase()))
  const mark = rows.find(r => r.id === chosen)?.at ?? null
  return <main class="region" id="main">
    <div class="lists" id="ways" tabIndex={-1}>
      <h1>{w.title}</h1>
      <div class="tabs" role="group" aria-label={w.title}>
        {tabs.map(t => <button key={t} type="button" aria-pressed={t === tab} onClick={() => { setTab(t); choose(null); setFilter('') }}>{w.tabs[t]}</button>)}
      </div>
      {tab === 'history' && <HistoryView round={round} names={region.names} />}
      {tab === 'import' && <ImportView />}
      {list !== null && <>
        <div class="part">
          <TextField class="grow" label={w.find} value={filter} set={setFilter} />
          <button type="button" onClick={() => choose('')}>{w.fresh}</button>
        </div>
        <div class="scroll" tabIndex={0} role="region" aria-label={w.tabs[list]}><table>
          <thead><tr><th scope="col">{w.name}</th><th scope="col">{w.kind}</th><th scope="col">{w.state}</th></tr></thead>
          <tbody>{shown.map(r => <tr key={r.id} class={r.id === chosen ? 'chosen' : ''}>
            <th scope="row"><button type="button" class="quiet" aria-pressed={r.id === chosen} onClick={() => { place(''); choose(r.id) }}><bdi>{r.name}</bdi></button></th>
            <td>{plain(r.kind)}</td><td>{r.state}</td>
          </tr>)}</tbody>
        </table></div>
      </>}
    </div>
    <div class="beside">
      <PlainMap region={region} light={light} mark={mark} onPlace={p => place(positionText(p))} />
      {list !== null && (chosen === null ? <p class="hint">{w.choose}</p>
        : <ElementForm list={list} id={chosen} round={round} placed={placed} done={id => choose(id === '' ? null : id)} />)}
    </div>
  </main>
}

function rowsOf(list: List, region: Region): Row[] {
  const w = words.region
  const now = Date.now()
  switch (list) {
    case 'facilities': return region.facilities.map(f => ({
      id: f.id, name: f.properties.name, kind: f.properties.kind, at: positionOf(f),
      state: !accepts(f, now) ? say(w.accepting, f.properties.accepting?.state ?? 'closed') : operatesInChest(f) ? w.chest : '',
    }))
    case 'assets': return region.assets.map(a => ({
      id: a.id, name: a.name, kind: a.kind, at: placeOf(a, region), state: say(words.doings, a.state ?? 'at_base'),
    }))
    case 'roads': return [...region.ways].sort((a, b) => Number(a.kind === 'road') - Number(b.kind === 'road')).map(x => ({
      id: x.id, name: x.name === '' ? x.id : x.name, kind: x.kind, at: x.line[0] ?? null, state: x.closed ? words.say.states.crossing['closed'] ?? '' : '',
    }))
  }
}

function PlainMap({region, light, mark, onPlace}: {region: Region, light: Light, mark: Position | null, onPlace: (p: Position) => void}): JSX.Element {
  const seen = useMemo(() => ({region, scene: null, mark, options: [], pick: '', at: Date.now(), states: new Map<string, string>()}), [region, mark])
  const target = useMap(seen, light, onPlace)
  return <div class="map-pane"><div class="map" id="map" ref={target} tabIndex={0} role="application" aria-label={words.region.map} /></div>
}
