// Changes of the region as they happen, from this desk and others. The stream is
// taken only while the page is seen: a browser has few connections to one host.

import {request} from './client'

export interface Change { action: string, file: string, element?: string }
export interface RegionEvent { version: number, at: string, who?: string, changes: Change[], more?: number, reset?: boolean }
export interface FaultsEvent { faults: number, stale_since?: string }

export interface Listener { region: (e: RegionEvent) => void, faults: (e: FaultsEvent) => void }

const again = 3_000 // ms until the next try

/** Listens until it is told to stop. What happened while nothing was taken is
 * told afterwards, because each try says what was heard last. */
export function listen(to: Listener): () => void {
  let last = ''
  let stop: AbortController | null = null
  let timer = 0
  let over = false

  const take = async () => {
    stop = new AbortController()
    const mine = stop
    try {
      const response = await request('/v1/events', {
        signal: mine.signal, headers: {Accept: 'text/event-stream', ...(last !== '' && {'Last-Event-ID': last})},
      })
      const reader = response.body?.pipeThrough(new TextDecoderStream()).getReader()
      const parse = parser((id, event, data) => {
        if (event === 'region') {
          const first = last === ''
          if (id !== '') last = id
          const e = JSON.parse(data) as RegionEvent
          if (!first || e.changes.length > 0) to.region(e)
        } else if (event === 'faults') {
          to.faults(JSON.parse(data) as FaultsEvent)
        }
      })
      for (;;) {
        const part = await reader?.read()
        if (part === undefined || part.done) break
        parse(part.value)
      }
    } catch {
      // no signal, or nobody serves events: the lists are read again with the next answer
    }
    if (!over && !mine.signal.aborted) timer = window.setTimeout(start, again)
  }
  const start = () => {
    if (!over && document.visibilityState === 'visible') void take()
  }
  const see = () => {
    window.clearTimeout(timer)
    stop?.abort()
    start()
  }
  document.addEventListener('visibilitychange', see)
  start()
  return () => {
    over = true
    window.clearTimeout(timer)
    stop?.abort()
    document.removeEventListener('visibilitychange', see)
  }
}

/** Reads server-sent events (WHATWG HTML, section 9.2.6) as far as the service
 * writes them. */
export function parser(tell: (id: string, event: string, data: string) => void): (text: string) => void {
  let rest = ''
  let id = ''
  let event = ''
  let data: string[] = []
  return text => {
    const lines = (rest + text).split('\n')
    rest = lines.pop() ?? ''
    for (const line of lines) {
      if (line === '') {
        if (data.length > 0) tell(id, event, data.join('\n'))
        event = ''
        data = []
        continue
      }
      const colon = line.indexOf(':')
      const name = colon < 0 ? line : line.slice(0, colon)
      const value = colon < 0 ? '' : line.slice(colon + 1).replace(/^ /, '')
      if (name === 'id') id = value
      else if (name === 'event') event = value
      else if (name === 'data') data.push(value)
    }
  }
}
