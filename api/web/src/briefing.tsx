// One page about one way out, for paper: A4 and Letter.

import type {JSX} from 'preact'
import type {Asked} from './ask'
import {minutes, WallClock} from './format'
import {Since} from './happened'
import {LaneDefs, MeetingLanes, ClockScale} from './lanes'
import {MeetingHead} from './meeting'
import {ReadOut, type Message} from './prealert'
import type {Region} from './region'
import type {Option} from './shapes'
import {Sketch} from './sketch'
import {positionText} from './state'
import {say, words} from './strings'
import {DecideBy} from './until'

const wide = 680 // px at 96 to the inch: what both A4 and Letter hold between their margins

export function Briefing({asked, region, option, message, back}: {
  asked: Asked | null, region: Region, option: Option | undefined, message: Message, back: () => void,
}): JSX.Element {
  if (asked === null || option === undefined) {
    return <main class="briefing" id="main"><h1>{words.briefing}</h1><p>{words.briefingNone}</p><p><button type="button" onClick={back}>{words.back}</button></p></main>
  }
  const {answer} = asked
  const clock = new WallClock(answer.at_local)
  const span = option.spread.p90_s * 1.06
  return <main class="briefing" id="main">
    <p class="actions screen-only">
      <button type="button" onClick={back}>{words.back}</button>
      <button type="button" class="strong" onClick={() => window.print()}>{words.print}</button>
    </p>
    <article class="sheet-of-paper">
      {answer.region.demonstration && <p class="demonstration">{words.demonstrationLong}</p>}
      <header>
        <h1><bdi>{option.destination.name}</bdi> <span>{say(words.shapes, option.shape)}</span></h1>
        <p>{words.scene}: <bdi>{answer.scene.facility !== undefined ? region.names.get(answer.scene.facility) ?? answer.scene.facility : positionText(answer.scene.position)}</bdi>
          {' · '}{words.decideAt} {clock.at(answer.at)}, {clock.date(answer.at)} ({words.local(clock.zone)}; {answer.at})
          {' · '}{answer.night ? words.nightShown : words.dayShown}</p>
      </header>
      <MeetingHead option={option} clock={clock} />
      <p class="sentence">{option.sentence} {option.leave_scene_at !== undefined && `${words.leaveScene} ${clock.at(option.leave_scene_at)}. `}{words.range(clock.after(option.spread.p10_s), clock.after(option.spread.p90_s))}.</p>
      {(option.since_output_lost ?? option.since_output_regained) !== undefined && <p><Since option={option} /></p>}
      {[...answer.cautions, ...option.cautions].length > 0 && <ul class="cautions">{[...answer.cautions, ...option.cautions].map(c => <li key={c}>{c}</li>)}</ul>}
      <Sketch region={region} option={option} scene={answer.scene} width={wide} height={170} />
      <ReadOut message={message} clock={clock} />
      <div class="paper-lanes">
        <ClockScale span={span} width={wide} clock={clock} />
        <MeetingLanes option={option} span={span} width={wide} clock={clock} tall />
      </div>
      <LaneDefs />
      {option === answer.options[0] && <DecideBy answer={answer} clock={clock} />}
      <footer>
        <p class="caution">{answer.caution}</p>
        <p class="versions">{words.versions}: {Object.entries(answer.versions).map(([k, v]) => `${k} ${String(v).slice(0, 12)}`).join(', ')}; {option.id}; {minutes(option.total.typical_s)} {words.min}</p>
      </footer>
    </article>
  </main>
}
