// The last answer, kept in the tab for when the page is loaded again without
// signal. It goes when the tab is closed: it holds where a patient is.

import type {Asked} from './ask'
import {regionKey} from './first'
import type {Region} from './region'

const answerKey = 'surgeonward.answer'

export function keepAnswer(a: Asked): void { write(answerKey, a) }

/** The answer kept, if it is to this question. */
export function keptAnswer(question: unknown): Asked | null {
  const kept = read<Asked>(answerKey)
  return kept !== null && JSON.stringify(kept.question) === JSON.stringify(question) ? kept : null
}

export function keepRegion(r: Region): void { write(regionKey, {...r, names: [...r.names]}) }

export function keptRegion(): Region | null {
  const kept = read<Omit<Region, 'names'> & {names: [string, string][]}>(regionKey)
  return kept === null ? null : {...kept, names: new Map(kept.names)}
}

function write(key: string, value: unknown): void {
  try {
    sessionStorage.setItem(key, JSON.stringify(value))
  } catch {
    // full, or not allowed: then there is nothing to come back to
  }
}

function read<T>(key: string): T | null {
  try {
    const text = sessionStorage.getItem(key)
    return text === null ? null : JSON.parse(text) as T
  } catch {
    return null
  }
}
