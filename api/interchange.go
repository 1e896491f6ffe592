package api

import (
	"io"
	"strconv"

	"github.com/labstack/echo/v4"

	"surgeonward/api/exchange"
	"surgeonward/api/region"
	"surgeonward/api/wire"
	"surgeonward/facilities"
	"surgeonward/facilities/have"
	"surgeonward/facilities/store"
	"surgeonward/facilities/table"
)

const (
	typeCSV  = "text/csv"
	typeXML  = "application/xml"
	typeEDXL = "application/edxl+xml"
)

const (
	tablePath  = "/v1/region/tables/:list"
	statusPath = "/v1/facilities/status"
)

// mergedTable is what a table changes in a list, or would.
type mergedTable struct {
	imported
	Unchanged int           `json:"unchanged"`
	Notes     []string      `json:"notes"`
	Rows      []table.Fault `json:"rows"` // what is wrong with the table; with any, nothing is merged
}

// putTable answers POST /v1/region/tables/{list}: the rows of a table are put
// into the facilities or the assets. What is not in the table stays.
func (s *service) putTable(c echo.Context) error {
	l := map[string]*collection{"facilities": facilityList, "assets": assetList}[c.Param("list")]
	if l == nil {
		return &problem{kind: noThing, detail: "there are tables of facilities and of assets only"}
	}
	q, body, live, by, done, err := s.interchange(c, typeCSV)
	if err != nil {
		return err
	}
	defer done()
	out := mergedTable{Notes: []string{}, Rows: []table.Fault{}}
	out.imported, err = s.replaceFile(c, live, by, q.dry, l.file, func(v *store.Version) ([]byte, error) {
		r, err := usable(live, v)
		if err != nil {
			return nil, err
		}
		form := exchange.FacilityTable(r)
		if l == assetList {
			form = exchange.AssetTable(r)
		}
		merged, rows := form.Merge(v.Content[l.file], body)
		if len(rows) > 0 {
			out.Rows = rows
			if !q.dry {
				return nil, faulty(invalidContent, rowFaults(rows), nil)
			}
			return v.Content[l.file], nil
		}
		out.Unchanged, out.Notes = merged.Same, append([]string{}, merged.Notes...)
		return merged.File, nil
	})
	if err != nil {
		return err
	}
	return sendJSON(c, out)
}

// rowFaults are the faults of a table as a problem document has them. What
// points into a table is a line and a column, in words.
func rowFaults(rows []table.Fault) []wire.Fault {
	out := make([]wire.Fault, len(rows))
	for i, f := range rows {
		out[i] = wire.Fault{Pointer: "#", Element: f.ID, Detail: f.String()}
	}
	return out
}

// statusReport is what a report of hospitals' status changes, or would.
type statusReport struct {
	DryRun bool  `json:"dry_run"`
	Made   int64 `json:"made,omitempty"` // number of the version that it made
	have.Matched
	Region []wire.Fault `json:"region_faults"`
}

// putStatus answers POST /v1/facilities/status: hospitals' own accepting states
// from an EDXL-HAVE document. Nothing that is unknown or stale opens a hospital.
func (s *service) putStatus(c echo.Context) error {
	q, body, live, by, done, err := s.interchange(c, typeEDXL, typeXML)
	if err != nil {
		return err
	}
	defer done()
	report, faults := have.Decode(body)
	if report == nil {
		return faulty(invalidContent, haveFaults(faults), nil)
	}
	out := statusReport{DryRun: q.dry, Region: []wire.Fault{}}
	draft := func(v *store.Version) (region.Draft, error) {
		r, err := usable(live, v)
		if err != nil {
			return region.Draft{}, err
		}
		status := &r.Settings.Status
		out.Matched = report.Match(r.Facilities, have.MatchOptions{Now: s.now(), IDs: status.ByReported(), Colours: status.Colours})
		out.Faults = append(append([]have.Fault{}, faults...), out.Faults...)
		return proposed(r, v, out.Proposals)
	}
	ctx := c.Request().Context()
	if q.dry {
		wrong, _, err := live.Try(ctx, draft)
		if err != nil {
			return err
		}
		out.Region = append(out.Region, regionFaults(wrong[:min(len(wrong), maxErrors)])...)
		return sendJSON(c, out)
	}
	v, err := live.Edit(ctx, by.who, by.why, draft)
	if err = changedNothing(err); err != nil {
		return err
	}
	out.Made = v.Number
	c.Response().Header().Set(headerVersion, strconv.FormatInt(v.Number, 10))
	return sendJSON(c, out)
}

