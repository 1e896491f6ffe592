// The question: where, when, who, what is known of the weather and the vehicles.

import type {JSX} from 'preact'
import {useState} from 'preact/hooks'
import type {Asked} from './ask'
import type {Fault} from './client'
import {CheckField, faultAt, LinesField, SelectField, TextField, TimingField} from './fields'
import {Folded} from './folded'
import {offsetOf, WallClock, wholeNumber} from './format'
import {PatientTimes} from './happened'
import {capabilitiesOf, type Region} from './region'
import type {Answer, StateChange} from './shapes'
import {positionText, readWind, type State} from './state'
import {plain, words} from './strings'

interface Props {
  state: State
  set: (change: Partial<State>) => void
  region: Region
  answer: Answer | null
  faults: readonly Fault[]
}

export function QuestionForm(p: Props & {asked: Asked | null}): JSX.Element {
  return <form class="question" aria-label={words.question} onSubmit={e => e.preventDefault()}>
    <ScenePart {...p} />
    <PatientPart {...p} />
    <PatientTimes {...p} />
    <WeatherPart {...p} />
    <VehiclePart {...p} />
  </form>
}

export function ScenePart({state, set, region, answer, faults, onPhone = false}: Props & {onPhone?: boolean}): JSX.Element {
  const hospitals = region.facilities.filter(f => f.properties.kind === 'hospital')
  const transfer = state.facility !== ''
  const read = answer !== null && !transfer && answer.scene.format !== undefined
    ? `${words.readAs(answer.scene.format)}, ${words.within(wholeNumber(answer.scene.uncertainty_m))}` : ''
  return <div class="part scene-part">
    {transfer
      ? <SelectField class="grow" label={words.scene} value={state.facility} set={v => set({facility: v})} faults={faults} at="#/scene/facility"
          choices={[['', words.inTheField] as const, ...hospitals.map(h => [h.id, h.properties.name] as const)]} />
      : <TextField class="grow" name="scene" label={words.scene} value={state.scene} set={v => set({scene: v})} placeholder={words.scenePlaceholder}
          faults={faults} at="#/scene/position_text" hint={read !== '' ? read : onPhone ? words.sceneHintPhone : words.sceneHint} />}
    <span class="tools">
      <Here set={p => set({scene: positionText(p), facility: ''})} />
      {!transfer && hospitals.length > 0 && <button type="button" class="quiet" onClick={() => set({facility: hospitals[0]!.id})}>{words.givenHospital}</button>}
    </span>
    <DecisionTime state={state} set={set} answer={answer} wrong={faultAt(faults, '#/at')} />
  </div>
}

/** Asks the device where it is, only when it is told to. */
function Here({set}: {set: (p: [number, number]) => void}): JSX.Element | null {
  const [said, say] = useState('')
  if (!('geolocation' in navigator)) return null
  const find = () => {
    if (!window.isSecureContext) return say(words.hereInsecure)
    say(words.hereWorking)
    navigator.geolocation.getCurrentPosition(
      p => { say(''); set([p.coords.longitude, p.coords.latitude]) },
      () => say(words.hereDenied),
      {enableHighAccuracy: true, timeout: 15_000, maximumAge: 10_000})
  }
  return <>
    <button type="button" class="quiet" onClick={find}>{words.here}</button>
    {said !== '' && <span class="fault" role="status">{said}</span>}
  </>
}

function DecisionTime({state, set, answer, wrong}: {state: State, set: Props['set'], answer: Answer | null, wrong: string}): JSX.Element {
  const offset = answer === null ? 0 : offsetOf(answer.at_local)
  const zone = answer === null ? words.utc : words.local(new WallClock(answer.at_local).zone)
  const value = state.at === '' ? '' : wall(Date.parse(state.at) + offset)
  return <div class={wrong === '' ? 'field time' : 'field time wrong'}>
    <span class="head"><label for="at">{words.decideAt}</label>
      <span class="hint">{zone}{answer !== null && <> · <span class={answer.night ? 'sky night' : 'sky'}>{answer.night ? words.nightShown : words.dayShown}</span></>}</span></span>
    <span class="entry">
      {state.at === ''
        ? <><strong class="now">{words.now}</strong>
            <button id="at" type="button" class="quiet" onClick={() => set({at: new Date(Math.floor(Date.now() / 60_000) * 60_000).toISOString().slice(0, 19) + 'Z'})}>{words.setTime}</button></>
        : <><input id="at" type="datetime-local" value={value} aria-invalid={wrong !== ''}
              onChange={e => {
                const t = Date.parse(e.currentTarget.value + 'Z')
                if (Number.isFinite(t)) set({at: new Date(t - offset).toISOString().slice(0, 19) + 'Z'})
              }} />
            <button type="button" class="quiet" onClick={() => set({at: ''})}>{words.useNow}</button></>}
    </span>
    {wrong !== '' && <span class="fault">{wrong}</span>}
  </div>
}

function wall(t: number): string { return Number.isFinite(t) ? new Date(t).toISOString().slice(0, 16) : '' }

