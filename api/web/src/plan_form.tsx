// What the plan view asks: what to find out, when, in which weather, for whom.

import type {JSX} from 'preact'
import type {Fault} from './client'
import {CheckField, SelectField, TextField} from './fields'
import {wholeNumber} from './format'
import {hoursAsked, hoursOf, isLimited, usesCalls, usesPlaces, whenOf, type Hour, type Objective, type People, type PlanForm, type Task, type What, type When} from './plan'
import {readDemand} from './plan_cells'
import {PlacesFields} from './plan_places'
import {StepFields} from './plan_steps'
import type {Region} from './region'
import {words} from './strings'

const w = words.plan

const tasks: readonly Task[] = ['coverage', 'change', 'siting']

export interface FormProps { form: PlanForm, set: (change: Partial<PlanForm>) => void, region: Region, faults: readonly Fault[] }

/** The region's own people: being looked for, not there, or there. */
export type OwnPeople = 'looking' | 'none' | {people: number, points: number}

export function PlanQuestion({form, set, region, faults, own, longitude, start, busy}: FormProps & {own: OwnPeople, longitude: number, start: () => void, busy: boolean}): JSX.Element {
  const props = {form, set, region, faults}
  return <form class="plan-form" noValidate onSubmit={e => { e.preventDefault(); start() }}>
    <div class="tabs" role="group" aria-label={w.task}>
      {tasks.map(t => <button key={t} type="button" aria-pressed={t === form.task} onClick={() => set({task: t})}>{w.tasks[t]}</button>)}
    </div>
    <p class="hint">{w.taskHints[form.task]}</p>
    {form.task === 'change' && <StepFields {...props} />}
    {form.task === 'siting' && <SitingFields {...props} />}
    {usesPlaces(form) && <PlacesFields {...props} />}
    <WhenFields {...props} longitude={longitude} />
    <PeopleField {...props} own={own} />
    <div class="part">
      <TextField class="short" label={w.cell} unit={w.cellUnit} hint={w.cellHint} inputMode="decimal" value={form.cell} set={cell => set({cell})} faults={faults} at="#/cell_m" />
      <TextField class="short" label={words.wind} value={form.wind} set={wind => set({wind})} placeholder="240/18" faults={faults} at="#/situation/conditions/wind" />
      <TextField class="short" label={words.ceiling} unit={words.feet} inputMode="decimal" value={form.ceiling} set={ceiling => set({ceiling})} faults={faults} at="#/situation/conditions/ceiling_ft" />
      <TextField class="short" label={words.visibility} unit={words.metres} inputMode="decimal" value={form.visibility} set={visibility => set({visibility})}
        faults={faults} at="#/situation/conditions/visibility_m" />
    </div>
    {usesCalls(form) && <div class="part">
      <TextField class="short" label={w.calls} unit={w.callsUnit} hint={w.callsHint} inputMode="decimal" value={form.calls} set={calls => set({calls})} faults={faults} at="#/busy/calls_per_day" />
      {form.calls.trim() !== '' && <TextField class="short" label={w.service} unit={words.min} hint={w.serviceHint} inputMode="decimal" value={form.service} set={service => set({service})}
        faults={faults} at="#/busy/service_min" />}
    </div>}
    <Ticks label={w.away} all={region.assets} on={form.away} set={away => set({away})} faults={faults} at="#/situation/assets" />
    <div class="actions"><button type="submit" class="strong" disabled={busy}>{w.start}</button></div>
  </form>
}

function WhenFields({form, set, region, faults, longitude}: FormProps & {longitude: number}): JSX.Element {
  const when = whenOf(form)
  const whens = (Object.entries(w.whens) as [When, string][]).filter(([v]) => form.task !== 'siting' || v !== 'both')
  const change = (i: number, h: Partial<Hour>) => set({hours: form.hours.map((x, k) => k === i ? {...x, ...h} : x)})
  const rows = hoursOf(form)
  return <div class="when">
    <div class="part">
      <SelectField label={w.when} value={when} choices={whens} set={v => set({when: v})} faults={faults} at="#/situation/at" />
      {when !== 'hours' && region.name !== '' && <p class="hint hours-meant">{hoursAsked(form, longitude, Date.now()).map(h => `${h.name}: ${w.utc(h.at)}`).join('; ')}</p>}
    </div>
    {when === 'hours' && rows.map((h, i) => <fieldset class="part row" key={i}>
      <legend>{w.hourNumber(i + 1)}</legend>
      <TextField label={w.name} value={h.name} set={name => change(i, {name})} />
      <TextField label={w.at} hint={w.atHint} placeholder="2030-06-21 14:00" value={h.at} set={at => change(i, {at})} faults={faults} at={`#/hours/${i}/at`} />
      {form.task !== 'siting' && <TextField class="tiny" label={w.share} value={h.share} inputMode="decimal" set={share => change(i, {share})} faults={faults} at={`#/hours/${i}/share`} />}
      {rows.length > 1 && <button type="button" onClick={() => set({hours: form.hours.filter((_, k) => k !== i)})}>{w.drop(w.hourNumber(i + 1))}</button>}
    </fieldset>)}
    {when === 'hours' && form.task !== 'siting' && rows.length < 24 && <button type="button" onClick={() => set({hours: [...form.hours, {name: '', at: '', share: '1'}]})}>{w.oneMoreHour}</button>}
  </div>
}

