// The worked scenes, as addresses of the page.
import {readFileSync} from 'node:fs'
import {join} from 'node:path'
import {root} from './harness.mjs'

export const scenes = ['harbour-stabbing', 'village-child', 'cliff-path', 'hospital-transfer', 'far-island', 'woods-by-night', 'not-the-nearest']

export function scenario(name) {
  return JSON.parse(readFileSync(join(root, 'testdata/scenarios', name + '.json'), 'utf8'))
}

/** The part of a scene's address after the view. */
export function query(name, more = {}) {
  const q = scenario(name)
  const p = new URLSearchParams()
  const put = (k, v) => { if (v !== undefined && v !== '') p.set(k, String(v)) }
  const timing = t => t?.typical_s === undefined ? undefined : `${t.typical_s}-${t.slow_s}`
  put('scene', q.scene.position_text ?? (q.scene.position ? `${q.scene.position[1]}, ${q.scene.position[0]}` : undefined))
  put('facility', q.scene.facility)
  put('at', q.at)
  put('uncertainty_m', q.scene.uncertainty_m)
  put('landing', q.scene.landing)
  put('carry_s', timing(q.scene.carry))
  put('age_years', q.patient?.age_years)
  put('needs', q.patient?.needs?.join(','))
  put('escort', q.patient?.escort)
  put('ready_s', timing(q.patient?.ready_in))
  put('states', q.assets?.states?.map(s => `${s.asset},${s.state}`).join(';'))
  for (const [k, v] of Object.entries(more)) put(k, v)
  return '?' + p
}
