package api

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"surgeonward/api/planning"
	"surgeonward/api/region"
	"surgeonward/api/wire"
	"surgeonward/geo"
	"surgeonward/routing/coverage"
)

// FuzzPlanningRequest: no body of coverage or siting brings the decoders down, and what they take
// is within the bounds that jobs rely on.
func FuzzPlanningRequest(f *testing.F) {
	const people = `"demand":{"type":"FeatureCollection","features":[{"type":"Feature","geometry":{"type":"Point","coordinates":[-29.41,45.52]},"properties":{"people":1200}}]}`
	for _, members := range []string{
		`"situations":[{}],"cell_m":5000`,
		`"situations":[{"at":"2031-06-10T14:00:00Z","share":0.5},{}],` + people + `,"busy":{"calls_per_day":6.5,"service_min":90,"assets":["heli-1"],"depth":2}`,
		`"situations":[{}],"cell_m":1e-300,"busy":{"calls_per_day":1e308}`,
		`"situation":{},` + people + `,"candidates":[{"position":[-29.3,45.55]}],"like":"heli-1","count":1,"objective":"least_mean_time"`,
		`"situation":{},` + people + `,"move":["heli-1","heli-3"],"candidates_from":"grid","candidate_cell_m":40000,"count":2,"objective":"most_people_busy","busy_share":0.4,"within_s":1800`,
		`"situation":{},` + people + `,"what":"pad","count":1,"objective":"least_worst_time"`,
		`"situation":{},"cell_m":20000,"what":"surgeon","candidates":[{"facility":"tharuvel-hospital"}],"count":1,"objective":"fewest_sites","within_s":3600`,
		`"situation":{},` + people + `,"like":"heli-1","candidates":[{"position":[0,0]}],"count":200,"objective":"most_people_busy","busy":{"calls_per_day":0},"within_s":60`,
		`"situation":{},` + people + `,"candidates_from":"grid","candidate_cell_m":100,"like":"aero-5","count":1,"objective":"most_people","within_s":172800`,
	} {
		f.Add([]byte("{" + members + "}"))
	}
	r, report := region.Demo()
	require.Empty(f, report.Faults)
	now := time.Date(2031, 3, 14, 12, 0, 0, 0, time.UTC)
	f.Fuzz(func(t *testing.T, body []byte) {
		refusedInWords := func(err error) {
			var refused *wire.RequestError
			if err != nil {
				require.ErrorAs(t, err, &refused)
				require.NotEmpty(t, refused.Faults)
			}
		}
		calls := func(c *coverage.Calls) {
			if c != nil {
				require.NoError(t, c.Check())
				require.Positive(t, c.Depth)
			}
		}
		p := planned{Now: now, Body: body}
		if q, err := decodeCoverage(p, r); err != nil {
			refusedInWords(err)
		} else {
			require.NotEmpty(t, q.Situations)
			calls(q.Busy)
		}
		q, err := decodeSiting(p, r)
		if err != nil {
			refusedInWords(err)
			return
		}
		calls(q.Busy)
		require.Positive(t, q.Count)
		require.NotEmpty(t, q.Candidates)
		require.LessOrEqual(t, len(q.Candidates), 2*planning.MaxCandidates+50)
		for _, c := range q.Candidates {
			require.NoError(t, geo.Check(c.At))
			require.NotEmpty(t, c.Name)
		}
		for _, id := range q.Present() {
			require.NotContains(t, q.Move, id)
		}
		require.Len(t, slices.Compact(slices.Sorted(slices.Values(q.Units))), len(q.Units))
		require.True(t, q.BusyShare >= 0 && q.BusyShare < 1)
	})
}
