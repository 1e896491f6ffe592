package api

import (
	"fmt"
	"net/http"
	"strconv"
	"time"

	"github.com/labstack/echo/v4"

	"surgeonward/api/region"
	"surgeonward/api/wire"
	"surgeonward/facilities/store"
)

// regionState is what is served, and how sure that is.
type regionState struct {
	Name          string             `json:"name"`
	Demonstration bool               `json:"demonstration"`
	Note          string             `json:"note,omitempty"`
	Editable      bool               `json:"editable"`
	Kept          string             `json:"kept,omitempty"`
	Version       int64              `json:"version,omitempty"`
	ChangedAt     *time.Time         `json:"changed_at,omitempty"`
	ChangedBy     string             `json:"changed_by,omitempty"`
	StaleSince    *time.Time         `json:"stale_since,omitempty"`
	Faults        int                `json:"faults"`
	Versions      wire.ContentHashes `json:"versions"`
	Files         []store.File       `json:"files,omitempty"`
}

// regionTags are the tag of a version, and that of its state: what is served
// can be older than it looks, or newer data be faulty, without a new version.
func regionTags(st region.State) (version, state string) {
	version = `"v` + strconv.FormatInt(st.Version.Number, 10) + `"`
	if len(st.Rejected) == 0 && st.StaleSince.IsZero() {
		return version, version
	}
	return version, etag(fmt.Appendf(nil, "%d %v %v", st.Version.Number, st.Rejected, st.StaleSince.Unix()))
}

// describeState is the answer of GET /v1/region.
func (s *service) describeState(r *region.Region) regionState {
	out := regionState{
		Name: r.Name, Demonstration: r.Demonstration,
		Versions: wire.Contents(r.Hashes),
	}
	if r.Demonstration {
		out.Note = wire.DemonstrationNote
	}
	if s.live == nil {
		return out
	}
	st := s.live.State()
	out.Editable, out.Version, out.ChangedBy, out.Files = true, st.Version.Number, st.Version.Who, st.Version.Files
	at := wire.Told(st.Version.At)
	out.ChangedAt, out.Faults = &at, len(st.Rejected)
	if !st.StaleSince.IsZero() {
		out.StaleSince = &st.StaleSince
	}
	out.Kept = s.live.Kept()
	return out
}

// aboutRegion answers GET /v1/region.
func (s *service) aboutRegion(c echo.Context) error {
	r, err := s.region()
	if err != nil {
		return err
	}
	return s.sendRegion(c, r)
}

func (s *service) sendRegion(c echo.Context, r *region.Region) error {
	media, err := accepted(c, typeJSON)
	if err != nil {
		return err
	}
	body, err := wire.JSON(s.describeState(r))
	if err != nil {
		return err
	}
	tag := etag(body)
	if s.live != nil {
		_, tag = regionTags(s.live.State())
	}
	setTag(c, tag)
	if matches(c.Request().Header.Values(headerIfNoneMatch), tag) {
		return c.NoContent(http.StatusNotModified)
	}
	return c.Blob(http.StatusOK, media, body)
}

// regionFaultList answers GET /v1/region/faults: what keeps newer data from
// being used, while older data is served.
func (s *service) regionFaultList(c echo.Context) error {
	out := struct {
		Version    int64         `json:"version,omitempty"`
		StaleSince *time.Time    `json:"stale_since,omitempty"`
		Faults     []store.Fault `json:"faults"`
	}{Faults: []store.Fault{}}
	if s.live != nil {
		st := s.live.State()
		out.Version = st.Version.Number
		out.Faults = append(out.Faults, st.Rejected...)
		if !st.StaleSince.IsZero() {
			out.StaleSince = &st.StaleSince
		}
	}
	body, err := wire.JSON(out)
	if err != nil {
		return err
	}
	return sendFile(c, body, typeJSON)
}
