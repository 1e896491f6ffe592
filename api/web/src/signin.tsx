// Asks for a token where the service wants to know who asks.

import type {JSX} from 'preact'
import {useEffect, useRef, useState} from 'preact/hooks'
import {setToken} from './client'
import {words} from './strings'

export function SignIn({why, done}: {why: string, done: () => void}): JSX.Element {
  const ref = useRef<HTMLDialogElement>(null)
  const [text, set] = useState('')
  useEffect(() => {
    const dialog = ref.current
    if (dialog !== null && !dialog.open) dialog.showModal()
  }, [])
  const go = () => {
    setToken(text.trim())
    ref.current?.close()
  }
  return <dialog ref={ref} class="sign-in" aria-labelledby="sign-in-title" onClose={done}>
    <h2 id="sign-in-title">{words.signIn}</h2>
    <p>{why}</p>
    <form onSubmit={e => { e.preventDefault(); go() }}>
      <p><label for="token">{words.token}</label><br />
        <input id="token" type="password" value={text} autocomplete="off" onInput={e => set(e.currentTarget.value)} /></p>
      <p class="hint">{words.tokenHint}</p>
      <p class="actions"><button type="submit" class="strong">{words.signInDo}</button></p>
    </form>
  </dialog>
}
