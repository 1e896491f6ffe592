// Package wire is the JSON and GeoJSON form of questions and answers, the same
// for the HTTP interface and the command line. The routing package knows no
// JSON; this package knows no HTTP.
//
// Units stand in the names of the members. Positions are longitude, latitude,
// as RFC 7946 has them; in position text people write latitude first.
// Seconds and metres are rounded here to whole numbers, once: the start and the
// end of an activity, never its length, so that neighbours still meet.
package wire
