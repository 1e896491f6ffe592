// What decides which view is the first.

export const narrow = '(max-width: 700px)'
export const dark = '(prefers-color-scheme: dark)'

/** Where the tab keeps the region it has seen last. */
export const regionKey = 'surgeonward.region'
