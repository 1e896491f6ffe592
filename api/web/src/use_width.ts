import type {Ref} from 'preact'
import {useLayoutEffect, useRef, useState} from 'preact/hooks'

/** The width of an element in px, as it changes. */
export function useWidth(): [Ref<HTMLDivElement>, number] {
  const ref = useRef<HTMLDivElement>(null)
  const [width, set] = useState(640)
  useLayoutEffect(() => {
    const element = ref.current
    if (element === null) return
    const see = () => set(Math.floor(element.clientWidth))
    see()
    const watch = new ResizeObserver(see)
    watch.observe(element)
    return () => watch.disconnect()
  }, [])
  return [ref, width]
}
