// Keeps an answer to the question on the screen: asks again as anything changes,
// cancels what is in flight, and keeps the last answer when the signal goes.

import {Refused, Unreachable, type Fault} from './client'
import type {Answer, Question} from './shapes'

export interface Asked {
  question: Question
  answer: Answer
  record: string   // the id under which it is kept; '': it is not
  received: number // when, by the device's clock
}

export interface Asking {
  last: Asked | null // the newest answer, which may be to an earlier question
  busy: boolean
  lost: boolean      // no signal
  wrong: string      // why the question cannot be answered; '': it can
  faults: Fault[]
}

export const idle: Asking = {last: null, busy: false, lost: false, wrong: '', faults: []}

const settle = 150   // ms without a change before a question is asked
const again = 4_000  // ms until the next try when there is no signal
const renew = 60_000 // ms after which a question about now is asked again

type Ask = (question: Question, signal: AbortSignal) => Promise<{answer: Answer, record: string}>

export class Asker {
  private state: Asking
  private question: Question | null = null
  private timer = 0
  private flight: AbortController | null = null

  constructor(private readonly ask: Ask, private readonly tell: (a: Asking) => void, last: Asked | null = null) {
    this.state = {...idle, last}
  }

  /** The question that is to be kept answered; null: none. */
  put(question: Question | null): void {
    if (JSON.stringify(question) === JSON.stringify(this.question)) return
    this.question = question
    this.stop()
    if (question === null) {
      this.set({...idle})
      return
    }
    this.set({...this.state, busy: true})
    this.timer = window.setTimeout(() => void this.go(), settle)
  }

  /** Asks the same again: the region's data has changed, or the signal is back. */
  refresh(): void {
    if (this.question === null) return
    this.stop()
    void this.go()
  }

  stop(): void {
    window.clearTimeout(this.timer)
    this.flight?.abort()
    this.flight = null
  }

  private async go(): Promise<void> {
    const question = this.question
    if (question === null) return
    const flight = new AbortController()
    this.flight = flight
    this.set({...this.state, busy: true})
    try {
      const {answer, record} = await this.ask(question, flight.signal)
      if (flight.signal.aborted) return
      this.set({last: {question, answer, record, received: Date.now()}, busy: false, lost: false, wrong: '', faults: []})
      if (question.at === undefined) this.later(renew)
    } catch (e) {
      if (flight.signal.aborted) return
      this.fail(e)
    }
  }

  private fail(e: unknown): void {
    if (e instanceof Unreachable) {
      this.set({...this.state, busy: false, lost: true})
      this.later(again)
    } else if (e instanceof Refused) {
      this.set({...this.state, busy: false, lost: false, wrong: e.message, faults: e.faults})
      if (e.status === 503 || e.status === 429) this.later(again)
    } else {
      this.set({...this.state, busy: false, wrong: e instanceof Error ? e.message : String(e), faults: []})
    }
  }

  private later(ms: number): void {
    window.clearTimeout(this.timer)
    this.timer = window.setTimeout(() => void this.go(), ms)
  }

  private set(next: Asking): void {
    this.state = next
    this.tell(next)
  }
}
