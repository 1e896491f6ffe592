// The keys, over whatever is on the screen.

import type {JSX} from 'preact'
import {useEffect, useRef} from 'preact/hooks'
import {words} from './strings'

export function Help({close}: {close: () => void}): JSX.Element {
  const ref = useRef<HTMLDialogElement>(null)
  useEffect(() => {
    const dialog = ref.current
    if (dialog !== null && !dialog.open) dialog.showModal()
  }, [])
  return <dialog ref={ref} class="help" aria-labelledby="help-title" onClose={close}>
    <h2 id="help-title">{words.help}</h2>
    <dl>{words.keys.map(([key, what]) => <div key={key}><dt><kbd>{key}</kbd></dt><dd>{what}</dd></div>)}</dl>
    <form method="dialog"><button type="submit">{words.close}</button></form>
  </dialog>
}