function PeopleField({form, set, own, faults}: FormProps & {own: OwnPeople}): JSX.Element {
  const wrong = faults.find(f => f.pointer.startsWith('#/demand'))?.detail ?? ''
  const says = own === 'looking' ? w.ownLooking : own === 'none' ? w.ownNone : w.own(wholeNumber(own.people), wholeNumber(own.points))
  const read = async (file: File | undefined) => { set({file: file === undefined ? null : readDemand(await file.text())}) }
  return <div class="part">
    <SelectField label={w.people} value={form.people} set={(people: People) => set({people})}
      choices={(Object.entries(w.peoples) as [People, string][]).filter(([p]) => p !== 'region' || own !== 'none' || form.people === 'region')}
      hint={form.people === 'region' ? says : form.people === 'file' ? w.fileHint : w.landHint} faults={form.people === 'file' ? [] : faults} at="#/demand" />
    {form.people === 'file' && <div class={wrong === '' ? 'field' : 'field wrong'}>
      <span class="head"><label for="plan-demand">{w.file}</label></span>
      <span class="entry"><input id="plan-demand" type="file" accept=".csv,.geojson,.json" aria-invalid={wrong !== ''} aria-describedby={wrong === '' ? undefined : 'plan-demand-fault'}
        onChange={e => { void read(e.currentTarget.files?.[0]) }} /></span>
      {wrong !== '' && <span class="fault" id="plan-demand-fault">{wrong}</span>}
    </div>}
  </div>
}

function SitingFields({form, set, region, faults}: FormProps): JSX.Element {
  const bases = form.what === 'base'
  const like = region.assets.find(a => a.id === form.like)
  const alike = region.assets.filter(a => a.kind === like?.kind)
  return <>
    <div class="part">
      <TextField class="tiny" label={w.count} inputMode="decimal" value={form.count} set={count => set({count})} faults={faults} at="#/count" />
      <SelectField label={w.whatOf} value={form.what} choices={Object.entries(w.whats) as [What, string][]} set={what => set({what})} faults={faults} at="#/what" />
      {bases && <SelectField label={w.like} value={form.like} choices={region.assets.map(a => [a.id, a.name] as const)} set={id => set({like: id, move: []})} faults={faults} at="#/like" />}
      <SelectField label={w.objective} value={form.objective} choices={Object.entries(w.objectives) as [Objective, string][]} set={objective => set({objective})} faults={faults} at="#/objective" />
      {isLimited(form) && <TextField class="tiny" label={w.limit} unit={words.min} inputMode="decimal" value={form.limit} set={limit => set({limit})} faults={faults} at="#/within_s" />}
      {form.objective === 'most_people_busy' && <TextField class="tiny" label={w.busyShare} unit="%" inputMode="decimal" value={form.busyShare} set={busyShare => set({busyShare})}
        faults={faults} at="#/busy_share" />}
    </div>
    {!bases && <p class="hint">{w.whatHints[form.what]}</p>}
    {bases && <>
      <Ticks label={w.mayMove} all={alike} on={form.move} set={move => set({move})} faults={faults} at="#/move" />
      <TextField class="short" label={w.grid} unit={w.gridUnit} hint={w.gridHint} inputMode="decimal" value={form.grid} set={grid => set({grid})} faults={faults} at="#/candidate_cell_m" />
      {form.grid.trim() === '' && <Ticks label={w.bases} all={region.facilities.filter(f => f.properties.kind === 'base').map(f => ({id: f.id, name: f.properties.name}))} on={form.bases}
        set={on => set({bases: on})} faults={faults} at="#/bases" />}
    </>}
  </>
}

function Ticks({label, all, on, set, faults, at}: {
  label: string, all: readonly {id: string, name: string}[], on: readonly string[], set: (ids: string[]) => void, faults: readonly Fault[], at: string,
}): JSX.Element {
  const wrong = faults.filter(f => f.pointer.startsWith(at)).map(f => f.detail).join(' ')
  return <details class={wrong === '' ? 'ticks' : 'ticks field wrong'}><summary>{label}: {on.length === 0 ? w.noneOf : w.someOf(on.length, all.length)}{wrong !== '' && <span class="fault"> {wrong}</span>}</summary>
    <div role="group" aria-label={label}>
      {all.map(x => <CheckField key={x.id} label={x.name} value={on.includes(x.id)} set={yes => set(yes ? [...on, x.id] : on.filter(id => id !== x.id))} />)}
    </div>
  </details>
}
