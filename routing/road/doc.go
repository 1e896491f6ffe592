// Package road turns road distances into travel times: an acceleration-and-cruise
// law rather than one speed, with a spread that narrows with distance. It also
// says how the rest of the product asks for a road travel (Estimator), and has
// two answers to that: GreatCircle, the great circle times a road factor, and
// Terrain, the same on a Map of areas, barriers and crossings, around the
// barriers and over the crossings.
//
// Distances are in metres, durations in seconds, speeds in metres per second.
package road
