// What has come of a job: how far it is, its figures, its files.

import type {JSX} from 'preact'
import {useState} from 'preact/hooks'
import {kilometres, toTenth, WallClock, wholeNumber} from './format'
import {Choice} from './plan_choice'
import {columnsOf, Curve, Details, Gains, HowBusy, Within, type Of} from './plan_figures'
import {isGoing, takeAway, type Followed} from './plan_job'
import {busyOf, changedOf, expectedOf, type Pair, type Summary} from './plan_pairs'
import type {Region} from './region'
import type {Job} from './shapes'
import {say, words} from './strings'

const w = words.plan

export function Progress({job, gone, lost, cancel}: Followed): JSX.Element {
  const going = job !== null && isGoing(job)
  return <div class="progress">
    <div role="status">
      {gone && <p class="notice">{w.gone}</p>}
      {lost && <p class="notice">{w.lost}</p>}
      {going && <p>{job.state === 'waiting' ? w.waiting(job.ahead ?? 0) : w.running(job.doing ?? '')}</p>}
      {job?.state === 'cancelled' && <p class="notice">{w.cancelled}</p>}
      {job?.state === 'failed' && <p class="notice">{w.failed} {job.detail}</p>}
    </div>
    {going && <div class="actions"><progress aria-label={w.progress} max={1} value={job.progress} /><button type="button" onClick={cancel}>{w.cancel}</button></div>}
  </div>
}

export function Results({summary, pairs, pair, region, names}: {summary: Summary, pairs: readonly Pair[], pair: Pair, region: Region, names: ReadonlyMap<string, string>}): JSX.Element {
  const counted = summary.places.people > 0 ? 'people' : 'area_km2'
  const of: Of = {all: summary.places[counted], counted, names}
  const expected = expectedOf(summary)
  const changed = changedOf(summary)
  const busy = busyOf(summary)
  const both = pair.then === null ? [pair.now] : [pair.now, pair.then]
  const clock = new WallClock(summary.at_local)
  return <>
    <p class="asked-for"><bdi>{region.name}</bdi>: {w.counts(wholeNumber(summary.places.people), wholeNumber(summary.places.area_km2), wholeNumber(summary.places.cells),
      summary.places.cell_m === undefined ? '' : kilometres(summary.places.cell_m))}</p>
    <ul class="hours-used" aria-label={w.hoursUsed}>{pairs.map((p, i) => <li key={i}><strong><bdi>{p.name}</bdi></strong>: {clock.date(p.at)} {clock.at(p.at)} {clock.zone}</li>)}</ul>
    {changed !== null && changed.name !== '' && <p>{w.changeIs} <bdi>{changed.name}</bdi></p>}
    {'chosen' in summary && <Choice s={summary} />}
    {pair.gains.length > 0 && <section><h2>{w.whatChanges(pairs.length > 1 ? pair.name : '')}</h2><Gains gains={pair.gains} mean={pair.meanGain} /></section>}
    <section><h2>{w.whoIsReached}</h2>
      {pair.then === null ? <Within columns={columnsOf(pairs.map(p => p.now), expected?.now ?? null, busy?.now ?? null)} of={of} /> : <Within columns={columnsOf(both, null, null)} of={of} />}
      <Curve list={pair.then === null ? pairs.map(p => p.now) : both} of={of} />
    </section>
    <section><h2>{w.carries(pairs.length > 1 ? pair.name : '')}</h2><Details list={both} of={of} /></section>
    {busy !== null && <section><h2>{w.howBusy}</h2><HowBusy {...busy} /></section>}
  </>
}

/** The files of a job, to take away. What could not be fetched is said. */
export function Files({job}: {job: Job}): JSX.Element {
  const [wrong, setWrong] = useState('')
  const take = (path: string, name: string) => {
    setWrong('')
    takeAway(path, name).catch((e: unknown) => setWrong(w.notTaken(name, e instanceof Error ? e.message : '')))
  }
  return <section class="screen-only files"><h2>{w.files}</h2>
    <div role="alert">{wrong !== '' && <p class="notice">{wrong}</p>}</div>
    <ul>{job.results.map(r => <li key={r.name}><button type="button" class="quiet" onClick={() => take(r.path, r.name)}>{r.name}</button>
      <span class="hint">{say(w.fileKinds, r.name.slice(r.name.lastIndexOf('.') + 1))}, {size(r.bytes)}</span></li>)}</ul>
  </section>
}

function size(bytes: number): string {
  return bytes < 1000 ? `${wholeNumber(bytes)} B` : bytes < 1e6 ? `${wholeNumber(bytes / 1000)} kB` : `${toTenth(bytes / 1e6)} MB`
}
