// The answer as one file that opens without signal and without the service: no
// script, its style in it. A device that is not at this machine over https has no
// worker that would keep the page.

import {render, type JSX} from 'preact'
import {useState} from 'preact/hooks'
import type {Asked} from './ask'
import {Names} from './board'
import {Excluded} from './excluded'
import {WallClock} from './format'
import {Since, told} from './happened'
import {ClockScale, LaneDefs, MeetingLanes} from './lanes'
import {spanOf} from './lanes_layout'
import {MeetingHead} from './meeting'
import {ReadOut, type Message} from './prealert'
import {ReachSentences, type ReachState} from './reach'
import type {Region} from './region'
import type {Option} from './shapes'
import {positionText, type Light} from './state'
import {say, words} from './strings'
import {DecideBy} from './until'

interface Kept {
  asked: Asked
  region: Region
  picked: Option | undefined
  message: Message
  reach: ReachState
}

const w = words.kept

/** Saves the answer, and says what then to do with the file. */
export function KeepFile({light, ...kept}: Kept & {light: Light}): JSX.Element {
  const [name, set] = useState('')
  return <>
    <button type="button" class="quiet" onClick={() => {
      const file = fileName(kept.asked)
      save(file, page(kept, light))
      set(file)
    }}>{w.keep}</button>
    <span class="hint" role="status">{name !== '' && w.done(name)}</span>
  </>
}

function fileName({answer}: Asked): string { return `answer-${answer.at.replace(/[-:]/g, '')}.html` }

function save(name: string, text: string): void {
  const address = URL.createObjectURL(new Blob([text], {type: 'text/html'}))
  const link = document.createElement('a')
  link.href = address
  link.download = name
  link.click()
  window.setTimeout(() => URL.revokeObjectURL(address), 60_000)
}

/** The whole file. What is not ours in it is written by the browser from elements, so
 * that a name that is markup stays a name. */
function page(kept: Kept, light: Light): string {
  const title = document.createElement('title')
  title.textContent = `${kept.region.name}: ${w.title}`
  const body = document.createElement('body')
  render(<KeptAnswer {...kept} width={Math.min(Math.max(window.innerWidth - 48, 280), 680)} />, body)
  for (const svg of body.querySelectorAll('svg.lanes, svg.scale')) {
    svg.setAttribute('viewBox', `0 0 ${svg.getAttribute('width')} ${svg.getAttribute('height')}`) // for another screen
  }
  const text = `<!doctype html>
<html lang="en" data-light="${light}" data-view="kept">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<meta name="viewport" content="width=device-width, initial-scale=1">
${title.outerHTML}
<style>
${styles()}
</style>
</head>
${body.outerHTML}
</html>
`
  render(null, body)
  return text
}

/** The page's own style, but what the map alone needs. */
function styles(): string {
  return [...document.styleSheets].flatMap(s => [...s.cssRules])
    .filter(r => !(r instanceof CSSStyleRule && /^\.(ol-|map)/.test(r.selectorText))).map(r => r.cssText).join('\n')
}

function KeptAnswer({asked, region, picked, message, reach, width}: Kept & {width: number}): JSX.Element {
  const {answer, question} = asked
  const clock = new WallClock(answer.at_local)
  const span = spanOf(answer.options)
  const name = (id: string) => region.names.get(id) ?? id
  const first = answer.options[0]
  return <>
    <main class="kept" id="main">
      {answer.region.demonstration && <p class="demonstration">{words.demonstrationLong}</p>}
      <h1>{w.title}</h1>
      <p class="kept-at"><strong>{w.answered(clock.at(answer.at), clock.date(answer.at), words.local(clock.zone))}</strong> {w.still}</p>
      <p>{words.scene}: <bdi>{answer.scene.facility !== undefined ? name(answer.scene.facility) : positionText(answer.scene.position)}</bdi>
        {' · '}<bdi>{answer.region.name}</bdi></p>
      {answer.cautions.length > 0 && <ul class="cautions">{answer.cautions.map(c => <li key={c}>{c}</li>)}</ul>}
      {question.happened !== undefined && <section aria-label={words.happened.title}><h2>{words.happened.title}</h2>
        <ul>{question.happened.map((f, i) => <li key={i}><time>{clock.at(f.at)}</time> <bdi>{name(f.asset ?? f.facility ?? '')}</bdi>: {told(region, f.event, f.asset ?? '')}</li>)}</ul></section>}
      {reach.answer !== null && <ReachSentences answer={reach.answer} />}
      <LaneDefs />
      {first === undefined ? <><h2>{words.none}</h2><p>{words.noneLong}</p></> : <DecideBy answer={answer} clock={clock} />}
      {answer.options.map(o => <section key={o.id} class="kept-way" aria-label={words.option(o.rank)}>
        <h2>{o.rank}. <bdi>{o.destination.name}</bdi>, {say(words.shapes, o.shape)}</h2>
        <p><Names of={o.assets} names={region.names} between=" + " /></p>
        <MeetingHead option={o} clock={clock} />
        <p class="sentence">{o.sentence} {words.range(clock.after(o.spread.p10_s), clock.after(o.spread.p90_s))}.</p>
        <p><Since option={o} /></p>
        {o.cautions.length > 0 && <ul class="cautions">{o.cautions.map(c => <li key={c}>{c}</li>)}</ul>}
        <ClockScale span={span} width={width} clock={clock} />
        <MeetingLanes option={o} span={span} width={width} clock={clock} tall />
        {o.id === picked?.id && message.text?.option === o.id && <><h3>{words.preAlert}</h3><ReadOut message={message} clock={clock} /></>}
      </section>)}
      <Excluded list={answer.not_possible} names={region.names} />
      <p class="versions">{words.versions}: {Object.entries(answer.versions).map(([k, v]) => `${k} ${String(v).slice(0, 12)}`).join(', ')}</p>
    </main>
    <footer class="caution">{answer.caution}</footer>
  </>
}
