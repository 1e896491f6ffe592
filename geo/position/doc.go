// Package position reads a position as people and devices write it, and writes one
// as a military grid reference, a plus code or degrees and minutes.
//
// [Parse] accepts decimal degrees, degrees and minutes, degrees, minutes and
// seconds, geo URIs (RFC 5870), ISO 6709 strings, MGRS, UTM and UPS coordinates,
// and full plus codes, and the messages in which telephones and alerting centres send
// a position: AML text messages, PIDF-LO documents and CAP circles. It names the format it recognised and how exact the text
// can be. Text that can be read in two ways is refused with a sentence that says
// how to write it: a position that is taken for another sends help to the wrong
// place.
//
// People write latitude first; an [orb.Point] holds longitude first.
//
// The grids are those of the WGS 84 ellipsoid. The transverse Mercator and polar
// stereographic projections here agree with GeographicLib 2.1.2 to better than a
// micrometre.
package position
