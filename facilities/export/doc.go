// Package export writes a list of facilities in the formats that map programs and
// spatial databases read: KML 2.2, plain GeoJSON, and tables with a column of
// geometry as WKT or as EWKB in hexadecimal.
//
// Positions are WGS 84, longitude first in all of them; EWKB says so with SRID 4326.
// The same list gives the same bytes. What changes with the hour (rotas, an accepting
// state whose end has passed) is left as the list has it or left out: nothing here
// reads a clock.
package export
