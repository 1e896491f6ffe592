// The ways out on one common clock, and all about the one that is looked at.

import {Fragment, type ComponentChildren, type JSX} from 'preact'
import {useEffect, useState} from 'preact/hooks'
import type {Asking} from './ask'
import type {Told} from './clinical'
import {Excluded} from './excluded'
import {chance, minutes, wholeNumber, WallClock} from './format'
import {Since} from './happened'
import {ClockScale, LaneLegend, MeetingLanes, stepName} from './lanes'
import {spanOf} from './lanes_layout'
import {Launch} from './launch'
import {MeetingHead} from './meeting'
import {MessagePanel, type Message} from './prealert'
import {ReachPanel, type ReachState} from './reach'
import type {Region} from './region'
import type {Answer, Option} from './shapes'
import {openPanel} from './panels'
import {say, words} from './strings'
import {DecideBy, Deadlines, HangsOn} from './until'
import {useWidth} from './use_width'

interface Props {
  asking: Asking
  answer: Answer
  region: Region
  picked: Option | undefined
  gone: boolean // another was asked for, which is no longer there
  pick: (id: string) => void
  more: (() => void) | null
  toBriefing: () => void
  reach: ReachState
  keepFile: ComponentChildren
  happened: ComponentChildren // what has happened to the vehicles of the way that is looked at
  message: Message
  told: Told
  tell: (t: Told) => void
}

export function Board({asking, answer, region, picked, gone, pick, more, toBriefing, reach, keepFile, happened, message, told, tell}: Props): JSX.Element {
  const clock = new WallClock(answer.at_local)
  const [box, width] = useWidth()
  const span = spanOf(answer.options)
  const lanesWidth = Math.max(width - 148, 240)
  return <section class="board" aria-label={words.options} aria-busy={asking.busy} id="ways" tabIndex={-1}>
    {answer.cautions.length > 0 && <Cautions list={answer.cautions} />}
    {picked === undefined
      ? <div class="nothing"><h2>{words.none}</h2><p>{words.noneLong}</p></div>
      : <>
          {gone && <p class="notice" role="status">{words.pickGone}</p>}
          <MeetingHead option={picked} clock={clock} />
          <p class="sentence">{picked.sentence}</p>
          {picked.cautions.length > 0 && <Cautions list={picked.cautions} />}
          {picked === answer.options[0] && <DecideBy answer={answer} clock={clock} />}
          <p class="actions">
            <button type="button" onClick={() => openPanel('message')}>{words.preAlert}</button>
            <button type="button" onClick={toBriefing}>{words.toBriefing}</button>
            <button type="button" onClick={() => openPanel('say')}>{words.say.title}</button>
            <Launch record={asking.last?.record ?? ''} option={picked.id} clock={clock} />
            <CopyLink />
            {keepFile}
          </p>
        </>}
    {happened}
    <ReachPanel reach={reach} first={4} />
    <div class="ways" ref={box}>
      {answer.options.length > 0 && <div class="way-scale"><span class="hint">{words.found(answer.options.length, answer.found)}</span>
        <ClockScale span={span} width={lanesWidth} clock={clock} /></div>}
      <div role="radiogroup" aria-label={words.options}>
        {answer.options.map(o => <Way key={o.id} option={o} picked={o === picked} pick={pick} clock={clock} span={span} width={lanesWidth} names={region.names} />)}
      </div>
      {more !== null && <button type="button" class="quiet" onClick={more}>{words.more}</button>}
    </div>
    <LaneLegend />
    {picked !== undefined && <MessagePanel message={message} clock={clock} told={told} tell={tell} />}
    <Deadlines answer={answer} clock={clock} />
    <HangsOn answer={answer} names={region.names} />
    {picked !== undefined && <Steps option={picked} clock={clock} />}
    <Excluded list={answer.not_possible} names={region.names} />
  </section>
}

function Way({option: o, picked, pick, clock, span, width, names}: {
  option: Option, picked: boolean, pick: (id: string) => void, clock: WallClock, span: number, width: number, names: ReadonlyMap<string, string>,
}): JSX.Element {
  return <label class={picked ? 'way picked' : 'way'}>
    <input type="radio" name="way" value={o.id} checked={picked} onChange={() => pick(o.id)}
      aria-label={`${o.rank}. ${o.sentence}`} />
    <span class="tag" aria-hidden="true">
      <span class="rank">{o.rank}</span>
      <time>{clock.at(o.with_surgeon_at)}</time>
      <span class="total">{words.typicalShort(minutes(o.total.typical_s))} <span class="slow">{words.slowShort(minutes(o.total.slow_s))}</span></span>
      <bdi class="dest">{o.destination.name}</bdi>
      <span class="how">{say(words.shapes, o.shape)} · <Names of={o.assets} names={names} /></span>
      <span class="odds">{picked ? words.quickestLong(chance(o.spread.quickest)) : words.firstIn(chance(o.spread.quickest))}{o.spread.within_target !== undefined && <> · {words.inTarget(chance(o.spread.within_target))}</>}</span>
      <Since option={o} />
    </span>
    <MeetingLanes option={o} span={span} width={width} clock={clock} tall={picked} />
  </label>
}

/** Names one after the other, each in its own direction of writing. */
export function Names({of, names, between = ', '}: {of: readonly string[], names: ReadonlyMap<string, string>, between?: string}): JSX.Element {
  return <>{of.map((id, i) => <Fragment key={id}>{i > 0 && between}<bdi>{names.get(id) ?? id}</bdi></Fragment>)}</>
}

function Cautions({list}: {list: readonly string[]}): JSX.Element {
  return <ul class="cautions" aria-label={words.cautions}>{list.map(c => <li key={c}>{c}</li>)}</ul>
}

function Steps({option, clock}: {option: Option, clock: WallClock}): JSX.Element {
  return <details class="steps">
    <summary>{words.details}</summary>
    <div class="scroll" tabIndex={0} role="region" aria-label={words.details}><table>
      <thead><tr><th scope="col">{words.start}</th><th scope="col">{words.end}</th><th scope="col">{words.step}</th><th scope="col">{words.spare}</th><th scope="col">{words.basis}</th></tr></thead>
      <tbody>{option.activities.map(a => <tr key={a.id} class={a.critical ? 'critical' : ''}>
        <td>{clock.after(a.start_s)}</td><td>{clock.after(a.end_s)}</td>
        <th scope="row"><span class={'chip ' + a.lane}>{say(words.lanes, a.lane)}</span> {stepName(a)}</th>
        <td>{a.critical ? words.noSpare : `${wholeNumber(Math.floor(a.slack_s / 60))} ${words.min}`}</td><td>{a.basis}</td>
      </tr>)}</tbody>
    </table></div>
  </details>
}

function CopyLink(): JSX.Element | null {
  const [done, set] = useState(false)
  useEffect(() => {
    if (!done) return
    const t = window.setTimeout(() => set(false), 2000)
    return () => window.clearTimeout(t)
  }, [done])
  if (navigator.clipboard === undefined) return null
  return <button type="button" class="quiet" onClick={() => void navigator.clipboard.writeText(location.href).then(() => set(true), () => undefined)}>
    {done ? words.copied : words.copyLink}
  </button>
}
