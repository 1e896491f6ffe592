package api

import (
	"errors"
	"io"
	"slices"
	"strconv"

	"github.com/labstack/echo/v4"

	"surgeonward/api/region"
	"surgeonward/api/wire"
	"surgeonward/facilities/store"
)

// maxNamed is how many elements an import names of each kind of change.
const maxNamed = 1000

// affected are elements that an import changes in one way.
type affected struct {
	Count int      `json:"count"`
	IDs   []string `json:"ids"` // the first 1000
}

func (a *affected) add(id string) {
	if a.Count++; len(a.IDs) < maxNamed {
		a.IDs = append(a.IDs, id)
	}
}

// imported is what an import changes, or would.
type imported struct {
	DryRun  bool         `json:"dry_run"`
	File    string       `json:"file"`
	Version int64        `json:"version,omitempty"` // that was made; none in a dry run
	Created affected     `json:"created"`
	Changed affected     `json:"changed"`
	Deleted affected     `json:"deleted"`
	Beside  bool         `json:"beside"` // something but the elements changes
	Faults  []wire.Fault `json:"faults"`
}

func (out *imported) count(changes []store.Change) {
	for _, c := range changes {
		switch {
		case c.Element == "":
			out.Beside = true
		case c.Before == nil:
			out.Created.add(c.Element)
		case c.After == nil:
			out.Deleted.add(c.Element)
		default:
			out.Changed.add(c.Element)
		}
	}
}

// regionFile answers GET /v1/region/files/{name}.
func (s *service) regionFile(c echo.Context) error {
	r, err := s.region()
	if err != nil {
		return err
	}
	content, ok := r.File(c.Param("name"))
	if !ok {
		return noFile()
	}
	return sendFile(c, content, mediaOf(c.Param("name"))...)
}

func noFile() error {
	return &problem{kind: noThing, detail: "the region has no file of this name: it can have facilities.geojson, fleet.json, roads.geojson and settings.json"}
}

// putRegionFile answers PUT /v1/region/files/{name}: a whole file in place of
// another. With ?dry_run=true nothing is changed, and nothing needs to be
// demanded.
func (s *service) putRegionFile(c echo.Context) error {
	name := c.Param("name")
	if !slices.Contains(region.Files(), name) {
		return noFile()
	}
	live, by, err := s.editor(c)
	if err != nil {
		return err
	}
	if _, err = accepted(c, typeJSON); err != nil {
		return err
	}
	q, err := readQuery(c, "dry_run")
	if err != nil {
		return err
	}
	dry, err := flag(q, "dry_run")
	if err != nil {
		return err
	}
	if err = onlyMedia(c.Request(), mediaOf(name)...); err != nil {
		return err
	}
	demand := preconditionOf(c.Request())
	if !dry && !demand.given() {
		return needed("file")
	}
	done, err := s.startImport(c)
	if err != nil {
		return err
	}
	defer done()
	body, err := io.ReadAll(c.Request().Body)
	if err != nil {
		return unread(err)
	}
	out, err := s.replaceFile(c, live, by, dry, name, func(v *store.Version) ([]byte, error) {
		return body, demand.check(tagOf(v.Content[name])...)
	})
	if err != nil {
		return err
	}
	return sendJSON(c, out)
}

// replaceFile replaces a file by what made makes of the newest version, or says
// what that would do.
func (s *service) replaceFile(c echo.Context, live *region.Live, by author, dry bool, name string, made func(*store.Version) ([]byte, error)) (imported, error) {
	out := imported{DryRun: dry, File: name, Created: affected{IDs: []string{}}, Changed: affected{IDs: []string{}}, Deleted: affected{IDs: []string{}}, Faults: []wire.Fault{}}
	var changes []store.Change
	draft := func(v *store.Version) (region.Draft, error) {
		content, err := made(v)
		if err != nil {
			return region.Draft{}, err
		}
		files := map[string][]byte{name: content}
		if !dry { // what cannot be used is not worth comparing
			if faults := live.Check(v, files); len(faults) > 0 {
				return region.Draft{}, &store.InvalidError{Faults: faults}
			}
		}
		before := map[string][]byte{}
		if was, had := v.Content[name]; had {
			before[name] = was
		}
		changes = region.Diff(before, files)
		return region.Draft{Files: files, What: asImport(changes)}, nil
	}
	ctx := c.Request().Context()
	if dry {
		faults, _, err := live.Try(ctx, draft)
		if err != nil {
			return out, err
		}
		out.Faults = append(out.Faults, regionFaults(faults[:min(len(faults), maxErrors)])...)
	} else {
		v, err := live.Edit(ctx, by.who, by.why, draft)
		if err = changedNothing(err); err != nil {
			return out, err
		}
		out.Version = v.Number
		c.Response().Header().Set(headerVersion, strconv.FormatInt(v.Number, 10))
		setTag(c, etag(v.Content[name]))
	}
	out.count(changes)
	return out, nil
}

// changedNothing takes it for no error that the files have that content already.
func changedNothing(err error) error {
	if errors.Is(err, store.ErrUnchanged) {
		return nil
	}
	return err
}

func asImport(changes []store.Change) []store.Change {
	out := slices.Clone(changes)
	for i := range out {
		out[i].Action = "import"
	}
	return out
}

// startImport waits for one of the few places in which a whole file can be read
// at a time, so that many at once do not take all memory.
func (s *service) startImport(c echo.Context) (done func(), err error) {
	select {
	case s.imports <- struct{}{}:
		return func() { <-s.imports }, nil
	case <-c.Request().Context().Done():
		return nil, c.Request().Context().Err()
	}
}
