// Package record keeps every decision answer in a folder, so that it can be
// replayed to the byte and reviewed against what happened.
//
// # Folder
//
//	lock                          held by the one process that writes
//	segments/000000000001.jsonl   records, named after the first number in it
//	segments/000000000001.jsonl.at-5120.torn   half a line that a crash left at byte 5120
//	blobs/ab/cdef...              data that answers used, named by its SHA-256
//
// A record is a line of JSON that is only ever added:
//
//	{"format":1,"crc32c":"8 hex digits","record":{...},"request":"...","answer_gzip":"base64"}
//
// The checksum is CRC-32C (Castagnoli's polynomial) over the bytes from "record",
// with its quotation mark, to the last brace. It finds every change of up to 32
// neighbouring bits, and misses one in four thousand million of any other damage.
// It is against decay, not against forgery. An answer and a blob are also held to
// their SHA-256 whenever they are read.
//
// # What is promised
//
// When Answer, Choose or Fact returns without an error, the record is on the
// disk: blobs, then the line, each with its folder entry, have been synced.
// Callers that wait at the same time share one sync. A record whose caller got
// an error or no answer may be there or not.
//
// Open cuts off half a line at the end of a segment and keeps it aside. A line
// that is damaged is reported with its place, left where it is, and skipped.
//
// Records have running numbers that never repeat, not even after a crash;
// numbers may be left out. Order is by number: the clock may step back.
//
// # Bound
//
// A segment is closed when the next line would take it past Options.MaxSegment.
// When segments and blobs together pass Options.MaxTotal, the oldest segment is
// deleted whole, with every blob that no remaining segment names, until the
// bound holds again. The newest segment and its blobs are never deleted, so
// that one answer with much data may stand above the bound.
// Copy the folder elsewhere before that if records must be kept for longer.
//
// # Identity
//
// No text in which somebody could be described is kept: the request of an
// answer must pass Check, and choices and facts have no member that could hold a
// sentence. Where and when a patient was
// is kept, and can identify: folders are made readable by their owner only.
package record
