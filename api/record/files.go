package record

import (
	"io"
	"os"

	"surgeonward/facilities/disk"
)

const (
	filePerm   = 0o600
	folderPerm = 0o700
)

// readAll reads a file of at most limit bytes.
func readAll(files disk.FileSystem, name string, limit int64) ([]byte, error) {
	f, err := files.OpenFile(name, os.O_RDONLY, 0)
	if err != nil {
		return nil, err
	}
	defer f.Close() // nothing was written
	return io.ReadAll(io.NewSectionReader(f, 0, limit))
}

// writeNew writes a file that is to be complete and on the disk when this
// returns, but for its entry in the folder.
func writeNew(files disk.FileSystem, name string, content []byte) error {
	f, err := files.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, filePerm)
	if err != nil {
		return err
	}
	_, err = f.Write(content)
	if err == nil {
		err = f.Sync()
	}
	if closeErr := f.Close(); err == nil {
		err = closeErr
	}
	return err
}
