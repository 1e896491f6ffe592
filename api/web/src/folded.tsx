// A panel that is closed at first. What is in it is made when it is first opened:
// a slow machine has the form sooner.

import type {ComponentChildren, JSX} from 'preact'
import {useState} from 'preact/hooks'

export function Folded({summary, inside, children, ...rest}: {
  summary: ComponentChildren, inside: () => ComponentChildren, class?: string, id?: string, children?: ComponentChildren,
}): JSX.Element {
  const [opened, open] = useState(false)
  return <details {...rest} onToggle={e => { if (e.currentTarget.open) open(true) }}>
    <summary>{summary}</summary>
    {opened && inside()}
    {children}
  </details>
}
