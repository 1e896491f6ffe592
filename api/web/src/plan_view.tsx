// The plan view: how far everybody is from a surgeon, what a change would do, and where
// more would help.

import type {JSX} from 'preact'
import {useEffect, useMemo, useRef, useState} from 'preact/hooks'
import {getJSON, postJSON, Refused, type Fault} from './client'
import {focusOn} from './panels'
import {atFields, coverageQuestion, placeName, planForm, readPosition, sitingQuestion, situations, usesPlaces, wrongIn, type PlanForm} from './plan'
import {countOf} from './plan_cells'
import {PlanQuestion, type OwnPeople} from './plan_form'
import {useJob} from './plan_job'
import {Jobs} from './plan_jobs'
import {Maps} from './plan_maps'
import {namesIn, pairsOf} from './plan_pairs'
import {newPlace} from './plan_places'
import {Files, Progress, Results} from './plan_results'
import {positionOf, type Region} from './region'
import type {Demand, Job} from './shapes'
import {positionText, sides, type Light, type Side, type State} from './state'
import {words} from './strings'

const w = words.plan

export interface PlanProps { region: Region, light: Light, state: State, set: (change: Partial<State>) => void }

let kept: PlanForm = planForm // while another view is looked at

export function PlanView({region, light, state, set: go}: PlanProps): JSX.Element {
  const [form, setForm] = useState<PlanForm>(kept)
  kept = form
  const set = (change: Partial<PlanForm>) => { setRefused(nothing); setForm(f => ({...f, ...change})) }
  const [tries, setTries] = useState(0)
  const tried = tries > 0
  const [refused, setRefused] = useState<{why: string, faults: readonly Fault[]}>(nothing)
  const [busy, setBusy] = useState(false)
  const asking = state.job === ''
  const [own, demand] = useOwnPeople(asking)
  const followed = useJob(state.job)
  const {job, summary} = followed
  const pairs = useMemo(() => summary === null ? [] : pairsOf(summary), [summary])
  const pair = pairs[Math.min(Number(state.hour) || 0, pairs.length - 1)] ?? null
  const side: Side = state.side === '' ? 'both' : state.side
  const longitude = region.facilities[0] === undefined ? 0 : positionOf(region.facilities[0])[0]
  useEffect(() => { // the form begins with what the region has
    const flies = region.assets.find(a => a.kind === 'helicopter') ?? region.assets[0]
    if (form.like === '' && flies !== undefined) set({like: flies.id, bases: region.facilities.filter(f => f.properties.kind === 'base').map(f => f.id)})
  }, [region])
  useEffect(() => { if (own === 'none' && form.people === 'region') set({people: 'land'}) }, [own])

  const wrong = wrongIn(form, region)
  const faults = [...wrong.filter(f => tried || !f.empty), ...refused.faults]
  const first = useRef(false)
  useEffect(() => { // to the first field that is wrong, once
    if (!first.current) return
    first.current = false
    const field = document.querySelector<HTMLElement>('.plan-form .field.wrong :is(input, select, textarea, summary, button)')
    field?.closest('details')?.setAttribute('open', '')
    field?.focus()
  })

  const start = async () => {
    setTries(n => n + 1)
    setRefused(nothing)
    if (wrong.length > 0) {
      first.current = true
      return
    }
    setBusy(true)
    const at = situations(form, region.assets.map(a => a.id), longitude, Date.now())
    try {
      const people = form.people === 'region' ? await demand() : form.people === 'file' ? form.file : null
      const siting = form.task === 'siting'
      const made = await postJSON<Job>(siting ? '/v1/siting' : '/v1/coverage', siting ? sitingQuestion(form, at[0]!, people) : coverageQuestion(form, at, people, region))
      setTries(0)
      go({job: made.id, hour: '', side: ''})
    } catch (e) {
      first.current = true
      setRefused({why: e instanceof Refused ? e.message : w.notAsked, faults: e instanceof Refused ? atFields(form, e.faults) : []})
    } finally {
      setBusy(false)
    }
  }

  const names = useMemo(() => summary === null ? region.names : namesIn(summary, region.names), [region, summary])
  const sites = useMemo(() => summary !== null && 'chosen' in summary ? summary.chosen.map(c => ({name: c.name, at: c.position})) : [], [summary])
  const putting = asking && usesPlaces(form)
  const spots = putting ? form.places.flatMap((p, i) => { const at = readPosition(p.at); return at === null ? [] : [{key: p.key, name: placeName(form.places, i), at}] }) : []
  return <main class="plan" id="main">
    <div class="lists" id="ways" tabIndex={-1}>
      <h1>{w.title}</h1>
      {asking ? <>
        <p class="hint">{w.lead}</p>
        <div role="alert">
          {refused.why !== '' && <div class="problem"><h2>{words.wrong}</h2><p>{refused.why}</p>{refused.faults.length > 0 && <ul>{refused.faults.map((f, i) => <li key={i}>{f.detail}</li>)}</ul>}</div>}
          {refused.why === '' && tried && wrong.length > 0 && <div class="problem"><h2>{words.wrong}</h2><ul>{wrong.map((f, i) => <li key={i}>{f.detail}</li>)}</ul></div>}
        </div>
        <PlanQuestion form={form} set={set} region={region} faults={faults} own={own} longitude={longitude} start={() => { void start() }} busy={busy} />
        <Jobs open={id => go({job: id, hour: '', side: ''})} />
      </> : <div class="actions screen-only"><button type="button" onClick={() => go({job: '', hour: '', side: ''})}>{w.again}</button>
        {summary !== null && <button type="button" onClick={() => window.print()}>{words.print}</button>}
        <button type="button" class="to-map" onClick={() => focusOn('#map')}>{w.toMap}</button></div>}
      {!asking && <Progress {...followed} />}
      {summary !== null && job !== null && pair !== null && <>
        {summary.caution !== '' && <p class="caution-said">{region.demonstration && <strong>{words.demonstration} </strong>}{summary.caution}</p>}
        <Results {...{summary, pairs, pair, region, names}} />
        <Files job={job} />
      </>}
    </div>
    <div class="beside">
      {pairs.length > 1 && <div class="tabs" role="group" aria-label={w.shownHour}>
        {pairs.map((p, i) => <button key={i} type="button" aria-pressed={p === pair} onClick={() => go({hour: i === 0 ? '' : String(i)})}><bdi>{p.name}</bdi></button>)}
      </div>}
      {pair?.then != null && <div class="tabs" role="group" aria-label={w.shownSide}>
        {sides.map(s => <button key={s} type="button" aria-pressed={s === side} onClick={() => go({side: s})}>{w.sides[s]}</button>)}
      </div>}
      <Maps region={region} light={light} job={job} pair={pair} side={side} cellM={summary?.places.cell_m ?? 0} sites={sites} spots={spots} names={names} places={putting}
        put={p => set({places: [...form.places, newPlace(form.places, positionText(p))]})}
        move={(key, p) => set({places: form.places.map(x => x.key === key ? {...x, at: positionText(p)} : x)})} />
    </div>
  </main>
}

const nothing = {why: '', faults: []}

/** The region's own people, once somebody asks with them. */
function useOwnPeople(wanted: boolean): [OwnPeople, () => Promise<Demand | null>] {
  const [own, set] = useState<OwnPeople>('looking')
  const held = useRef<Promise<Demand | null> | null>(null)
  const read = () => {
    held.current ??= getJSON<Demand>('/v1/region/demand').catch((e: unknown) => {
      if (e instanceof Refused && e.status === 404) return null
      held.current = null // no signal: another time
      throw e
    })
    return held.current
  }
  useEffect(() => {
    let over = false
    let timer = 0
    const look = () => { read().then(d => { if (!over) set(d === null ? 'none' : countOf(d)) }, () => { if (!over) timer = window.setTimeout(look, 4_000) }) }
    if (wanted) look()
    return () => {
      over = true
      window.clearTimeout(timer)
    }
  }, [wanted])
  return [own, read]
}
