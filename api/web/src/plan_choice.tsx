// The answer to a question of siting: the sites, how good they are proven to be, why.

import {Fragment, type JSX} from 'preact'
import {chance, toTenth, wholeNumber} from './format'
import type {SitingSummary} from './shapes'
import {say, words} from './strings'

const w = words.plan

export function Choice({s}: {s: SitingSummary}): JSX.Element {
  const amount = (v: number | null) => v === null ? '–' : s.unit === 'seconds' ? `${toTenth(v / 60)} ${words.min}` : `${wholeNumber(v)} ${say(w.units, s.unit)}`
  return <section class="choice"><h2>{w.choice}</h2>
    {!s.found ? <p class="notice">{w.none}</p> : <>
      <p><strong>{s.chosen.map((c, i) => <Fragment key={i}>{i > 0 && '; '}<bdi>{c.name}</bdi>{c.units > 1 && w.unitsAt(c.units)}{c.stays !== undefined && ` (${w.stays})`}</Fragment>)}</strong></p>
      <p>{w.soThat(say(w.objectives, s.objective))} {w.comesTo(amount(s.value))}</p>
      <p>{amountNow(s, amount)}</p>
      <p>{s.gap === 0 ? w.proven : w.gap(chance(s.gap))} {s.stopped && w.stopped}</p>
      {s.chosen.length > 1 && <table><caption>{w.whyEach}</caption><thead><tr><th scope="col">{w.place}</th><th scope="col">{w.adds}</th></tr></thead>
        <tbody>{s.chosen.map((c, i) => <tr key={i}><th scope="row"><bdi>{c.name}</bdi></th><td>{amount(c.adds)}</td></tr>)}</tbody></table>}
      {s.alternatives.length > 0 && <table><caption>{w.alternatives}</caption>
        <thead><tr><th scope="col">{w.place}</th><th scope="col">{w.instead}</th><th scope="col">{w.worse}</th></tr></thead>
        <tbody>{s.alternatives.map((o, i) => <tr key={i}><th scope="row"><bdi>{o.name}</bdi></th><td><bdi>{o.instead_of}</bdi></td><td>{amount(o.worse)}</td></tr>)}</tbody></table>}
    </>}
  </section>
}

/** The same for the present, where the figures have it: a mean of all, not of those who
 * are reached. */
function amountNow(s: SitingSummary, amount: (v: number | null) => string): string {
  if (s.before.reached.people < s.places.people) return ''
  switch (s.objective) {
    case 'least_mean_time': return s.before.mean_s === null ? '' : w.nowComesTo(amount(s.before.mean_s))
    case 'most_people': {
      const band = s.changes.find(c => c.within_s === s.within_s)
      return band === undefined ? '' : w.nowComesTo(amount(band.people_before))
    }
  }
  return ''
}
