// What was asked for before and is still kept, to look at again.

import type {JSX} from 'preact'
import {useEffect, useState} from 'preact/hooks'
import {chance} from './format'
import {endJob, isGoing, listJobs} from './plan_job'
import type {Job} from './shapes'
import {say, words} from './strings'

const w = words.plan
const everyMs = 5_000

export function Jobs({open}: {open: (id: string) => void}): JSX.Element {
  const [jobs, set] = useState<readonly Job[] | null>(null)
  const [lost, setLost] = useState(false)
  const [round, next] = useState(0)
  useEffect(() => {
    let over = false
    let timer = 0
    listJobs().then(found => {
      if (over) return
      set(found)
      setLost(false)
      if (found.some(isGoing)) timer = window.setTimeout(() => next(n => n + 1), everyMs)
    }, () => { if (!over) setLost(true) })
    return () => {
      over = true
      window.clearTimeout(timer)
    }
  }, [round])
  const again = () => next(n => n + 1)
  return <section class="jobs"><h2>{w.jobs}</h2>
    {lost && <p class="notice" role="status">{w.jobsLost} <button type="button" onClick={again}>{w.tryAgain}</button></p>}
    {jobs !== null && (jobs.length === 0 ? <p class="hint">{w.noJobs}</p> : <div class="scroll" role="region" tabIndex={0} aria-label={w.jobs}><table>
      <thead><tr><th scope="col">{w.asked}</th><th scope="col">{w.task}</th><th scope="col">{w.by}</th><th scope="col">{w.state}</th><td /></tr></thead>
      <tbody>{jobs.map(j => <tr key={j.id}>
        <th scope="row"><button type="button" class="quiet" onClick={() => open(j.id)}>{w.utc(j.asked_at)}</button></th>
        <td>{say(w.kinds, j.kind)}</td><td><bdi>{j.asked_by}</bdi></td>
        <td>{say(w.states, j.state)}{j.state === 'running' && `, ${chance(j.progress)}`}</td>
        <td>{isGoing(j) && <button type="button" onClick={() => { void endJob(j.id).then(again, () => setLost(true)) }}>{w.cancel}</button>}</td>
      </tr>)}</tbody></table></div>)}
  </section>
}
