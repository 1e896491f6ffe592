// Runs before the page's own code is read: shows its first view from index.html,
// by day or by night, unless the address or the tab has something else to show.

import {narrow, dark, regionKey} from './first'

const small = matchMedia(narrow).matches
document.documentElement.dataset['view'] = small ? 'phone' : 'desk'
document.documentElement.dataset['light'] = matchMedia(dark).matches ? 'night' : 'day'

function kept(): boolean {
  try {
    return sessionStorage.getItem(regionKey) !== null
  } catch {
    return false // not allowed, so nothing is kept
  }
}

const first = document.getElementById(small ? 'first-narrow' : 'first-wide')
if (first instanceof HTMLTemplateElement && location.hash.length < 2 && 'geolocation' in navigator && !kept()) {
  document.getElementById('page')?.append(first.content.cloneNode(true))
}
