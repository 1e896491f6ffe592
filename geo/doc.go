// Package geo measures on a spherical Earth: distance, bearing, destination,
// points along the arc between two places, and lines split at the antimeridian.
//
// A point is an [orb.Point]: longitude, then latitude, both in degrees on WGS 84.
// Every distance is in metres and every bearing in degrees clockwise from true
// north.
//
// The Earth is a sphere of radius [MeanRadius]. Against the WGS 84 ellipsoid a
// distance is wrong by at most 0.57 %, the largest error being on short
// north-south lines near the equator. That is well inside what is known of an
// aircraft's speed or of a road's length.
//
// No function here checks its input. Call [Check] where a position enters; after
// that no function returns NaN. A point that is not finite gives results that are
// not finite, and never a panic.
package geo
