package wire

import (
	"time"

	"surgeonward/api/region"
	"surgeonward/routing"
)

// Head is what every answer begins with.
type Head struct {
	APIVersion string   `json:"api_version"`
	Caution    string   `json:"caution"`
	At         string   `json:"at"`
	AtLocal    string   `json:"at_local"`
	Region     Region   `json:"region"`
	Versions   Versions `json:"versions"`
}

// head is the head of an answer for a time from the region r by the engine of
// the given build.
func head(at time.Time, r *region.Region, build string) Head {
	return Head{APIVersion: Version, Caution: routing.Caution, At: utc(at), AtLocal: local(at, r.Settings.Zone),
		Region: describe(r), Versions: versions(r, build)}
}
