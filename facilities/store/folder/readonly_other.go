//go:build !unix

package folder

func isReadOnlyDisk(error) bool { return false }
