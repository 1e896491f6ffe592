// Package calibrate fits the model's numbers to a region's own journeys: the
// road factor, acceleration and cruise, spread, and every allowance, for the
// region and by area, day and night, and asset. It says how sure each figure
// is, how far off the figures are on journeys they were not fitted to, before
// and after, and whether 9 in 10 really arrive before the slow figure. What it
// proposes is a change to settings.json for a person to judge and to apply.
//
// The journeys come as CSV text, see Decode. All is deterministic: random
// draws are seeded, and the order of the rows does not depend on any map.
// Distances are in metres, durations in seconds, and every interval is a 90 %
// one unless it says otherwise.
package calibrate
