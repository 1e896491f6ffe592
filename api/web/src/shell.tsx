// The page as it is before anything is known of the region or the question, as
// text: put into index.html by the build, so that it is seen, and can be typed
// into, while its code is still being read.

import {renderToString} from 'preact-render-to-string'
import {App} from './app'

/** The first view of a wide or a narrow screen. */
export function shell(isNarrow: boolean): string {
  const g = globalThis as unknown as Record<string, unknown>
  const put = (name: string, value: unknown) => Object.defineProperty(g, name, {value, configurable: true})
  put('location', {hash: ''})
  put('navigator', {language: 'en-GB', geolocation: {}})
  put('matchMedia', (query: string) => ({matches: isNarrow && query.includes('max-width')}))
  return renderToString(<App />)
}
