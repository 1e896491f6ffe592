import {render} from 'preact'
import {App} from './app'
import {whenIdle} from './idle'
import {takeOver} from './take_over'
import './style/page.css'

const worker = '/worker.js'

// The content policy lets no text become markup or a script's address (Trusted
// Types) but these two: what the map measures letters with, and the worker.
interface Types { createPolicy(name: string, rules: {createHTML: (s: string) => string, createScriptURL: (s: string) => string}): unknown }
(window as {trustedTypes?: Types}).trustedTypes?.createPolicy('default', {
  createHTML: s => s === 'M' ? s : '',
  createScriptURL: s => s === worker ? s : '',
})

const page = document.getElementById('page')
if (page !== null) {
  if (page.hasChildNodes()) takeOver(page, <App />)
  else render(<App />, page)
}

// Over https, or on the machine itself, a worker keeps the page for when the
// signal goes. Elsewhere the page that is loaded goes on working by itself.
if ('serviceWorker' in navigator && window.isSecureContext) {
  whenIdle(() => navigator.serviceWorker.register(worker).catch(() => undefined)) // the page works without
}
