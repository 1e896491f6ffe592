// Quick actions: what has just changed, said once for every desk.

import type {JSX} from 'preact'
import {useState} from 'preact/hooks'
import {Refused, type Fault} from './client'
import {say as tellRegion} from './edits'
import {SelectField, TextField} from './fields'
import {Folded} from './folded'
import type {Region} from './region'
import {words} from './strings'

type Kind = 'hospital' | 'vehicle' | 'crossing'

export function SayChanges({region}: {region: Region}): JSX.Element {
  return <Folded class="say" id="say" summary={words.say.title} inside={() => <Say region={region} />} />
}

function Say({region}: {region: Region}): JSX.Element {
  const w = words.say
  const [about, setAbout] = useState('')
  const [state, setState] = useState('')
  const [minutes, setMinutes] = useState('')
  const [reason, setReason] = useState('')
  const [where, setWhere] = useState('')
  const [done, setDone] = useState('')
  const [wrong, setWrong] = useState<{text: string, faults: Fault[]}>({text: '', faults: []})
  const [kind, id] = split(about)
  const choices = kind === '' ? [] : Object.entries(w.states[kind])
  const chosen = choices.some(([v]) => v === state) ? state : choices[0]?.[0] ?? ''
  const hospitals = region.facilities.filter(f => f.properties.kind === 'hospital')
  const crossings = region.ways.filter(x => x.kind !== 'road')
  const pick = (value: string) => { setAbout(value); setState(''); setReason(''); setMinutes(''); setWhere(''); setDone(''); setWrong({text: '', faults: []}) }
  const send = () => {
    if (kind === '') return
    const name = region.names.get(id) ?? crossings.find(c => c.id === id)?.name ?? id
    const [path, body] = action(kind, id, chosen, minutes, reason, where)
    tellRegion(path, body).then(
      () => { setDone(w.done(name, w.states[kind][chosen] ?? chosen)); setWrong({text: '', faults: []}) },
      (e: unknown) => setWrong({text: e instanceof Error ? e.message : String(e), faults: e instanceof Refused ? e.faults : []}))
  }
  return <>
    <p class="hint">{w.hint}</p>
    <form class="part" onSubmit={e => { e.preventDefault(); send() }}>
      <div class="field grow"><span class="head"><label for="say-about">{w.about}</label></span>
        <span class="entry"><select id="say-about" value={about} onChange={e => pick(e.currentTarget.value)}>
          <option value="">{w.choose}</option>
          <optgroup label={w.hospitals}>{hospitals.map(h => <option key={h.id} value={'hospital ' + h.id}>{h.properties.name}</option>)}</optgroup>
          <optgroup label={w.vehicles}>{region.assets.map(a => <option key={a.id} value={'vehicle ' + a.id}>{a.name}</option>)}</optgroup>
          <optgroup label={w.crossings}>{crossings.map(c => <option key={c.id} value={'crossing ' + c.id}>{c.name}</option>)}</optgroup>
        </select></span></div>
      {kind !== '' && <>
        <SelectField label={w.is} value={chosen} set={setState} choices={choices} faults={wrong.faults} at="#/state" />
        {chosen === 'moving' && <TextField class="short" label={w.at} value={where} set={setWhere} placeholder={words.scenePlaceholder} faults={wrong.faults} at="#/position" />}
        {!['open', 'reopened', 'at_base', 'back', 'theatre_back'].includes(chosen) &&
          <TextField class="tiny" label={w.for} value={minutes} set={setMinutes} inputMode="decimal" unit={words.min} faults={wrong.faults} at="#/until" />}
        <TextField class="grow" label={w.reason} value={reason} set={setReason} faults={wrong.faults} at="#/reason" />
        <button type="submit" class="strong">{w.send}</button>
      </>}
    </form>
    <p role="status">{done}</p>
    {wrong.text !== '' && <div class="problem" role="alert"><p>{wrong.text}</p><ul>{wrong.faults.map(f => <li key={f.pointer + f.detail}>{f.detail}</li>)}</ul></div>}
  </>
}

function split(about: string): [Kind | '', string] {
  const i = about.indexOf(' ')
  return i < 0 ? ['', ''] : [about.slice(0, i) as Kind, about.slice(i + 1)]
}

/** The call for what is said: its path and its body. */
export function action(kind: Kind, id: string, state: string, minutes: string, reason: string, where: string, now = Date.now()): [string, unknown] {
  const n = Number(minutes.replace(',', '.'))
  const until = minutes.trim() !== '' && Number.isFinite(n) ? new Date(now + 60_000 * n).toISOString().slice(0, 19) + 'Z' : undefined
  const why = reason.trim() === '' ? {} : {reason: reason.trim()}
  const e = encodeURIComponent(id)
  switch (kind) {
    case 'hospital':
      if (state === 'surgeon' || state === 'theatre') return [`/v1/facilities/${e}/away`, {what: state, away: true, ...why, ...(until !== undefined && {until})}]
      if (state === 'back') return [`/v1/facilities/${e}/away`, {what: 'surgeon', away: false, ...why}]
      if (state === 'theatre_back') return [`/v1/facilities/${e}/away`, {what: 'theatre', away: false, ...why}]
      return [`/v1/facilities/${e}/accepting`, {state, ...why, ...(until !== undefined && state !== 'open' && {until})}]
    case 'crossing':
      return [`/v1/roads/${e}/closed`, {closed: state === 'closed', ...why, ...(until !== undefined && state === 'closed' && {until})}]
    case 'vehicle': {
      const [lat, lon] = where.split(/[,; ]+/).filter(Boolean).map(Number)
      const position = state === 'moving' && lat !== undefined && lon !== undefined && Number.isFinite(lat) && Number.isFinite(lon) ? {position: [lon, lat]} : {}
      const ends = until === undefined ? {} : state === 'committed' ? {free_at: until} : {until}
      return [`/v1/assets/${e}/state`, {state, ...position, ...ends, ...why}]
    }
  }
}
