// An element of a list as the single values in it, and a merge patch (RFC 7396)
// of those that were changed. Pure; element_form.tsx shows it.

import type {Element} from './edits'

export interface Leaf {
  pointer: string // JSON Pointer as a URI fragment, as in faults
  path: string[]
  kind: 'text' | 'number' | 'yes' | 'words' | 'place'
  text: string    // as it is shown and typed
}

/** The values a person can change one by one, in the element's order. Lists of
 * words are one value, and so is the position of a point; longer lists and other
 * lines are changed as text. */
export function leavesOf(element: Element): Leaf[] {
  const out: Leaf[] = []
  walk(element, [], out)
  return out
}

const fixed = new Set(['#/type', '#/id', '#/geometry/type'])

function walk(value: unknown, path: string[], out: Leaf[]): void {
  const pointer = '#' + path.map(p => '/' + p.replaceAll('~', '~0').replaceAll('/', '~1')).join('')
  const add = (kind: Leaf['kind'], text: string) => { if (!fixed.has(pointer)) out.push({pointer, path, kind, text}) }
  if (typeof value === 'string') add('text', value)
  else if (typeof value === 'number') add('number', String(value))
  else if (typeof value === 'boolean') add('yes', String(value))
  else if (Array.isArray(value)) {
    if (pointer === '#/geometry/coordinates' || pointer === '#/position') {
      if (value.length >= 2 && value.every(v => typeof v === 'number')) add('place', `${value[1]}, ${value[0]}`)
    } else if (value.every(v => typeof v === 'string')) add('words', value.join(', '))
  } else if (typeof value === 'object' && value !== null) {
    for (const [member, inner] of Object.entries(value)) walk(inner, [...path, member], out)
  }
}

/** What a typed text stands for. What is not a number stays a text, so that the
 * service says what is wrong with it; an empty text takes the member away. */
export function valueOf(kind: Leaf['kind'], text: string): unknown {
  const trimmed = text.trim()
  if (trimmed === '') return null
  switch (kind) {
    case 'yes': return trimmed === 'true'
    case 'number': {
      const n = Number(trimmed.replace(',', '.'))
      return Number.isFinite(n) ? n : text
    }
    case 'words': return trimmed.split(',').map(w => w.trim()).filter(Boolean)
    case 'place': {
      const [lat, lon] = trimmed.split(/[,; ]+/).map(Number)
      return Number.isFinite(lat) && Number.isFinite(lon) ? [lon, lat] : text
    }
  }
  return text
}

/** The merge patch that makes the changes; edits are texts by pointer. */
export function patchOf(leaves: readonly Leaf[], edits: ReadonlyMap<string, string>): Element {
  const patch: Element = {}
  for (const leaf of leaves) {
    const text = edits.get(leaf.pointer)
    if (text === undefined || text === leaf.text) continue
    let at = patch
    for (const member of leaf.path.slice(0, -1)) {
      if (typeof at[member] !== 'object') at[member] = {}
      at = at[member] as Element
    }
    at[leaf.path.at(-1) ?? ''] = valueOf(leaf.kind, text)
  }
  return patch
}
