// Times, durations and numbers as the reader's locale writes them.

const locale = typeof navigator === 'undefined' ? 'en-GB' : navigator.language

/** Made when it is first needed: a browser takes long to load a locale's data. */
function once<T>(make: () => T): () => T {
  let made: T | undefined
  return () => made ??= make()
}

// Times carry the region's offset, which is what people there have on their
// wrists; the browser's own zone may be another. So the clock time is taken from
// the text, and only its form is the locale's.
const clock = once(() => new Intl.DateTimeFormat(locale, {hour: '2-digit', minute: '2-digit', hourCycle: 'h23', timeZone: 'UTC'}))
const clockSeconds = once(() => new Intl.DateTimeFormat(locale, {hour: '2-digit', minute: '2-digit', second: '2-digit', hourCycle: 'h23', timeZone: 'UTC'}))
const day = once(() => new Intl.DateTimeFormat(locale, {weekday: 'short', day: 'numeric', month: 'short', year: 'numeric', timeZone: 'UTC'}))
const whole = once(() => new Intl.NumberFormat(locale, {maximumFractionDigits: 0}))
const tenth = once(() => new Intl.NumberFormat(locale, {maximumFractionDigits: 1}))
const tenthAlways = new Intl.NumberFormat(locale, {minimumFractionDigits: 1, maximumFractionDigits: 1})
const percent = once(() => new Intl.NumberFormat(locale, {style: 'percent', maximumFractionDigits: 0}))

/** Milliseconds that the zone of an RFC 3339 time is ahead of UTC. */
export function offsetOf(local: string): number {
  const m = /([+-])(\d\d):(\d\d)$/.exec(local)
  if (m === null) return 0
  const minutes = Number(m[2]) * 60 + Number(m[3])
  return (m[1] === '-' ? -1 : 1) * minutes * 60_000
}

/** A clock for a region: every instant as its wall clocks show it. */
export class WallClock {
  readonly start: number
  readonly offset: number

  /** local is the decision time with the region's offset. */
  constructor(local: string) {
    this.start = Date.parse(local)
    this.offset = offsetOf(local)
  }

  /** The time of day some seconds after the decision. */
  after(seconds: number): string { return clock().format(this.start + 1000 * seconds + this.offset) }

  /** The time of day of an instant. */
  at(time: string | number): string { return clock().format(instant(time) + this.offset) }

  /** The same with seconds. */
  exactly(time: string | number): string { return clockSeconds().format(instant(time) + this.offset) }

  /** The date of an instant. */
  date(time: string | number): string { return day().format(instant(time) + this.offset) }

  /** The zone as people write it beside a time: UTC-02:00. */
  get zone(): string {
    const minutes = Math.abs(this.offset) / 60_000
    const two = (n: number) => String(Math.floor(n)).padStart(2, '0')
    return `UTC${this.offset < 0 ? '−' : '+'}${two(minutes / 60)}:${two(minutes % 60)}`
  }
}

function instant(time: string | number): number { return typeof time === 'number' ? time : Date.parse(time) }

/** Whole minutes, rounded as the service's sentences round them. */
export function minutes(seconds: number): number { return Math.round(seconds / 60) }

export function wholeNumber(value: number): string { return whole().format(value) }

/** A number to one place behind the point, which is written even where it is 0. */
export function toTenth(value: number): string { return tenthAlways.format(value) }

export function chance(value: number): string {
  if (value > 0 && value < 0.01) return '< ' + percent().format(0.01)
  if (value < 1 && value > 0.99) return '> ' + percent().format(0.99)
  return percent().format(value)
}

export function kilometres(metres: number): string { return tenth().format(metres / 1000) }
