import {render} from 'preact'
import {App} from './app'
import './style/page.css'

const page = document.getElementById('page')
if (page !== null) render(<App />, page)

// Over https, or on the machine itself, a worker keeps the page for when the
// signal goes. Elsewhere the page that is loaded goes on working by itself.
if ('serviceWorker' in navigator && window.isSecureContext) {
  const address = '/worker.js'
  const policy = (window as {trustedTypes?: Types}).trustedTypes?.createPolicy('page', {createScriptURL: () => address})
  navigator.serviceWorker.register((policy?.createScriptURL(address) ?? address) as string).catch(() => undefined) // the page works without
}

/** Trusted Types, which not every browser has: the content policy lets only this
 * one address become a script. */
interface Types { createPolicy(name: string, rules: {createScriptURL: (s: string) => string}): {createScriptURL(s: string): unknown} }
