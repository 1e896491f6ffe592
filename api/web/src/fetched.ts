// Code that is fetched apart from the page's, when it is first needed.

import {useEffect, useState} from 'preact/hooks'

/** Fetches code by an import: what it is, null until it is there; whether it could not
 * be fetched; and what tries again. */
export function useFetched<T>(load: () => Promise<T>): [T | null, boolean, () => void] {
  const [code, set] = useState<T | null>(null)
  const [failed, setFailed] = useState(false)
  const [round, next] = useState(0)
  useEffect(() => {
    let over = false
    setFailed(false)
    load().then(m => { if (!over) set(() => m) }, () => { if (!over) setFailed(true) })
    return () => { over = true }
  }, [round])
  return [code, failed, () => next(n => n + 1)]
}
