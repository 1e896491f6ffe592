// Form fields: a label, an input, and what the service says is wrong with it.

import type {ComponentChildren, JSX} from 'preact'
import {useId} from 'preact/hooks'
import type {Fault} from './client'
import type {Timing} from './shapes'
import {words} from './strings'

interface Common {
  label: string
  faults?: readonly Fault[]
  at?: string // JSON Pointer of the question's member, as in faults
  unit?: string
  class?: string
  hint?: string
}

/** What is wrong at a place of the question or inside it. */
export function faultAt(faults: readonly Fault[] | undefined, at: string | undefined): string {
  if (faults === undefined || at === undefined) return ''
  return faults.filter(f => f.pointer === at || f.pointer.startsWith(at + '/')).map(f => f.detail).join(' ')
}

function Frame({label, id, wrong, unit, hint, children, ...rest}: {
  label: string, id: string, wrong: string, unit?: string | undefined, hint?: string | undefined, class?: string | undefined, children: ComponentChildren,
}): JSX.Element {
  return <div class={['field', rest.class, wrong !== '' && 'wrong'].filter(Boolean).join(' ')}>
    <span class="head"><label for={id}>{label}</label>{hint !== undefined && <span class="hint" id={id + '-hint'}>{hint}</span>}</span>
    <span class="entry">{children}{unit !== undefined && <span class="unit">{unit}</span>}</span>
    {wrong !== '' && <span class="fault" id={id + '-fault'}>{wrong}</span>}
  </div>
}

export function TextField({value, set, placeholder, name, inputMode, list, wrong: own, ...c}: Common & {
  value: string, set: (value: string) => void, placeholder?: string, name?: string, inputMode?: 'decimal' | 'text', list?: string, wrong?: string,
}): JSX.Element {
  const id = useId()
  const wrong = own ?? faultAt(c.faults, c.at)
  return <Frame {...c} id={id} wrong={wrong}>
    <input id={id} type="text" value={value} placeholder={placeholder} name={name} inputMode={inputMode ?? 'text'} list={list}
      autocomplete="off" autocapitalize="off" spellcheck={false} maxLength={2000}
      aria-invalid={wrong !== ''} aria-describedby={describe(id, wrong, c.hint)} onInput={e => set(e.currentTarget.value)} />
  </Frame>
}

export function LinesField({value, set, placeholder, ...c}: Common & {value: string, set: (value: string) => void, placeholder?: string}): JSX.Element {
  const id = useId()
  const wrong = faultAt(c.faults, c.at)
  return <Frame {...c} id={id} wrong={wrong}>
    <textarea id={id} rows={Math.min(4, value.split('\n').length)} placeholder={placeholder} spellcheck={false}
      aria-invalid={wrong !== ''} aria-describedby={describe(id, wrong, c.hint)} onInput={e => set(e.currentTarget.value)} value={value} />
  </Frame>
}

export function SelectField<T extends string>({value, set, choices, ...c}: Common & {value: T, set: (value: T) => void, choices: readonly (readonly [T, string])[]}): JSX.Element {
  const id = useId()
  const wrong = faultAt(c.faults, c.at)
  return <Frame {...c} id={id} wrong={wrong}>
    <select id={id} value={value} aria-invalid={wrong !== ''} aria-describedby={describe(id, wrong, c.hint)} onChange={e => set(e.currentTarget.value as T)}>
      {choices.map(([v, text]) => <option key={v} value={v}>{text}</option>)}
    </select>
  </Frame>
}

export function CheckField({label, value, set}: {label: string, value: boolean, set: (value: boolean) => void}): JSX.Element {
  return <label class="check"><input type="checkbox" checked={value} onChange={e => set(e.currentTarget.checked)} /> <span>{label}</span></label>
}

/** A duration as people give it: usual and slow, in minutes. Slow follows usual
 * until it is said. */
export function TimingField({value, set, ...c}: Common & {value: Timing | null, set: (value: Timing | null) => void}): JSX.Element {
  const id = useId()
  const wrong = faultAt(c.faults, c.at)
  const change = (member: 'typical_s' | 'slow_s', text: string) => {
    const n = 60 * Number(text.replace(',', '.'))
    if (text.trim() === '') set(member === 'typical_s' ? null : value === null ? null : {...value, slow_s: value.typical_s})
    else if (Number.isFinite(n) && n >= 0) {
      const now = Math.round(n)
      if (member === 'typical_s') set({typical_s: now, slow_s: value === null || value.slow_s === value.typical_s ? now : Math.max(value.slow_s, now)})
      else set({typical_s: Math.min(value?.typical_s ?? now, now), slow_s: now})
    }
  }
  const shown = (seconds: number | undefined) => seconds === undefined ? '' : String(Math.round(seconds / 6) / 10)
  return <div class={['field timing', c.class, wrong !== '' && 'wrong'].filter(Boolean).join(' ')} role="group" aria-labelledby={id}>
    <span class="label" id={id}>{c.label}</span>
    <span class="entry">
      <input type="text" inputMode="decimal" aria-label={`${c.label}, ${words.usual}, ${words.min}`} placeholder="–" value={shown(value?.typical_s)}
        onChange={e => change('typical_s', e.currentTarget.value)} />
      <span class="unit">{words.slow}</span>
      <input type="text" inputMode="decimal" aria-label={`${c.label}, ${words.slow}, ${words.min}`} placeholder="–" value={shown(value?.slow_s)}
        onChange={e => change('slow_s', e.currentTarget.value)} />
      <span class="unit">{words.min}</span>
    </span>
    {wrong !== '' && <span class="fault">{wrong}</span>}
  </div>
}

function describe(id: string, wrong: string, hint: string | undefined): string | undefined {
  return [hint !== undefined && id + '-hint', wrong !== '' && id + '-fault'].filter(Boolean).join(' ') || undefined
}
