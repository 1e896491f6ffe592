// Package api is the product over HTTP: JSON in, ranked options out, every
// error an RFC 9457 problem document. It computes nothing of its own: questions
// go to [surgeonward/routing], and package wire has their JSON form.
//
// Nothing a caller sends is ever logged: a log line has the request's id,
// method, route template, status, duration and size.
package api
