// Package folder keeps a region in a folder of files that people edit by hand
// while a service edits them too.
//
//	facilities.geojson, fleet.json, ...   the region, as its newest version has it
//	.history/journal.jsonl                a line for each version
//	.history/contents/ab/cdef....gz       each content that a file ever had, by its SHA-256; or
//	.history/contents/ab/cdef....part.gz  what makes it from another, where that is shorter
//	.history/applied                      the version that the files were last seen to have
//	.history/lock                         held by the one process that writes
//	.history/journal.jsonl.at-5120.torn   half a line that a crash left at byte 5120
//
// A line of the journal is JSON that is only ever added, and never changed:
//
//	{"format":1,"crc32c":"8 hex digits","version":{...}}
//
// The checksum is CRC-32C over the bytes from "version", with its quotation mark,
// to the last brace. It is against decay, not against forgery. A content is held
// to its SHA-256 whenever it is read.
//
// # What is promised
//
// When Commit returns without an error, the version is on the disk: its contents,
// then its line, each with its folder entry, have been synced. The files are
// replaced after that, each at once and whole. What a crash leaves behind is brought
// forward when the folder is opened again.
//
// # Edits by hand
//
// A file that has neither the content of the newest version nor one that this
// package left there was edited by hand. If the files can be used as they stand, that is a
// version by "file"; if not, Rejected says why, the newest version stays, and no edit
// overwrites those files until they are mended or put back. Nobody can tell which
// version an edit by hand was made from: an editor that has had a file open all the
// while writes over what was committed meanwhile. History has both.
//
// A file that is a symbolic link is read, but becomes a file of its own when it is
// replaced. A file keeps its permissions, not its owner.
//
// Between the last look at a file and its replacement there are some microseconds in
// which an edit by hand is lost.
package folder
