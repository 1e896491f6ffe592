// Takes over the first view that index.html came with: what was typed into it before
// its code was there is not lost.

import {hydrate, type ComponentChild} from 'preact'

type Entry = HTMLInputElement | HTMLTextAreaElement | HTMLSelectElement

export function takeOver(page: HTMLElement, view: ComponentChild): void {
  const typed = [...page.querySelectorAll<Entry>('input, textarea, select')].filter(isChanged)
    .map(entry => ({entry, value: entry.value, checked: isChecked(entry)}))
  hydrate(view, page)
  for (const {entry, value, checked} of typed) {
    entry.value = value
    if (entry instanceof HTMLInputElement) entry.checked = checked
    entry.dispatchEvent(new Event('input', {bubbles: true}))
    entry.dispatchEvent(new Event('change', {bubbles: true}))
  }
}

function isChanged(e: Entry): boolean {
  if (e instanceof HTMLSelectElement) return [...e.options].some(o => o.selected !== o.defaultSelected)
  return e.value !== e.defaultValue || isChecked(e) !== (e instanceof HTMLInputElement && e.defaultChecked)
}

function isChecked(e: Entry): boolean { return e instanceof HTMLInputElement && e.checked }
