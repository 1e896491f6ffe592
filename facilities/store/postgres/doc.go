// Package postgres keeps a region's files and their history in a PostgreSQL
// database, for services on several machines.
//
// A version is one row whose number is the primary key and follows on the number
// that the edit was made from, so that of two edits made from one version
// the database lets one in. Contents are kept once by their SHA-256. Nothing is ever
// updated or deleted.
//
// Every commit notifies the channel region_version. Who follows listens there,
// and asks once a second besides, so that a connection pooler that loses
// notifications costs a second, not an edit.
//
// Tables are made in the first schema of the connection's search_path, by
// migrations that one process at a time runs.
package postgres
