// Package access says who asks and what they may do: roles in order, and the
// person or program behind a request, carried in its context.
package access
