// The desk: the question and the map on one side, the clocks on the other.

import type {JSX} from 'preact'
import {useMemo} from 'preact/hooks'
import type {Asking} from './ask'
import {Board} from './board'
import type {Told} from './clinical'
import {Examples} from './examples'
import {Folded} from './folded'
import {Signal, Wrong} from './frame'
import {Happened} from './happened'
import {KeepFile} from './kept_answer'
import {LaneDefs} from './lanes'
import type {Message} from './prealert'
import {QuestionForm} from './question'
import type {ReachState} from './reach'
import type {Region} from './region'
import {SayChanges} from './say_changes'
import type {Option} from './shapes'
import {positionText, type Light, type State} from './state'
import {words} from './strings'
import {useMap} from './use_map'

export interface ViewProps {
  state: State
  set: (change: Partial<State>) => void
  replace: (state: State) => void
  region: Region
  asking: Asking
  picked: Option | undefined
  light: Light
  more: (() => void) | null
  message: Message
  reach: ReachState
  told: Told
  tell: (t: Told) => void
}

export function Desk(p: ViewProps): JSX.Element {
  const {state, set, region, asking, picked, light} = p
  const answer = asking.last?.answer ?? null
  const happened = <Happened state={state} set={set} region={region} asked={asking.last} option={picked} faults={asking.faults} />
  return <main class="desk" id="main">
    <LaneDefs />
    <QuestionForm state={state} set={set} region={region} asked={asking.last} answer={answer} faults={asking.faults} />
    <MapPane {...{region, asking, picked, light, state, set}} />
    <div class="clocks">
      <Signal asking={asking} />
      <Wrong asking={asking} />
      {answer !== null
        ? <Board asking={asking} answer={answer} region={region} picked={picked} gone={state.pick !== '' && picked?.id !== state.pick}
            pick={id => set({pick: id})} more={p.more} reach={p.reach} happened={happened} keepFile={asking.last !== null && <KeepFile asked={asking.last} region={region} picked={picked} message={p.message} reach={p.reach} light={light} />}
            message={p.message} told={p.told} tell={p.tell} toBriefing={() => set({view: 'briefing', pick: picked?.id ?? ''})} />
        : asking.wrong !== '' ? happened
        : !asking.busy && <section class="nothing" id="ways" tabIndex={-1}>
            <h2>{words.ask}</h2><p>{words.askLong}</p>
            {region.demonstration && <Examples show={s => p.replace({...s, view: state.view, light: state.light})} />}
          </section>}
      <SayChanges region={region} />
    </div>
  </main>
}

function MapPane({region, asking, picked, light, state, set}: Pick<ViewProps, 'region' | 'asking' | 'picked' | 'light' | 'state' | 'set'>): JSX.Element {
  const answer = asking.last?.answer ?? null
  const seen = useMemo(() => ({
    region, scene: answer?.scene ?? null, options: answer?.options ?? [], pick: picked?.id ?? '',
    at: answer === null ? Date.now() : Date.parse(answer.at), states: new Map(state.states.map(s => [s.asset, s.state])),
  }), [region, answer, picked, state.states])
  const target = useMap(seen, light, p => set({scene: positionText(p), facility: ''}))
  return <div class="map-pane">
    <div class="map" id="map" ref={target} tabIndex={0} role="application" aria-label={words.map} />
    <Folded class="map-legend" summary={words.mapLegend} inside={() => <MapLegend />} />
  </div>
}

function MapLegend(): JSX.Element {
  const m = words.marks
  const mark = (children: JSX.Element) => <svg width="26" height="16" aria-hidden="true">{children}</svg>
  return <ul>
    <li>{mark(<g class="mark scene"><circle cx="13" cy="8" r="5" /><path d="M5 8h16M13 0v16" /></g>)} {m.scene}</li>
    <li>{mark(<rect class="mark chest" x="7" y="2" width="12" height="12" />)} {m.surgeon}</li>
    <li>{mark(<rect class="mark hospital" x="8" y="3" width="10" height="10" />)} {m.hospital}</li>
    <li>{mark(<g class="mark hospital"><rect x="8" y="3" width="10" height="10" /><path class="bar" d="M5 15L21 1" /></g>)} {m.divert}</li>
    <li>{mark(<circle class="mark site" cx="13" cy="8" r="3" />)} {m.site}</li>
    <li>{mark(<path class="mark field" d="M13 1l2 5 5 2-5 2-2 5-2-5-5-2 5-2z" />)} {m.field}</li>
    <li>{mark(<path class="mark vehicle" d="M13 2l6 11H7z" />)} {m.air}</li>
    <li>{mark(<path class="mark vehicle" d="M13 3l4 2.5v5L13 13l-4-2.5v-5z" />)} {m.road}</li>
    <li>{mark(<path class="mark leg dashed" d="M1 8h24" />)} {m.flight}</li>
    <li>{mark(<path class="mark leg" d="M1 8h24" />)} {m.drive}</li>
  </ul>
}
