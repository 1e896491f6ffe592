package api_test

import (
	"net/http"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestOutlook: what is said of the first option's deadlines, of the runner-up
// and of what the total hangs on agrees with the options beside it. Source:
// definition. That the deadlines are true is tested where they are found.
func TestOutlook(t *testing.T) {
	h := handler(t)
	for name, body := range scenarios(t) {
		for _, rankBy := range []string{"typical", "slow"} {
			t.Run(name+"/"+rankBy, func(t *testing.T) {
				a := tell(t, h, strings.Replace(body, `"rank_by": "typical"`, `"rank_by": "`+rankBy+`"`, 1))
				first := a.Options[0]
				require.NotEmpty(t, a.Until)
				earliest := a.Until[0]
				for _, d := range a.Until {
					i := slices.IndexFunc(first.Activities, func(s toldActivity) bool { return s.ID == d.Activity })
					require.GreaterOrEqual(t, i, 0, d.Activity)
					s := first.Activities[i]
					assert.Equal(t, s.Kind, d.Kind)
					assert.Equal(t, s.Asset, d.Asset)
					assert.InDelta(t, s.StartS+d.DelayS, d.LatestStartS, 1, "each is rounded once")
					assert.GreaterOrEqual(t, d.DelayS, s.SlackS, "a delay within the slack costs nothing")
					assert.Equal(t, a.At.Add(time.Duration(d.LatestStartS)*time.Second), d.LatestStartAt)
					assert.True(t, d.LatestStartLocal.Equal(d.LatestStartAt))
					assert.NotEqual(t, first.ID, d.OvertakenBy)
					assert.Contains(t, d.Sentence, " after "+d.LatestStartLocal.Format("15:04")+": rather ")
					if d.LatestStartS < earliest.LatestStartS {
						earliest = d
					}
				}
				require.NotNil(t, a.DecideBy)
				assert.Equal(t, earliest, *a.DecideBy)

				require.NotNil(t, a.RunnerUp)
				second := a.Options[1]
				assert.Equal(t, second.ID, a.RunnerUp.Option)
				behindS := second.Total.TypicalS - first.Total.TypicalS
				if rankBy == "slow" {
					behindS = second.Total.SlowS - first.Total.SlowS
				}
				assert.Equal(t, behindS, a.RunnerUp.NeedsS)
				for _, id := range a.RunnerUp.Activities {
					assert.True(t, slices.ContainsFunc(second.Activities, func(s toldActivity) bool { return s.ID == id }), id)
				}

				require.NotEmpty(t, a.Sensitivity)
				for i, s := range a.Sensitivity {
					assert.Equal(t, first.Total.TypicalS, s.TotalS-s.ChangeS)
					if i > 0 {
						assert.LessOrEqual(t, s.ChangeS, a.Sensitivity[i-1].ChangeS+1, "the greatest change first, before rounding")
					}
				}
			})
		}
	}
}

// TestNoOutlook: absent, never zero, where it is not defined.
func TestNoOutlook(t *testing.T) {
	h := handler(t)
	for _, tt := range []struct{ name, body string }{
		{"one option", `{"at":"2031-03-14T22:01:00Z","scene":{"position":[-29.41,45.52],"landing":"impossible"},
			"happened":[{"asset":"amb-11","event":"at_hospital","at":"2031-03-14T21:58:00Z","facility":"ossuvaune-general"}]}`},
		{"no option", `{"at":"2031-03-14T21:40:00Z","scene":{"position":[-29.41,45.52],"landing":"impossible"},"assets":{"only":["car-1"]}}`},
	} {
		t.Run(tt.name, func(t *testing.T) {
			w := post(h, tt.body)
			require.Equal(t, http.StatusOK, w.Code, "%s", w.Body)
			answer := object(t, w.Body.Bytes())
			if len(answer["options"].([]any)) == 0 {
				assert.Equal(t, []any{}, answer["sensitivity"])
			} else {
				assert.NotEmpty(t, answer["sensitivity"])
			}
			assert.Equal(t, []any{}, answer["until"])
			for _, member := range []string{"decide_by", "runner_up"} {
				assert.NotContains(t, answer, member)
			}
			served(t, h, true).check(t, http.MethodPost, "/v1/options", w)
		})
	}
}
