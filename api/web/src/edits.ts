// Changes to the region's lists, for everybody.

import {getJSON, post, request} from './client'
import type {History, Import, PastEdit} from './shapes'

export type List = 'facilities' | 'assets' | 'roads'

export const fileOf: Record<List, string> = {facilities: 'facilities.geojson', assets: 'fleet.json', roads: 'roads.geojson'}

export type Element = { [member: string]: unknown }

export interface Held { element: Element, tag: string }

const pathOf = (list: List, id: string) => `/v1/${list}/${encodeURIComponent(id)}`

/** The reason goes into the history by a header, percent-encoded beyond ASCII. */
function because(why: string): Record<string, string> {
  return why.trim() === '' ? {} : {'Surgeonward-Why': encodeURIComponent(why.trim()).replaceAll('%20', ' ')}
}

async function held(response: Response): Promise<Held> {
  return {element: await response.json() as Element, tag: response.headers.get('ETag') ?? ''}
}

export async function readElement(list: List, id: string): Promise<Held> {
  return held(await request(pathOf(list, id), {headers: {Accept: 'application/json'}, cache: 'no-cache'}))
}

/** Says what is so now: a state, in one call. */
export async function say(path: string, body: unknown): Promise<void> {
  await request(path, post(body))
}

export async function patchElement(list: List, id: string, patch: unknown, tag: string, why: string): Promise<Held> {
  return held(await request(pathOf(list, id), {
    method: 'PATCH', body: JSON.stringify(patch),
    headers: {'Accept': 'application/json', 'Content-Type': 'application/merge-patch+json', 'If-Match': tag, ...because(why)},
  }))
}

/** Replaces an element; with no tag, creates one. */
export async function putElement(list: List, id: string, text: string, tag: string, why: string): Promise<Held> {
  return held(await request(pathOf(list, id), {
    method: 'PUT', body: text,
    headers: {'Accept': 'application/json', 'Content-Type': 'application/json', ...(tag === '' ? {'If-None-Match': '*'} : {'If-Match': tag}), ...because(why)},
  }))
}

export async function removeElement(list: List, id: string, tag: string, why: string): Promise<void> {
  await request(pathOf(list, id), {method: 'DELETE', headers: {'If-Match': tag, ...because(why)}})
}

export function readHistory(before?: number): Promise<History> {
  return getJSON(`/v1/history?limit=30${before === undefined ? '' : `&before=${before}`}`)
}

export function readPast(number: number): Promise<PastEdit> { return getJSON(`/v1/history/${number}`) }

export async function restore(number: number, why: string): Promise<void> {
  const now = await request('/v1/region', {headers: {Accept: 'application/json'}, cache: 'no-cache'})
  await request(`/v1/history/${number}/restore`, {method: 'POST', headers: {'If-Match': now.headers.get('ETag') ?? '', ...because(why)}})
}

/** What a whole file would change; nothing is changed. */
export async function tryFile(name: string, text: string): Promise<Import> {
  const response = await request(`/v1/region/files/${name}?dry_run=true`, {method: 'PUT', body: text, headers: {'Accept': 'application/json', 'Content-Type': 'application/json'}})
  return await response.json() as Import
}

export async function fileTag(name: string): Promise<string> {
  const response = await request(`/v1/region/files/${name}`, {headers: {Accept: 'application/json'}, cache: 'no-cache'})
  return response.headers.get('ETag') ?? ''
}

export async function putFile(name: string, text: string, tag: string, why: string): Promise<Import> {
  const response = await request(`/v1/region/files/${name}`, {method: 'PUT', body: text,
    headers: {'Accept': 'application/json', 'Content-Type': 'application/json', 'If-Match': tag, ...because(why)}})
  return await response.json() as Import
}
