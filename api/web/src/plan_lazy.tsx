// The plan view, fetched when it is first looked at: a desk never needs it.

import type {JSX} from 'preact'
import {useEffect, useState} from 'preact/hooks'
import type {PlanProps, PlanView} from './plan_view'
import {words} from './strings'

export function Plan(props: PlanProps): JSX.Element {
  const [View, set] = useState<typeof PlanView | null>(null)
  const [failed, setFailed] = useState(false)
  const [round, next] = useState(0)
  useEffect(() => {
    let over = false
    setFailed(false)
    import('./plan_view').then(m => { if (!over) set(() => m.PlanView) }, () => { if (!over) setFailed(true) })
    return () => { over = true }
  }, [round])
  if (View !== null) return <View {...props} />
  return <main class="plan" id="main"><h1 class="unseen">{words.plan.title}</h1>
    <p class="loading" role="status">{failed ? words.plan.viewLost : words.plan.opening} {failed && <button type="button" onClick={() => next(n => n + 1)}>{words.plan.tryAgain}</button>}</p></main>
}
