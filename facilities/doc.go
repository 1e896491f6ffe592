// Package facilities is a region's list of hospitals, landing sites, airfields and
// bases: one RFC 7946 FeatureCollection that people edit in a text editor or a map
// program.
//
// [Decode] reads the file strictly and reports every fault at once, each with the
// feature's id, a JSON Pointer and a sentence with the fix; what is odd but usable
// comes as warnings. The result, a [List], is an immutable snapshot.
//
// What can change with the hour (a surgeon's presence, a theatre, opening) is a
// [Rota] in the facility's local wall time.
//
// Members of the file that this package does not know are foreign members (RFC 7946
// section 6.1): they are kept. One that looks like a slip of the pen for a member
// the program reads is a fault, because to ignore it would be to ignore what the
// editor meant. A member of "properties" that is null counts as absent, because map
// programs write the empty cells of a column that way.
package facilities
