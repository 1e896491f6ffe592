package api_test

import (
	"net/http"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api/job"
)

// sitingBody is a question about the two villages at night.
func sitingBody(members string) string {
	return `{"situation":{"at":"2031-06-11T02:00:00Z"},"demand":` + twoVillages + `,` + members + `}`
}

// TestSitingKinds: each kind of thing that is put, and each way to say where, by the schema.
func TestSitingKinds(t *testing.T) {
	h := handler(t, withJobs(t, job.Options{}))
	strict := served(t, h, true)
	for _, row := range []struct {
		name, members string
		chosen        int
		results       []string
	}{
		{"pads at all hospitals without", `"what":"pad","count":1,"objective":"least_mean_time"`, 1, []string{"after-report.html"}},
		{"surgeons", `"what":"surgeon","count":2,"objective":"most_people","within_s":2400`, 2, []string{"before-cells.csv"}},
		{"moved", `"move":["heli-1"],"candidates":[{"position":[-29.3,45.55]}],"count":1,"objective":"least_mean_time"`, 1, nil},
		{"from a grid", `"like":"heli-1","candidates_from":"grid","candidate_cell_m":60000,"count":1,"objective":"least_worst_time"`, 1, nil},
		{"busy by share", `"like":"heli-1","candidates":[{"position":[-29.3,45.55]}],"count":2,"objective":"most_people_busy","busy_share":0.4,"within_s":1800`, 1, nil},
		{"busy by calls", `"like":"heli-1","candidates":[{"position":[-29.3,45.55]},{"position":[-29.5,45.5]}],"count":1,"objective":"most_people_busy","busy":{"calls_per_day":5,"depth":2},"within_s":1800`,
			1, []string{"after-busy.csv"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			w := do(h, call{method: http.MethodPost, path: "/v1/siting", body: sitingBody(row.members)})
			require.Equal(t, http.StatusAccepted, w.Code, "%s", w.Body)
			strict.check(t, http.MethodPost, "/v1/siting", w)
			j := ended(t, h, object(t, w.Body.Bytes()))
			require.Equal(t, "done", j["state"], j)
			paths := resultsOf(j)
			for _, name := range row.results {
				assert.Contains(t, paths, name)
			}
			w = get(h, paths["summary.json"])
			strict.check(t, http.MethodGet, "/v1/jobs/{id}/results/{name}", w)
			choice := object(t, w.Body.Bytes())
			assert.Equal(t, true, choice["found"])
			assert.Len(t, choice["chosen"], row.chosen)
		})
	}
}

// TestSitingFaults: what does not go together, each at its place.
func TestSitingFaults(t *testing.T) {
	h := handler(t, withJobs(t, job.Options{}))
	const here = `"candidates":[{"position":[-29.3,45.55]}]`
	for _, row := range []struct{ name, members, says string }{
		{"nothing to put", here + `,"count":1,"objective":"least_mean_time"`, "needs like"},
		{"nowhere", `"like":"heli-1","count":1,"objective":"least_mean_time"`, "candidates, or candidates_from"},
		{"listed and from a grid", here + `,"like":"heli-1","candidates_from":"grid","candidate_cell_m":50000,"count":1,"objective":"least_mean_time"`, "keep one"},
		{"a grid of no size", `"like":"heli-1","candidates_from":"grid","count":1,"objective":"least_mean_time"`, "need candidate_cell_m"},
		{"a size and no grid", here + `,"like":"heli-1","candidate_cell_m":5000,"count":1,"objective":"least_mean_time"`, "#/candidate_cell_m"},
		{"too fine a grid", `"like":"heli-1","candidates_from":"grid","candidate_cell_m":500,"count":1,"objective":"least_mean_time"`, "more than 200 candidates"},
		{"too coarse a grid", `"like":"heli-1","candidates_from":"grid","candidate_cell_m":60000,"count":90,"objective":"least_mean_time"`, "choose smaller cells"},
		{"nobody moves", here + `,"move":["heli-77"],"count":1,"objective":"least_mean_time"`, "#/move/0"},
		{"an ambulance put like a helicopter", here + `,"like":"heli-1","move":["amb-11"],"count":1,"objective":"least_mean_time"`, "is no helicopter"},
		{"a pad like an asset", `"what":"pad","like":"heli-1","count":1,"objective":"least_mean_time"`, "#/like"},
		{"a pad in a field", here + `,"what":"pad","count":1,"objective":"least_mean_time"`, "must be a hospital"},
		{"a pad beside a pad", `"candidates":[{"facility":"ossuvaune-general"}],"what":"pad","count":1,"objective":"least_mean_time"`, "has a pad already"},
		{"busy pads", `"what":"pad","count":1,"objective":"most_people_busy","within_s":1800,"busy_share":0.3`, "#/busy_share"},
		{"busy, not how much", here + `,"like":"heli-1","count":1,"objective":"most_people_busy","within_s":1800`, "busy_share or busy"},
		{"busy twice", here + `,"like":"heli-1","count":1,"objective":"most_people_busy","within_s":1800,"busy_share":0.3,"busy":{"calls_per_day":3}`, "either busy_share or busy"},
		{"busy and no time", here + `,"like":"heli-1","count":1,"objective":"most_people_busy","busy_share":0.3`, "needs within_s"},
		{"busy for nothing", here + `,"like":"heli-1","count":1,"objective":"most_people","within_s":1800,"busy_share":0.3`, "must be most_people_busy"},
		{"always busy", here + `,"like":"heli-1","count":1,"objective":"most_people_busy","within_s":1800,"busy_share":1`, "#/busy_share"},
	} {
		t.Run(row.name, func(t *testing.T) {
			w := do(h, call{method: http.MethodPost, path: "/v1/siting", body: sitingBody(row.members)})
			assert.Equal(t, http.StatusUnprocessableEntity, w.Code, "%s", w.Body)
			assert.Contains(t, w.Body.String(), row.says)
		})
	}
}
