// Panels that a key or a button opens and goes to.

/** Moves to an element; false: there is none. */
export function focusOn(selector: string): boolean {
  const e = document.querySelector<HTMLElement>(selector)
  e?.focus()
  return e !== null
}

/** Opens a panel, or closes it, and goes to its head; false: there is none. */
export function flipPanel(id: string): boolean {
  const e = document.getElementById(id)
  if (!(e instanceof HTMLDetailsElement)) return false
  return show(e, !e.open)
}

export function openPanel(id: string): void {
  const e = document.getElementById(id)
  if (e instanceof HTMLDetailsElement) show(e, true)
}

function show(e: HTMLDetailsElement, open: boolean): boolean {
  e.open = open
  e.querySelector('summary')?.focus({preventScroll: true})
  e.scrollIntoView({block: open ? 'start' : 'nearest'})
  return true
}
