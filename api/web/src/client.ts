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

export async function request(path: string, init: RequestInit = {}): Promise<Response> {
  let response: Response
  try {
    response = await fetch(path, {credentials: 'same-origin', redirect: 'error', ...init})
  } catch (e) {
    if (init.signal?.aborted === true) throw e
    throw new Unreachable(String(e))
  }
  if (!response.ok) throw new Refused(await problem(response))
  return response
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
  const response = await request(path, {
    method: 'POST',
    headers: {'Accept': 'application/json', 'Content-Type': 'application/json'},
    body: JSON.stringify(body),
    ...(signal !== undefined && {signal}),
  })
  return await response.json() as T
}

export function askOptions(question: Question, signal: AbortSignal): Promise<Answer> {
  return postJSON<Answer>('/v1/options', question, signal)
}
