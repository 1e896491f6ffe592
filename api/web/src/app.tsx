// The whole page: the state in the address, the region, the answer, the keys.

import type {JSX} from 'preact'
import {useCallback, useEffect, useMemo, useRef, useState} from 'preact/hooks'
import {Asker, idle, type Asking} from './ask'
import {Briefing} from './briefing'
import {untold} from './clinical'
import {askOptions, onAskedWho} from './client'
import {Desk} from './desk'
import {dark, narrow} from './first'
import {Caution, Top} from './frame'
import {listen, type FaultsEvent, type RegionEvent} from './events'
import {Help} from './help'
import {whenIdle} from './idle'
import {keepAnswer, keepRegion, keptAnswer, keptRegion} from './keep'
import {flipPanel, focusOn} from './panels'
import {Phone} from './phone'
import {Plan} from './plan_lazy'
import {useMessage} from './prealert'
import {useReach} from './reach'
import {loadRegion, nowhere, type Region} from './region'
import {SignIn} from './signin'
import type {Question} from './shapes'
import {RegionView} from './region_view'
import {fromHash, hasScene, toHash, toQuestion, type Light, type State, type View} from './state'
import {say, words} from './strings'

const listed = 10 // ways on the desk at first
const onPhone = 3

export function App(): JSX.Element {
  const [state, setState] = useState(() => fromHash(location.hash))
  const [region, regionLost, loadAgain] = useRegion()
  const [limit, setLimit] = useState(listed)
  const [help, setHelp] = useState(false)
  const [who, setWho] = useState('')
  useEffect(() => onAskedWho(setWho), [])
  const small = useMedia(narrow)
  const view: View = state.view !== '' ? state.view : small ? 'phone' : 'desk'
  const atNight = useMedia(dark)
  const light: Light = state.light !== '' ? state.light : atNight ? 'night' : 'day'

  const latest = useRef(state)
  latest.current = state
  const go = useCallback((next: State, step: boolean) => {
    latest.current = next // what is changed next, before this is drawn, is changed in it
    const address = toHash(next)
    if (step) history.pushState(null, '', address)
    else history.replaceState(null, '', address)
    setState(next)
  }, [])
  const set = useCallback((change: Partial<State>) => go({...latest.current, ...change}, change.view !== undefined || change.job !== undefined), [go])
  const replace = useCallback((next: State) => go(next, true), [go])
  useEffect(() => {
    const follow = () => setState(fromHash(location.hash))
    window.addEventListener('popstate', follow)
    window.addEventListener('hashchange', follow)
    return () => {
      window.removeEventListener('popstate', follow)
      window.removeEventListener('hashchange', follow)
    }
  }, [])

  useEffect(() => {
    document.documentElement.dataset['light'] = light
    document.documentElement.dataset['view'] = view
  }, [light, view])

  const question = useMemo(() => hasScene(state) ? toQuestion(state, view === 'phone' ? onPhone : limit) : null,
    [JSON.stringify({...state, view: '', light: '', pick: '', job: '', hour: '', side: ''}), view === 'phone', limit])
  const [asking, askAgain] = useAnswer(question)
  const answer = asking.last?.answer ?? null
  const picked = answer?.options.find(o => o.id === state.pick) ?? answer?.options[0]
  const more = answer !== null && answer.found > answer.options.length && limit < 1000 ? () => setLimit(l => l * 4) : null

  useKeys({set, state: latest, view, light, setHelp, ids: answer?.options.map(o => o.id) ?? [], picked: picked?.id ?? ''})

  const views: View[] = view === 'phone' && small ? ['phone', 'desk'] : ['desk', 'phone', 'briefing', 'region', 'plan']
  const [news, setNews] = useState('')
  const [round, setRound] = useState(0)
  const [stale, setStale] = useState<FaultsEvent>({faults: 0})
  const names = useRef(region.names)
  names.current = region.names
  useEffect(() => listen({
    region: e => {
      loadAgain()
      setRound(e.version)
      askAgain()
      setNews(newsOf(e, names.current))
    },
    faults: setStale,
  }), [loadAgain, askAgain])
  useEffect(() => {
    const t = window.setTimeout(() => setNews(''), 20_000)
    return () => window.clearTimeout(t)
  }, [news])
  const [told, tell] = useState(untold)
  const message = useMessage(asking.last, picked, told)
  const reach = useReach(view === 'desk' || view === 'phone' ? asking.last : null)
  const props = {message, reach, told, tell, state, set, replace, region, asking, picked, light, more}
  return <>
    <Top region={region} view={view} views={views} go={v => set({view: v, ...(v === 'briefing' && {pick: picked?.id ?? ''})})} light={light}
      flip={() => set({light: light === 'day' ? 'night' : 'day'})} help={() => setHelp(true)} />
    {region === nowhere && <p class="loading" role="status">{regionLost ? words.regionLost : words.loading}</p>}
    <div class="news" role="status">{news !== '' && <p>{news}</p>}</div>
    {(stale.faults > 0 || stale.stale_since !== undefined) && <p class="notice stale" role="alert">
      {stale.faults > 0 ? words.regionFaults(stale.faults) : words.regionStale(stale.stale_since?.slice(11, 16) ?? '')}</p>}
    {view === 'desk' && <Desk {...props} />}
    {view === 'phone' && <Phone {...props} />}
    {view === 'region' && <RegionView region={region} light={light} round={round} />}
    {view === 'plan' && <Plan region={region} light={light} state={state} set={set} />}
    {view === 'briefing' && <Briefing asked={asking.last} region={region} option={picked} message={message} back={() => set({view: 'desk'})} />}
    <Caution text={answer?.caution ?? words.caution} />
    {who !== '' && <SignIn why={who} done={() => { setWho(''); loadAgain(); askAgain() }} />}
    {help && <Help close={() => setHelp(false)} />}
  </>
}

