// The service worker: keeps the page itself, never an answer or a list, so that
// it opens without signal. Everything under /v1 goes to the service or fails.

const files: readonly string[] = FILES // put in by the build, all of the page's own files
const store = 'page-' + BUILD

declare const FILES: readonly string[]
declare const BUILD: string

interface WorkerEvent extends Event { waitUntil(p: Promise<unknown>): void }
interface FetchEvent extends WorkerEvent { request: Request, respondWith(r: Promise<Response>): void }

const scope = self as unknown as EventTarget & {skipWaiting(): Promise<void>, clients: {claim(): Promise<void>}, location: Location}

scope.addEventListener('install', e => {
  (e as WorkerEvent).waitUntil(keep())
})

async function keep(): Promise<void> {
  const cache = await caches.open(store)
  await cache.addAll(files)
  await cache.put('/', await fetch('/', {headers: {Accept: 'text/html'}, cache: 'no-cache'}))
  await scope.skipWaiting()
}

scope.addEventListener('activate', e => {
  (e as WorkerEvent).waitUntil(forget())
})

async function forget(): Promise<void> {
  for (const name of await caches.keys()) {
    if (name.startsWith('page-') && name !== store) await caches.delete(name)
  }
  await scope.clients.claim()
}

scope.addEventListener('fetch', e => {
  const event = e as FetchEvent
  const url = new URL(event.request.url)
  if (event.request.method !== 'GET' || url.origin !== scope.location.origin) return
  if (files.includes(url.pathname)) event.respondWith(kept(event.request, url.pathname))
  else if (event.request.mode === 'navigate' && url.pathname === '/') event.respondWith(newest(event.request))
})

async function kept(request: Request, path: string): Promise<Response> {
  return await caches.match(path) ?? await fetch(request)
}

/** The page as it is now; the one that was kept when nothing comes back. */
async function newest(request: Request): Promise<Response> {
  try {
    return await fetch(request)
  } catch (e) {
    const old = await caches.match('/', {ignoreVary: true})
    if (old === undefined) throw e
    return old
  }
}
