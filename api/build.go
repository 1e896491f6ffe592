package api

import "runtime/debug"

// Build names the program as the Go toolchain built it: the version control
// revision, else the module's version, else "development".
func Build() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "development"
	}
	return buildName(info)
}

// shortRevision is how many digits of a revision are enough to find it.
const shortRevision = 12

func buildName(info *debug.BuildInfo) string {
	var revision, changed string
	for _, s := range info.Settings {
		switch {
		case s.Key == "vcs.revision":
			revision = s.Value
		case s.Key == "vcs.modified" && s.Value == "true":
			changed = "-modified"
		}
	}
	switch version := info.Main.Version; {
	case len(revision) > shortRevision:
		return revision[:shortRevision] + changed
	case revision != "":
		return revision + changed
	case version != "" && version != "(devel)":
		return version
	}
	return "development"
}