/** What has changed, in a line. */
function newsOf(e: RegionEvent, names: ReadonlyMap<string, string>): string {
  const what = e.changes.slice(0, 3).map(c => `${c.element === undefined ? c.file : names.get(c.element) ?? c.element}, ${say(words.actions, c.action)}`)
  const more = (e.more ?? 0) + e.changes.length - what.length
  return words.changed(e.who ?? words.somebody, what.join('; ') + (more > 0 ? ` (+${more})` : ''))
}

function useAnswer(question: Question | null): [Asking, () => void] {
  const [asking, tell] = useState<Asking>(idle)
  const asker = useRef<Asker | null>(null)
  if (asker.current === null) {
    const kept = question === null ? null : keptAnswer(question)
    asker.current = new Asker(askOptions, a => {
      tell(a)
      if (a.last !== null && !a.busy) keepAnswer(a.last)
    }, kept)
  }
  useEffect(() => { asker.current?.put(question) }, [question])
  useEffect(() => {
    const back = () => asker.current?.refresh()
    window.addEventListener('online', back)
    return () => {
      window.removeEventListener('online', back)
      asker.current?.stop()
    }
  }, [])
  return [asking, useCallback(() => asker.current?.refresh(), [])]
}

function useRegion(): [Region, boolean, () => void] {
  const [region, set] = useState<Region>(() => keptRegion() ?? nowhere)
  const [lost, setLost] = useState(false)
  const [round, next] = useState(0)
  useEffect(() => {
    let timer = 0
    let over = false
    const load = () => loadRegion().then(r => {
      if (over) return
      set(r)
      setLost(false)
      whenIdle(() => keepRegion(r))
    }, () => {
      if (over) return
      setLost(true)
      timer = window.setTimeout(load, 4_000)
    })
    void load()
    return () => {
      over = true
      window.clearTimeout(timer)
    }
  }, [round])
  return [region, lost, useCallback(() => next(n => n + 1), [])]
}

function useMedia(query: string): boolean {
  const [on, set] = useState(() => matchMedia(query).matches)
  useEffect(() => {
    const m = matchMedia(query)
    const see = () => set(m.matches)
    see()
    m.addEventListener('change', see)
    return () => m.removeEventListener('change', see)
  }, [query])
  return on
}

interface Keys {
  set: (change: Partial<State>) => void
  state: {current: State}
  view: View
  light: Light
  setHelp: (on: boolean) => void
  ids: readonly string[]
  picked: string
}

function useKeys(keys: Keys): void {
  const latest = useRef(keys)
  latest.current = keys
  useEffect(() => {
    const press = (e: KeyboardEvent) => {
      const k = latest.current
      const target = e.target as HTMLElement
      if (e.key === 'Escape' && isEntry(target)) return target.blur()
      if (e.ctrlKey || e.metaKey || e.altKey || isEntry(target) || document.querySelector('dialog[open]') !== null) return
      if (act(k, e.key, target)) e.preventDefault()
    }
    window.addEventListener('keydown', press)
    return () => window.removeEventListener('keydown', press)
  }, [])
}

function isEntry(e: HTMLElement): boolean {
  return e instanceof HTMLTextAreaElement || e instanceof HTMLSelectElement || (e instanceof HTMLInputElement && !['radio', 'checkbox'].includes(e.type))
}

/** What a key does; false: nothing, and the browser has it. */
function act(k: Keys, key: string, target: HTMLElement): boolean {
  const step = (by: number) => {
    const i = k.ids.indexOf(k.picked) + by
    const id = k.ids[i]
    if (id !== undefined) k.set({pick: id})
    return id !== undefined
  }
  if (/^[1-9]$/.test(key)) {
    const id = k.ids[Number(key) - 1]
    if (id !== undefined) k.set({pick: id})
    return id !== undefined
  }
  switch (key) {
    case '?': k.setHelp(true); return true
    case '/': return focusOn('[name=scene]')
    case 'm': return focusOn('#map')
    case 'x': return flipPanel('excluded')
    case 'a': return flipPanel('message')
    case 'c': return flipPanel('say')
    case 'p': k.set({view: 'briefing', pick: k.picked}); return true
    case 'd': k.set({view: 'desk'}); return true
    case 'f': k.set({view: 'phone'}); return true
    case 'r': k.set({view: 'region'}); return true
    case 'w': k.set({view: 'plan'}); return true
    case 'n': k.set({light: k.light === 'day' ? 'night' : 'day'}); return true
    case 'ArrowDown': case 'ArrowUp': {
      // on the map the arrows move it; on a radio the browser steps by itself
      if (target.id === 'map' || target instanceof HTMLInputElement || k.view === 'briefing') return false
      return (target === document.body || target.id === 'ways') && step(key === 'ArrowDown' ? 1 : -1)
    }
  }
  return false
}
