package api

import (
	"net/http"

	"surgeonward/api/access"
)

// elementRoutes are the routes of the region's lists and their elements.
func (s *service) elementRoutes() (out []route) {
	summaries := map[*collection]string{
		facilityList: "the region's facilities", assetList: "the region's vehicles",
		roadList: "the region's roads, water, mountains and crossings",
	}
	for _, l := range collections {
		item := l.path + "/:id"
		out = append(out,
			route{http.MethodGet, l.path, access.Reader, s.list(l), summaries[l]},
			route{http.MethodGet, item, access.Reader, s.one(l), "one " + l.noun},
			route{http.MethodPut, item, access.Editor, s.put(l), "create or replace one " + l.noun},
			route{http.MethodPatch, item, access.Editor, s.patch(l), "change some members of one " + l.noun},
			route{http.MethodDelete, item, access.Editor, s.remove(l), "remove one " + l.noun},
		)
	}
	return out
}

// actionRoutes change a state in one call.
func (s *service) actionRoutes() []route {
	return []route{
		{http.MethodPost, statusPath, access.Desk, s.putStatus, "hospitals' own accepting states, from EDXL-HAVE; ?dry_run=true says what would change"},
		{http.MethodPost, "/v1/facilities/:id/accepting", access.Desk, s.act(facilityList, acceptingAction), "accept patients again, or divert or close"},
		{http.MethodPost, "/v1/facilities/:id/away", access.Desk, s.act(facilityList, awayAction), "a surgeon or the theatre cannot be had, or can again"},
		{http.MethodPost, "/v1/assets/:id/state", access.Desk, s.act(assetList, stateAction), "what a vehicle is doing, and where"},
		{http.MethodPost, "/v1/roads/:id/closed", access.Desk, s.act(roadList, closedAction), "close or reopen a crossing"},
	}
}

// regionRoutes are the routes of the region as a whole and of its history.
func (s *service) regionRoutes() []route {
	return []route{
		{http.MethodGet, "/v1/region", access.Reader, s.aboutRegion, "whose data is served, and how sure it is"},
		{http.MethodGet, "/v1/region/faults", access.Reader, s.regionFaultList, "what keeps newer data from being used"},
		{http.MethodGet, demandPath, access.Reader, s.demand, "where the region's people are, as coverage and siting take them"},
		{http.MethodGet, regionFilePath, access.Reader, s.regionFile, "one file of the region"},
		{http.MethodPut, regionFilePath, access.Editor, s.putRegionFile, "a whole file in place of another; ?dry_run=true says what would change"},
		{http.MethodPost, tablePath, access.Editor, s.putTable, "put the rows of a CSV table into a list; ?dry_run=true says what would change"},
		{http.MethodGet, "/v1/history", access.Reader, s.history, "who changed what, when and why"},
		{http.MethodGet, "/v1/history/:number", access.Reader, s.pastVersion, "one change, with before and after"},
		{http.MethodGet, "/v1/history/:number/files/:name", access.Reader, s.pastFile, "a file as it was then"},
		{http.MethodGet, "/v1/history/:number/changes", access.Reader, s.pastChanges, "what differs from another version"},
		{http.MethodPost, "/v1/history/:number/restore", access.Admin, s.restore, "make the region what it was then"},
		{http.MethodGet, eventsPath, access.Reader, s.events, "changes as they happen (server-sent events)"},
	}
}
