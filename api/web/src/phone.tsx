// The phone, held in one gloved hand at the patient's side: three ways at most,
// readable at arm's length.

import type {ComponentChildren, JSX} from 'preact'
import {Names} from './board'
import {Examples} from './examples'
import type {ViewProps} from './desk'
import {Signal, Wrong} from './frame'
import {chance, minutes, WallClock} from './format'
import {Happened, PatientTimes, Since} from './happened'
import {KeepFile} from './kept_answer'
import {clocksOf} from './lanes_layout'
import {MessagePanel} from './prealert'
import {PatientPart, ScenePart, WeatherPart} from './question'
import {ReachPanel} from './reach'
import type {Region} from './region'
import type {Option} from './shapes'
import {hasScene} from './state'
import {say, words} from './strings'
import {DecideBy} from './until'

export function Phone(p: ViewProps): JSX.Element {
  const {state, set, region, asking, picked} = p
  const answer = asking.last?.answer ?? null
  const clock = answer === null ? null : new WallClock(answer.at_local)
  const parts = <form class="question" aria-label={words.question} onSubmit={e => e.preventDefault()}>
    <ScenePart onPhone state={state} set={set} region={region} answer={answer} faults={asking.faults} />
    <PatientPart state={state} set={set} region={region} answer={answer} faults={asking.faults} />
    <PatientTimes state={state} set={set} asked={asking.last} faults={asking.faults} />
    <WeatherPart state={state} set={set} region={region} answer={answer} faults={asking.faults} />
  </form>
  const happened = <Happened state={state} set={set} region={region} asked={asking.last} option={picked} faults={asking.faults} />
  return <main class="phone" id="main">
    <Signal asking={asking} />
    {answer === null || !hasScene(state)
      ? <section class="nothing" id="ways" tabIndex={-1}>
          <h1>{words.phoneAsk}</h1>
          <Wrong asking={asking} />
          {happened}
          {parts}
          {region.demonstration && <Examples show={s => p.replace({...s, view: state.view, light: state.light})} />}
        </section>
      : <>
          <Wrong asking={asking} />
          <h1 class="unseen">{words.options}</h1>
          <section id="ways" tabIndex={-1} aria-label={words.options} aria-busy={asking.busy}>
            {answer.cautions.length > 0 && <ul class="cautions" aria-label={words.cautions}>{answer.cautions.map(c => <li key={c}>{c}</li>)}</ul>}
            <ReachPanel reach={p.reach} first={1} />
            {answer.options.length === 0 && <div class="nothing"><h1>{words.none}</h1><p>{words.noneLong}</p>{happened}</div>}
            {answer.options.slice(0, 3).map(o =>
              <Card key={o.id} option={o} open={o === picked} pick={() => set({pick: o.id})} clock={clock!} region={region}>
                {o === answer.options[0] && <DecideBy answer={answer} clock={clock!} />}
                {happened}
                <MessagePanel message={p.message} clock={clock!} told={p.told} tell={p.tell} />
              </Card>)}
          </section>
          {asking.last !== null && <p class="actions"><KeepFile asked={asking.last} region={region} picked={picked} message={p.message} reach={p.reach} light={p.light} /></p>}
          <details class="change"><summary>{words.change}</summary>{parts}</details>
        </>}
  </main>
}

function Card({option: o, open, pick, clock, region, children}: {
  option: Option, open: boolean, pick: () => void, clock: WallClock, region: Region, children: ComponentChildren,
}): JSX.Element {
  const c = clocksOf(o)
  const wait = minutes(Math.abs(c.surgeon - c.patient))
  const head = <>
    <span class="rank">{o.rank}</span>
    <time>{clock.at(o.with_surgeon_at)}</time>
    <span class="total">{words.typicalShort(minutes(o.total.typical_s))}<br />{words.slowShort(minutes(o.total.slow_s))}</span>
    <bdi class="dest">{o.destination.name}</bdi>
    <span class="how">{say(words.shapes, o.shape)}</span>
    <Since option={o} />
  </>
  if (!open) {
    return <button type="button" class="card" onClick={pick}>{head}</button>
  }
  return <article class="card open" aria-label={words.option(o.rank)}>
    <h2>{head}</h2>
    <p class="vehicles"><Names of={o.assets} names={region.names} between=" + " /></p>
    <dl>
      {o.leave_scene_at !== undefined && <div><dt>{words.leaveScene}</dt><dd><time>{clock.at(o.leave_scene_at)}</time></dd></div>}
      {o.meeting !== undefined && <div><dt>{words.marks.site}</dt><dd><bdi>{o.meeting.name}</bdi></dd></div>}
      <div><dt>{words.handedOver}</dt><dd><time>{clock.after(c.patient)}</time></dd></div>
      <div><dt>{words.surgeonReady}</dt><dd><time>{clock.after(c.surgeon)}</time></dd></div>
    </dl>
    <p class="gap">{c.surgeon > c.patient ? words.patientWaits(wait) : c.patient > c.surgeon ? words.surgeonWaits(wait) : words.noWait}</p>
    <p class="odds">{words.quickestLong(chance(o.spread.quickest))}; {words.range(clock.after(o.spread.p10_s), clock.after(o.spread.p90_s))}</p>
    {children}
    {o.cautions.length > 0 && <ul class="cautions">{o.cautions.map(x => <li key={x}>{x}</li>)}</ul>}
  </article>
}
