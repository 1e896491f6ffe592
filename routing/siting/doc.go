// Package siting says where a given number of bases, pads or surgeons would do
// most for the people of a region, with a proven bound on what any other choice
// could do.
//
// It knows sites, demands and the seconds between them, not how these came about:
// they are the engine's own times.
//
// Every objective is a sum over demands that Lagrangian multipliers take apart
// by sites (Church & ReVelle 1974 for covering as a median, Cornuejols, Fisher &
// Nemhauser 1977 for the bound); subgradient ascent makes the bound, a greedy
// start with exchanges makes choices, and branch and bound closes what is left. Covering
// everybody and the least worst time are searches for the smallest number and the
// smallest time at which the uncovered rest is zero.
//
// Results do not depend on the clock: only a context that ends does, and then the
// gap that is left is said.
package siting
