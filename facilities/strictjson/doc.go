// Package strictjson reads JSON that people write by hand and says everything
// that is wrong with it at once, in sentences that name the field and the fix.
//
// A document is checked in three steps: size, depth and count; syntax (RFC 8259
// with the stricter RFC 7493: valid UTF-8, no member name twice, and no number
// outside the range of float64); then a JSON Schema, draft 2020-12.
//
// A schema can word its own faults: the $comment of a schema with "pattern" or
// "format", or with a "not" that says a field does not belong, is what stands after
// the field's name ("must look like a word, ...").
//
// A [Fault] carries a JSON Pointer (RFC 6901). Sentences show at most 60
// characters of the input at a time, and never a control character. Positions in
// arrays count from 0, as they do in pointers.
package strictjson
