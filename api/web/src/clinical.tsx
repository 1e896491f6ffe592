// What is known of the patient for the pre-alert: numbers and words of fixed
// lists. It stays in the page's memory, never in the address or in storage.

import type {JSX} from 'preact'
import type {Fault} from './client'
import {CheckField, SelectField, TextField} from './fields'
import type {Clinical, InjuryRegion, Mechanism, Output, TreatmentGiven} from './shapes'
import {words} from './strings'

export interface Told {
  mechanism: Mechanism | ''
  injuries: InjuryRegion[]
  output: Output | ''
  numbers: Partial<Record<SignName, string>>
  given: TreatmentGiven[]
  blood: string
}

export type SignName = 'heart_rate_per_min' | 'systolic_mmhg' | 'respiratory_rate_per_min' | 'spo2_percent' | 'gcs'

export const untold: Told = {mechanism: '', injuries: [], output: '', numbers: {}, given: [], blood: ''}

/** The clinical part of a pre-alert's question: what has not been told is not in it. */
export function toClinical(t: Told): Clinical | undefined {
  const signs: NonNullable<Clinical['signs']> = {}
  for (const [name, text] of Object.entries(t.numbers)) {
    const n = Number(text)
    if (text !== '' && Number.isFinite(n)) signs[name as SignName] = n
  }
  if (t.output !== '') signs.output = t.output
  const blood = Number(t.blood)
  const treatment = {...(t.given.length > 0 && {given: t.given}), ...(t.blood !== '' && Number.isFinite(blood) && {blood_units: blood})}
  const out: Clinical = {
    ...(t.mechanism !== '' && {mechanism: t.mechanism}),
    ...(t.injuries.length > 0 && {injuries: t.injuries}),
    ...(Object.keys(signs).length > 0 && {signs}),
    ...(Object.keys(treatment).length > 0 && {treatment}),
  }
  return Object.keys(out).length === 0 ? undefined : out
}

export function ClinicalForm({told, tell, faults}: {told: Told, tell: (t: Told) => void, faults: readonly Fault[]}): JSX.Element {
  const c = words.clinical
  const set = (change: Partial<Told>) => tell({...told, ...change})
  const flip = <T,>(list: T[], word: T, on: boolean) => on ? [...list, word] : list.filter(w => w !== word)
  const names = Object.entries(c.signs) as [SignName, string][]
  return <form class="clinical" aria-label={c.title} onSubmit={e => e.preventDefault()}>
    <div class="part">
      <SelectField label={c.mechanism} value={told.mechanism} set={v => set({mechanism: v})} faults={faults} at="#/clinical/mechanism"
        choices={[['', c.notStated], ...Object.entries(c.mechanisms) as [Mechanism, string][]]} />
      <SelectField label={c.output} value={told.output} set={v => set({output: v})} faults={faults} at="#/clinical/signs/output"
        choices={[['', c.notStated], ...Object.entries(c.outputs) as [Output, string][]]} />
      {names.map(([n, label]) => <TextField key={n} class="tiny" label={label} inputMode="decimal" value={told.numbers[n] ?? ''}
        set={v => set({numbers: {...told.numbers, [n]: v.trim()}})} faults={faults} at={'#/clinical/signs/' + n} />)}
      <TextField class="tiny" label={c.blood} inputMode="decimal" value={told.blood} set={v => set({blood: v.trim()})} faults={faults} at="#/clinical/treatment/blood_units" />
    </div>
    <fieldset><legend>{c.injuries}</legend>
      {(Object.entries(c.regions) as [InjuryRegion, string][]).map(([w, label]) =>
        <CheckField key={w} label={label} value={told.injuries.includes(w)} set={on => set({injuries: flip(told.injuries, w, on)})} />)}
    </fieldset>
    <fieldset><legend>{c.given}</legend>
      {(Object.entries(c.treatments) as [TreatmentGiven, string][]).map(([w, label]) =>
        <CheckField key={w} label={label} value={told.given.includes(w)} set={on => set({given: flip(told.given, w, on)})} />)}
    </fieldset>
  </form>
}
