// Package access says who asks and what they may do: roles in order, tokens of
// our own in a file of hashes, tokens of an OpenID Connect provider, and the
// person or program behind a request, carried in its context.
//
// A token's text is shown once, when it is made. It is in no file, log, error
// or answer.
package access
