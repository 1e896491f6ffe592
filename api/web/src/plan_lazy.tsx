// The plan view, fetched when it is first looked at: a desk never needs it.

import type {JSX} from 'preact'
import {useFetched} from './fetched'
import type {PlanProps} from './plan_view'
import {words} from './strings'

export function Plan(props: PlanProps): JSX.Element {
  const [code, failed, again] = useFetched(() => import('./plan_view'))
  if (code !== null) return <code.PlanView {...props} />
  return <main class="plan" id="main"><h1 class="unseen">{words.plan.title}</h1>
    <p class="loading" role="status">{failed ? words.plan.viewLost : words.plan.opening} {failed && <button type="button" onClick={again}>{words.plan.tryAgain}</button>}</p></main>
}
