// Notes in the record which way was taken. It starts nothing by itself.

import type {JSX} from 'preact'
import {useEffect, useState} from 'preact/hooks'
import {noteChoice} from './client'
import type {WallClock} from './format'
import {words} from './strings'

export function Launch({record, option, clock}: {record: string, option: string, clock: WallClock}): JSX.Element | null {
  const [noted, set] = useState({record: '', option: '', at: 0})
  const [wrong, setWrong] = useState('')
  useEffect(() => setWrong(''), [record, option])
  if (record === '') return null
  const go = () => {
    noteChoice(record, option).then(
      () => { set({record, option, at: Date.now()}); setWrong('') },
      (e: unknown) => setWrong(e instanceof Error ? e.message : String(e)))
  }
  const isNoted = noted.record === record && noted.option === option
  return <>
    <button type="button" class="strong" onClick={go} disabled={isNoted}>{words.launch}</button>
    <span role="status">{isNoted ? words.launched(clock.at(noted.at)) : ''}</span>
    {wrong !== '' && <span class="fault" role="alert">{wrong}</span>}
  </>
}
