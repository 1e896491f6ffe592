// Package disk is what stores need of a file system to keep their promises: files
// and entries of folders that outlast a loss of power, and a lock that ends with its
// process. It stands behind an interface, so that tests can fill a disk, fail it and
// cut its power (package disktest).
package disk