export function PatientPart({state, set, region, faults}: Props): JSX.Element {
  const skills = [...new Set(region.assets.flatMap(a => (a.skills ?? []).map(String)))].sort()
  if (state.escort !== '' && !skills.includes(state.escort)) skills.push(state.escort)
  const field = state.facility === ''
  return <div class="part">
    <TextField class="tiny" label={words.age} value={state.age} set={v => set({age: v})} inputMode="decimal" unit={words.years} faults={faults} at="#/patient/age_years" />
    <Needs state={state} set={set} region={region} faults={faults} answer={null} />
    <SelectField label={words.escort} value={state.escort} set={v => set({escort: v})} faults={faults} at="#/patient/escort"
      choices={[['', words.anyone] as const, ...skills.map(s => [s, plain(s)] as const)]} />
    <TimingField label={words.readyIn} value={state.ready} set={v => set({ready: v})} faults={faults} at="#/patient/ready_in" />
    {field && <>
      <TimingField label={words.carryIn} value={state.carry} set={v => set({carry: v})} faults={faults} at="#/scene/carry" />
      <SelectField label={words.landing} value={state.landing === '' ? 'unknown' : state.landing} set={v => set({landing: v === 'unknown' ? '' : v})}
        choices={[['possible', words.landings.possible], ['impossible', words.landings.impossible], ['unknown', words.landings.unknown]]} />
      <CheckField label={words.winch} value={state.winch} set={v => set({winch: v})} />
    </>}
  </div>
}

function Needs({state, set, region, faults}: Props): JSX.Element {
  const all = [...new Set([...region.facilities.flatMap(capabilitiesOf), ...state.needs])].sort()
  const wrong = faultAt(faults, '#/patient/needs')
  return <Folded class="menu field"
    summary={<><span class="label">{words.needs}</span> <span class="entry">{state.needs.length === 0 ? words.needsDefault : state.needs.map(plain).join(', ')}</span></>}
    inside={() => <div class="sheet">
      {all.map(c => <CheckField key={c} label={plain(c)} value={state.needs.includes(c)}
        set={on => set({needs: on ? [...state.needs, c] : state.needs.filter(n => n !== c)})} />)}
    </div>}>
    {wrong !== '' && <span class="fault">{wrong}</span>}
  </Folded>
}

export function WeatherPart({state, set, faults}: Props): JSX.Element {
  const wind = state.wind !== '' && readWind(state.wind) === null ? words.windWrong : faultAt(faults, '#/conditions/wind')
  return <div class="part weather-part">
    <LinesField class="grow" label={words.weather} value={state.reports} set={v => set({reports: v})} placeholder={words.reportsHint} faults={faults} at="#/conditions/reports" />
    <TextField class="short" label={words.wind} value={state.wind} set={v => set({wind: v})} placeholder="240/18" wrong={wind} unit="kt" />
    <TextField class="tiny" label={words.ceiling} value={state.ceiling} set={v => set({ceiling: v})} inputMode="decimal" unit={words.feet} faults={faults} at="#/conditions/ceiling_ft" />
    <TextField class="tiny" label={words.visibility} value={state.visibility} set={v => set({visibility: v})} inputMode="decimal" unit={words.metres} faults={faults} at="#/conditions/visibility_m" />
  </div>
}

function VehiclePart({state, set, region, faults}: Props): JSX.Element {
  return <div class="part">
    <Folded class="menu field vehicles"
      summary={<><span class="label">{words.vehicles}</span> <span class="entry">{words.vehiclesChanged(state.states.length)}</span></>}
      inside={() => <div class="sheet">
        <table>
          <caption>{words.vehicleList}</caption>
          <thead><tr><th scope="col">{words.vehicle}</th><th scope="col">{words.doing}</th></tr></thead>
          <tbody>
            {region.assets.map(a => {
              const own = state.states.find(s => s.asset === a.id)
              return <tr key={a.id}>
                <th scope="row">{a.name}</th>
                <td><select aria-label={`${a.name}: ${words.doing}`} value={own?.state ?? ''}
                  onChange={e => set({states: withState(state.states, a.id, e.currentTarget.value)})}>
                  {Object.entries(words.doings).map(([v, t]) => v === 'moving' && own?.state !== 'moving' ? null : <option key={v} value={v}>{t}</option>)}
                </select></td>
              </tr>
            })}
          </tbody>
        </table>
      </div>}>
      {faultAt(faults, '#/assets') !== '' && <span class="fault">{faultAt(faults, '#/assets')}</span>}
    </Folded>
    <SelectField label={words.rank} value={state.rank === '' ? 'typical' : state.rank} set={v => set({rank: v === 'typical' ? '' : v})}
      choices={[['typical', words.ranks.typical], ['slow', words.ranks.slow]]} />
    <TextField class="tiny" label={words.target} value={state.target} set={v => set({target: v})} inputMode="decimal" unit={words.min} faults={faults} at="#/target_s" />
  </div>
}

function withState(states: StateChange[], asset: string, to: string): StateChange[] {
  const rest = states.filter(s => s.asset !== asset)
  return to === '' ? rest : [...rest, {asset, state: to as StateChange['state']}]
}
