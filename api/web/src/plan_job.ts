// Jobs: one from its start to its results, those that were asked for before, and the
// files they have made.

import {useCallback, useEffect, useState} from 'preact/hooks'
import {getJSON, Refused, request} from './client'
import type {Summary} from './plan_pairs'
import type {Job} from './shapes'

export interface Followed { job: Job | null, summary: Summary | null, gone: boolean, lost: boolean, cancel: () => void }

const soonMs = 250
const laterMs = 2_000
const lostMs = 4_000

/** Follows a job by its id; '' is none. It is looked at less and less often. */
export function useJob(id: string): Followed {
  const [job, setJob] = useState<Job | null>(null)
  const [summary, setSummary] = useState<Summary | null>(null)
  const [gone, setGone] = useState(false)
  const [lost, setLost] = useState(false)
  useEffect(() => {
    setJob(null)
    setSummary(null)
    setGone(false)
    setLost(false)
    if (id === '') return
    let timer = 0
    let wait = soonMs
    const stop = new AbortController()
    const look = async () => {
      try {
        const now = await getJSON<Job>(pathOf(id), stop.signal)
        const figures = now.state === 'done' ? await getJSON<Summary>(`${pathOf(id)}/results/summary.json`, stop.signal) : null
        if (stop.signal.aborted) return
        setJob(now)
        setSummary(figures)
        setLost(false)
        if (isGoing(now)) timer = window.setTimeout(look, wait = Math.min(laterMs, wait * 1.2))
      } catch (e) {
        if (stop.signal.aborted) return
        if (e instanceof Refused && e.status === 404) return setGone(true)
        setLost(true)
        timer = window.setTimeout(look, lostMs)
      }
    }
    void look()
    return () => {
      stop.abort()
      window.clearTimeout(timer)
    }
  }, [id])
  const cancel = useCallback(() => { endJob(id).then(setJob, () => setLost(true)) }, [id])
  return {job, summary, gone, lost, cancel}
}

export function isGoing(j: Job): boolean { return j.state === 'waiting' || j.state === 'running' }

function pathOf(id: string): string { return `/v1/jobs/${encodeURIComponent(id)}` }

export async function endJob(id: string): Promise<Job> {
  const response = await request(pathOf(id), {method: 'DELETE', headers: {Accept: 'application/json'}})
  return await response.json() as Job
}

export async function listJobs(): Promise<Job[]> { return (await getJSON<{jobs: Job[]}>('/v1/jobs')).jobs }

/** The text of one of a job's files; null until it is there, or where there is none.
 * `failed` says that it could not be fetched. */
export function useResult<T>(job: Job | null, name: string | undefined, read: (text: string) => T): {value: T | null, failed: boolean} {
  const [value, set] = useState<T | null>(null)
  const [failed, setFailed] = useState(false)
  const path = job?.results.find(r => r.name === name)?.path
  useEffect(() => {
    set(null)
    setFailed(false)
    if (path === undefined) return
    const stop = new AbortController()
    request(path, {signal: stop.signal}).then(r => r.text()).then(text => {
      if (!stop.signal.aborted) set(() => read(text))
    }).catch(() => { if (!stop.signal.aborted) setFailed(true) })
    return () => stop.abort()
  }, [path])
  return {value, failed}
}

/** Fetches a result as whoever is signed in, and hands it to the browser to keep. */
export async function takeAway(path: string, name: string): Promise<void> {
  const response = await request(path)
  const url = URL.createObjectURL(await response.blob())
  const link = document.createElement('a')
  link.href = url
  link.download = name
  link.click()
  window.setTimeout(() => URL.revokeObjectURL(url), 10_000)
}
