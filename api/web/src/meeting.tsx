// The head of an option: the patient's clock, the surgeon's clock, and when they
// meet. Which of the two is late is the first thing to see.

import type {JSX} from 'preact'
import {minutes, type WallClock} from './format'
import {clocksOf} from './lanes_layout'
import type {Option} from './shapes'
import {words} from './strings'

export function MeetingHead({option, clock}: {option: Option, clock: WallClock}): JSX.Element {
  const c = clocksOf(option)
  const late = c.surgeon > c.patient ? 'surgeon' : c.patient > c.surgeon ? 'patient' : ''
  const wait = minutes(Math.abs(c.surgeon - c.patient))
  return <div class={'meeting ' + late}>
    <dl>
      <div class="side patient">
        <dt>{words.patientClock}</dt>
        <dd><time>{clock.after(c.patient)}</time> <span>{words.handedOver}</span></dd>
      </div>
      <div class="side surgeon">
        <dt>{words.surgeonClock}</dt>
        <dd><time>{clock.after(c.surgeon)}</time> <span>{words.surgeonReady}</span></dd>
      </div>
      <div class="both">
        <dt>{words.together}</dt>
        <dd><time>{clock.after(c.together)}</time> <span>{words.afterDecision(minutes(option.total.typical_s), minutes(option.total.slow_s))}</span></dd>
      </div>
    </dl>
    <p class="gap">{late === 'surgeon' ? words.patientWaits(wait) : late === 'patient' ? words.surgeonWaits(wait) : words.noWait}</p>
  </div>
}
