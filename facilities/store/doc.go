// Package store keeps a region's files with their whole history, so that edits
// made at the same time never undo each other unseen and any answer can be led
// back to the exact data it used.
//
// It knows files by name and content only; what makes them usable is a Checker
// that is handed in.
package store
