import {render} from 'preact'
import {App} from './app'
import './style/page.css'

const page = document.getElementById('page')
if (page !== null) render(<App />, page)

// Over https, or on the machine itself, a worker keeps the page for when the
// signal goes. Elsewhere the page that is loaded goes on working by itself.
if ('serviceWorker' in navigator && window.isSecureContext) {
  navigator.serviceWorker.register('/worker.js').catch(() => undefined) // the page works without
}
