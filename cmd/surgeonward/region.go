package main

import (
	"errors"
	"fmt"
	"os"

	"surgeonward/api/region"
)

// loadRegion loads the folder, or the demonstration region where dir is empty.
func loadRegion(dir string) (*region.Region, region.Report, error) {
	if dir == "" {
		r, report := region.Demo()
		return r, report, faults(report)
	}
	info, err := os.Stat(dir)
	if err == nil && !info.IsDir() {
		err = fmt.Errorf("%s is not a folder: give the folder that holds the region's files", dir)
	}
	if err != nil {
		return nil, region.Report{}, err
	}
	r, report := region.Load(os.DirFS(dir))
	if err := faults(report); err != nil {
		return nil, report, errors.Join(err, fmt.Errorf("%s cannot be used as a region: mend its files and run surgeonward check", dir))
	}
	return r, report, nil
}

// faults is nil when there are none.
func faults(report region.Report) error {
	if len(report.Faults) == 0 {
		return nil
	}
	var all faultsError
	for _, f := range report.Faults {
		all = append(all, f.String())
	}
	return all
}
