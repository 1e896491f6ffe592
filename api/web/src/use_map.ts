// A map in an element. Its code is fetched apart from the page's, and only when
// the region is there and the browser has nothing else to do, so that the form can
// be typed into before the map is there.

import type {RefObject} from 'preact'
import {useEffect, useRef, useState} from 'preact/hooks'
import {whenIdle} from './idle'
import type {RegionMap, Seen} from './map'
import {nowhere} from './region'
import type {Position} from './shapes'
import type {Light} from './state'

/** Returns the element to put the map into. seen should change only when what is
 * seen does. */
export function useMap(seen: Seen, light: Light, place: (p: Position) => void): RefObject<HTMLDivElement | null> {
  const target = useRef<HTMLDivElement>(null)
  const map = useRef<RegionMap | null>(null)
  const [there, setThere] = useState(false)
  const put = useRef(place)
  put.current = place
  const known = seen.region !== nowhere
  useEffect(() => {
    if (!known) return
    let over = false
    const takeBack = whenIdle(() => {
      import('./map').then(m => {
        if (over || target.current === null) return
        map.current = new m.RegionMap(target.current, p => put.current(p))
        setThere(true)
      }, () => undefined) // no signal: everything but the map is there
    })
    return () => {
      over = true
      takeBack()
      map.current?.dispose()
      map.current = null
      setThere(false)
    }
  }, [known])
  useEffect(() => { map.current?.light(light) }, [light, there])
  useEffect(() => { map.current?.draw(seen) }, [seen, there])
  return target
}
