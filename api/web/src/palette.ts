// The colours, for what is drawn on a canvas; style/colours.css has the same for
// the rest of the page.
//
// Hues are those of Okabe and Ito, "Color Universal Design" (2002, revised 2008),
// which people with any common colour vision tell apart: blue #0072B2 and sky
// blue #56B4E9 for vehicles, vermillion #D55E00 and orange #E69F00 for the
// patient, bluish green #009E73 for hospitals. Shape, height, dashes and words
// say the same again.

/** The minutes of the bands of coverage, the shortest first. */
export const bandMinutes: readonly number[] = [15, 30, 45, 60, 90, 120]

/** Minutes to a surgeon, the shortest darkest: six classes of YlGnBu of Brewer,
 * "ColorBrewer" (2003; colorbrewer2.org), marked there as safe for colour blindness.
 * Lines with their minutes and of their own dashes say the same. */
export const bandColours: readonly string[] = ['#253494', '#2c7fb8', '#41b6c4', '#7fcdbb', '#c7e9b4', '#ffffcc']

/** How strong areas are drawn over the ground. */
export const shade: Record<'day' | 'night', number> = {day: 1, night: 0.7}

/** The dashes of the lines around the bands, the shortest first. */
export const bandDashes: readonly (readonly number[])[] = [[], [10, 3], [7, 4], [4, 4], [2, 4], [1, 6]]

/** Sooner to later in seven classes: PuOr of Brewer, marked there as safe for colour
 * blindness; purple is sooner, and what stays the same is left as the ground is. Signs
 * and minutes on the cells say the same. */
export const gainColours: readonly string[] = ['#542788', '#998ec3', '#d8daeb', 'transparent', '#fee0b6', '#f1a340', '#b35806']

export interface Paint {
  paper: string
  ink: string
  quiet: string
  sea: string
  land: string
  high: string
  coast: string
  road: string
  crossing: string
  dim: string
  vehicle: string
  patient: string
  hospital: string
}

export const paint: Record<'day' | 'night', Paint> = {
  day: {
    paper: '#ffffff', ink: '#16202a', quiet: '#8b949c', sea: '#e4ecf1', land: '#fbfaf6', high: '#efece2', coast: '#a9b4bc',
    road: '#c3bda9', crossing: '#8d8672', dim: '#a3a9ae', vehicle: '#0072b2', patient: '#d55e00', hospital: '#009e73',
  },
  night: {
    paper: '#0d0f11', ink: '#d6cfc2', quiet: '#7b776e', sea: '#0b0e11', land: '#191a19', high: '#22221e', coast: '#45494a',
    road: '#46443c', crossing: '#777263', dim: '#5a5953', vehicle: '#56b4e9', patient: '#e69f00', hospital: '#009e73',
  },
}
