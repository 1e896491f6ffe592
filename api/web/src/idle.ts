// What can wait until the page can be used.

const latest = 1_000 // ms after which it waits no longer

/** Calls f when the browser has nothing else to do. Returns what takes it back. */
export function whenIdle(f: () => void): () => void {
  if (typeof window.requestIdleCallback !== 'function') { // not in every browser
    const t = window.setTimeout(f, 100)
    return () => window.clearTimeout(t)
  }
  const id = window.requestIdleCallback(f, {timeout: latest})
  return () => window.cancelIdleCallback(id)
}
