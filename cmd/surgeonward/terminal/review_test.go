package terminal_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api/record"
	"surgeonward/cmd/surgeonward/terminal"
)

// reviewed prints rows of the evening of 14 March 2031.
func reviewed(t *testing.T, style terminal.Style, rows ...record.Row) string {
	t.Helper()
	var out strings.Builder
	day := time.Date(2031, 3, 14, 0, 0, 0, 0, time.UTC)
	require.NoError(t, terminal.WriteReview(&out, terminal.ReviewPage{Rows: rows, From: day, To: day.AddDate(0, 0, 1)}, style))
	return out.String()
}

// Source of every row: arithmetic by hand from the times in it.
func TestReview(t *testing.T) {
	at := time.Date(2031, 3, 14, 23, 40, 0, 0, time.UTC)
	after := func(minutes float64) time.Time { return at.Add(time.Duration(minutes * float64(time.Minute))) }
	arrived := func(minutes float64, differenceS int64) []record.Happened {
		return []record.Happened{{What: "load", At: after(9)}, {What: record.WithSurgeon, At: after(minutes), Predicted: after(31), DifferenceS: differenceS}}
	}
	offered := []record.Offer{{Option: "road:amb-11:east", TypicalS: 1860, SlowS: 2640}, {Option: "air:heli-1:west"}}
	row := record.Row{ID: "222-223P", Region: "Invented", Invented: true, Asked: "options", At: at, Offered: offered, Options: 7,
		Chosen: "road:amb-11:east", Rank: 1, Predicted: after(31), PredictedSlow: after(44)}
	late, second, other, open, reach := row, row, row, row, row
	row.Facts = arrived(29.5, -90)
	late.Facts = arrived(45, 840)
	second.Chosen, second.Rank = "air:heli-1:west", 2
	other.Chosen, other.Rank, other.Predicted, other.PredictedSlow = "other", 0, time.Time{}, time.Time{}
	other.Facts = []record.Happened{{What: record.WithSurgeon, At: after(50)}}
	open.Chosen, open.Rank, open.Predicted, open.PredictedSlow, open.Offered, open.Options = "", 0, time.Time{}, time.Time{}, nil, 0
	reach.Asked, reach.Offered, reach.Options, reach.Chosen, reach.Rank = "reach", nil, 0, "heli-1", 0
	reach.Predicted, reach.PredictedSlow = time.Time{}, time.Time{}
	for _, tt := range []struct {
		name string
		row  record.Row
		want []string
	}{
		{"early", row, []string{
			"222-223P 2031-03-14 23:40   1/7 00:11 +1 00:24 +1 00:10 +1      -1.5     yes", "offered road:amb-11:east", "chosen  the same",
			"1 case, 1 with a choice, 1 of them with the arrival", "typical time: -1.5 min", "1 of 1, 100 %"}},
		{"too late", late, []string{" 00:11 +1 00:24 +1 00:25 +1     +14.0      no", "typical time: +14.0 min", "0 of 1, 0 %"}},
		{"the second, not arrived", second, []string{"  2/7 00:11 +1 00:24 +1        -         -       -", "chosen  air:heli-1:west", "0 of them with the arrival"}},
		{"something else", other, []string{"     -        -        - 00:30 +1         -       -", "chosen  other, not one of its options", "1 with a choice, 0 of them"}},
		{"nothing offered, nothing noted", open, []string{"offered nothing", "chosen  nothing that was noted", "0 with a choice"}},
		{"reach", reach, []string{"asked reach", "chosen  heli-1"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			text := reviewed(t, terminal.Style{}, tt.row)
			for _, want := range append(tt.want, "DEMONSTRATION: Invented is invented.", "from 2031-03-14 00:00 to 2031-03-15 00:00", "UTC") {
				assert.Contains(t, text, want)
			}
			for line := range strings.Lines(text) {
				assert.LessOrEqual(t, len(line), 81, line)
			}
			narrow := reviewed(t, terminal.Style{Width: 40}, tt.row)
			assert.Contains(t, strings.Join(strings.Fields(narrow), " "), "decision 2031-03-14 23:40: rank ")
		})
	}
	assert.Contains(t, reviewed(t, terminal.Style{}), "0 cases, 0 with a choice")
	assert.NotContains(t, reviewed(t, terminal.Style{}), "Median")
	row.Region, row.Note = "bad\x1b[2Jname", "odd\x1b[31m"
	assert.NotContains(t, reviewed(t, terminal.Style{}, row), "\x1b")
}
