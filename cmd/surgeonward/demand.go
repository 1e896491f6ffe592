package main

import (
	"errors"
	"io"
	"io/fs"
	"os"

	"surgeonward/api"
	"surgeonward/testdata"
)

// demandFileName is the file of people beside a region's own files.
const demandFileName = "demand.csv"

// demandFile is the people of the region that is served. A database holds none.
func (at place) demandFile() api.DemandFile {
	var files fs.FS
	switch {
	case at.Database != "":
		return nil
	case at.Region != "":
		files = os.DirFS(at.Region)
	default:
		files = testdata.Demo
	}
	return func() (text []byte, err error) {
		f, err := files.Open(demandFileName)
		if err != nil {
			return nil, err
		}
		defer func() { err = errors.Join(err, f.Close()) }()
		return io.ReadAll(io.LimitReader(f, api.MaxDemand+1))
	}
}
