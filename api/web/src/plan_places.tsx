// Places on the map, to choose from or to put something at: put there by a click,
// moved by dragging, and both by writing where they are.

import type {JSX} from 'preact'
import {TextField} from './fields'
import {placeName, type Place} from './plan'
import type {FormProps} from './plan_form'
import {words} from './strings'

const w = words.plan

export function PlacesFields({form, set, faults}: FormProps): JSX.Element {
  const change = (key: number, p: Partial<Place>) => set({places: form.places.map(x => x.key === key ? {...x, ...p} : x)})
  return <div class="places">
    <h2>{form.task === 'siting' ? w.places : w.placesOfChange}</h2>
    <p class="hint">{w.placesHint}</p>
    {form.places.map((p, i) => <fieldset class="part row" key={p.key}>
      <legend>{placeName(form.places, i)}</legend>
      <TextField label={w.name} value={p.name} placeholder={w.candidate(i + 1)} set={name => change(p.key, {name: name.slice(0, 60)})} />
      <TextField label={w.position} hint={w.positionHint} placeholder="45.52, -29.41" value={p.at} set={at => change(p.key, {at})} faults={faults} at={`#/places/${i}`} />
      <button type="button" onClick={() => set({places: form.places.filter(x => x.key !== p.key)})}>{w.drop(placeName(form.places, i))}</button>
    </fieldset>)}
    <button type="button" onClick={() => set({places: [...form.places, newPlace(form.places, '')]})}>{w.onePlace}</button>
  </div>
}

export function newPlace(places: readonly Place[], at: string): Place {
  return {key: 1 + Math.max(0, ...places.map(p => p.key)), name: '', at}
}
