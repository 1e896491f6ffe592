// A change to the region, put together step by step.

import type {JSX} from 'preact'
import {LinesField, SelectField, TextField} from './fields'
import {placeName} from './plan'
import {needsPlace, ofHospital, type Step, type StepKind} from './plan_change'
import type {FormProps} from './plan_form'
import {words} from './strings'

const w = words.plan

export function StepFields({form, set, region, faults}: FormProps): JSX.Element {
  const change = (i: number, s: Partial<Step>) => set({steps: form.steps.map((x, k) => k === i ? {...x, ...s} : x)})
  const named = (list: readonly (readonly [string, string])[]) => [['', w.choose] as const, ...list]
  const assets = named(region.assets.map(a => [a.id, a.name] as const))
  const hospitals = named(region.facilities.filter(f => f.properties.kind === 'hospital').map(f => [f.id, f.properties.name] as const))
  const places = named([
    ...form.places.map((p, i) => ['place:' + p.key, placeName(form.places, i)] as const),
    ...region.facilities.filter(f => f.properties.kind === 'base').map(f => [f.id, f.properties.name] as const),
  ])
  const none = faults.find(f => f.pointer === '#/change' && form.more.trim() === '')
  return <div class="steps-of-change">
    <h2>{w.changes}</h2>
    {form.steps.map((s, i) => <fieldset class="part row" key={i}>
      <legend>{w.stepNumber(i + 1)}</legend>
      <SelectField label={w.stepKind} value={s.kind} choices={Object.entries(w.stepKinds) as [StepKind, string][]}
        set={kind => change(i, {kind, ...(ofHospital(kind) !== ofHospital(s.kind) && {of: ''})})} />
      <SelectField label={s.kind === 'add' ? w.like : ofHospital(s.kind) ? w.hospitalOf : words.vehicle} value={s.of} choices={ofHospital(s.kind) ? hospitals : assets}
        set={of => change(i, {of})} faults={faults} at={`#/steps/${i}/of`} />
      {needsPlace(s.kind) && <SelectField label={w.atBase} value={s.at} choices={places} set={at => change(i, {at})} faults={faults} at={`#/steps/${i}/at`} />}
      <button type="button" onClick={() => set({steps: form.steps.filter((_, k) => k !== i)})}>{w.drop(w.stepNumber(i + 1))}</button>
    </fieldset>)}
    <div class={none === undefined ? 'field' : 'field wrong'}>
      <span><button type="button" aria-describedby={none === undefined ? undefined : 'plan-no-change'} onClick={() => set({steps: [...form.steps, {kind: 'add', of: form.like, at: ''}]})}>{w.oneStep}</button></span>
      {none !== undefined && <span class="fault" id="plan-no-change">{none.detail}</span>}
    </div>
    <TextField label={w.called} hint={w.calledHint} value={form.called} set={called => set({called: [...called].slice(0, 60).join('')})} faults={faults} at="#/change/name" />
    <details open={form.more !== ''}><summary>{w.more}</summary>
      <LinesField label={w.moreLabel} hint={w.moreHint} value={form.more} set={more => set({more})} faults={form.more.trim() === '' ? [] : faults} at="#/change" />
    </details>
  </div>
}