// proposed makes an edit of the proposals that differ from what is there.
func proposed(r *region.Region, v *store.Version, proposals []have.Proposal) (region.Draft, error) {
	content := v.Content[region.FacilitiesFile]
	d := region.Draft{Files: map[string][]byte{}, Why: "status report"}
	for _, p := range proposals {
		if f, ok := r.Facilities.Get(p.Facility); ok && f.Accepting.Reason == p.Reason && stateOf(f) == p.State {
			continue
		}
		said := map[string]any{"state": string(p.State)}
		if p.Reason != "" {
			said["reason"] = p.Reason
		}
		patch, word, err := acceptingPatch(said, nil)
		if err != nil {
			return region.Draft{}, err
		}
		text, err := wire.JSON(patch)
		if err != nil {
			return region.Draft{}, err
		}
		_, before, err := region.Find(region.FacilitiesFile, content, p.Facility)
		if err != nil {
			return region.Draft{}, err
		}
		if content, err = region.Patch(region.FacilitiesFile, content, p.Facility, text); err != nil {
			return region.Draft{}, err
		}
		_, after, err := region.Find(region.FacilitiesFile, content, p.Facility)
		if err != nil {
			return region.Draft{}, err
		}
		d.What = append(d.What, store.Change{Action: word, File: region.FacilitiesFile, Element: p.Facility, Before: before, After: after})
	}
	d.Files[region.FacilitiesFile] = content
	return d, nil
}

// stateOf is the state in the list, whether it has ended or not.
func stateOf(f *facilities.Facility) facilities.AcceptState {
	if f.Accepting.State == "" {
		return facilities.Open
	}
	return f.Accepting.State
}

func haveFaults(faults []have.Fault) []wire.Fault {
	out := make([]wire.Fault, len(faults))
	for i, f := range faults {
		detail := f.Detail
		if f.Line > 0 {
			detail = "line " + strconv.Itoa(f.Line) + ": " + detail
		}
		out[i] = wire.Fault{Pointer: "#", Element: f.Hospital, Detail: detail}
	}
	return out
}

// usable makes the region of a version.
func usable(live *region.Live, v *store.Version) (*region.Region, error) {
	r, faults := live.Load(v)
	if r == nil {
		return nil, &store.InvalidError{Faults: faults}
	}
	return r, nil
}

// interchangeQuery is the query of an interchange.
type interchangeQuery struct{ dry bool }

// interchange reads a request that brings a document of another program's. Done
// gives back its place among those that are read at a time.
func (s *service) interchange(c echo.Context, media ...string) (q interchangeQuery, body []byte, live *region.Live, by author, done func(), err error) {
	if live, by, err = s.editor(c); err != nil {
		return
	}
	if _, err = accepted(c, typeJSON); err != nil {
		return
	}
	values, err := readQuery(c, "dry_run")
	if err != nil {
		return
	}
	if q.dry, err = flag(values, "dry_run"); err != nil {
		return
	}
	if err = onlyMedia(c.Request(), media...); err != nil {
		return
	}
	if done, err = s.startImport(c); err != nil {
		return
	}
	if body, err = io.ReadAll(c.Request().Body); err != nil {
		done()
		return q, nil, live, by, nil, unread(err)
	}
	return q, body, live, by, done, nil
}
