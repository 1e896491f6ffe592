// Runs before anything is painted and the page's own code is read: leaves the first
// view that index.html comes with, the narrow one on a narrow screen, by day or by
// night, or none where the address or the tab has something else to show.

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

// index.html has the wide one in its place, where it is made soonest.
const page = document.getElementById('page')
const narrowOne = document.getElementById('first-narrow')
if (location.hash.length > 1 || !('geolocation' in navigator) || kept()) page?.replaceChildren()
else if (small && narrowOne instanceof HTMLTemplateElement) page?.replaceChildren(narrowOne.content.cloneNode(true))
