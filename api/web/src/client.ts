// Requests to the service that served the page, and to nobody else.

import type {Answer, Problem, Question} from './shapes'

/** One fault of a question, with the place it is at. */
export interface Fault { pointer: string, detail: string }

/** The service understood, and refused or could not answer. */
export class Refused extends Error {
  readonly status: number
  readonly faults: Fault[]
  constructor(p: Problem) {
    super(p.detail)
    this.status = p.status
    this.faults = (p.errors ?? []).map(e => ({pointer: e.pointer ?? '', detail: e.detail}))
  }
}

/** Nothing came back: no signal, or no service. */
export class Unreachable extends Error {}

/** Where the service wants to know who asks: the token, for as long as the tab is
 * open, and never in an address. */
let token = ''
const tokenKey = 'surgeonward.token'
try {
  token = sessionStorage.getItem(tokenKey) ?? ''
} catch {
  // not allowed: then it is asked for again after each load
}

export function setToken(t: string): void {
  token = t
  try {
    sessionStorage.setItem(tokenKey, t)
  } catch {
    // kept in memory
  }
}

/** Called when the service does not know who asks, or wants somebody else. */
export let askedWho: (detail: string) => void = () => undefined
export function onAskedWho(f: (detail: string) => void): void { askedWho = f }

export async function request(path: string, init: RequestInit = {}): Promise<Response> {
  let response: Response
  const headers = {...init.headers as Record<string, string>, ...(token !== '' && {Authorization: `Bearer ${token}`})}
  try {
    response = await fetch(path, {credentials: 'same-origin', redirect: 'error', ...init, headers})
  } catch (e) {
    if (init.signal?.aborted === true) throw e
    throw new Unreachable(String(e))
  }
  if (response.ok) return response
  const refused = new Refused(await problem(response))
  if (refused.status === 401) askedWho(refused.message)
  throw refused
}

async function problem(response: Response): Promise<Problem> {
  if ((response.headers.get('Content-Type') ?? '').startsWith('application/problem+json')) {
    return await response.json() as Problem
  }
  return {
    type: 'about:blank', title: response.statusText, status: response.status, detail: `${response.status} ${response.statusText}`,
    instance: '', request_id: '',
  }
}

export async function getJSON<T>(path: string, signal?: AbortSignal): Promise<T> {
  const response = await request(path, {headers: {Accept: 'application/json'}, ...(signal !== undefined && {signal})})
  return await response.json() as T
}

export async function postJSON<T>(path: string, body: unknown, signal?: AbortSignal): Promise<T> {
  const response = await request(path, post(body, signal))
  return await response.json() as T
}

/** A request that sends a value as JSON. */
export function post(body: unknown, signal?: AbortSignal): RequestInit {
  return {
    method: 'POST',
    headers: {'Accept': 'application/json', 'Content-Type': 'application/json'},
    body: JSON.stringify(body),
    ...(signal !== undefined && {signal}),
  }
}

export async function askOptions(question: Question, signal: AbortSignal): Promise<{answer: Answer, record: string}> {
  const response = await request('/v1/options', post(question, signal))
  return {answer: await response.json() as Answer, record: response.headers.get('Surgeonward-Record') ?? ''}
}

/** Notes which way was taken, in the record of the answer. */
export async function noteChoice(record: string, option: string): Promise<void> {
  await request(`/v1/records/${encodeURIComponent(record)}/choice`, post({option}))
}
