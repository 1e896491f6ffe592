// Package flight judges flying conditions: weather minima by regulation, what
// the nearest report says along a route, and fuel as time. It knows nothing of
// patients or hospitals; the engine in package routing asks it leg by leg.
package flight
