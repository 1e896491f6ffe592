package calibrate

import (
	"cmp"
	"slices"
	"strings"
	"time"
)

// maxTotals is how many sets of stages get a total, the most common first.
const maxTotals = 5

// totals times whole journeys that have the same two or more stages.
func totals(journeys []Journey) []Total {
	byID := map[string][]*Journey{}
	var ids []string
	for i := range journeys {
		id := journeys[i].ID
		if byID[id] == nil {
			ids = append(ids, id)
		}
		byID[id] = append(byID[id], &journeys[i])
	}
	bySet := map[string][][]*Journey{}
	var sets []string
	for _, id := range ids {
		rows := byID[id]
		if len(rows) < 2 {
			continue
		}
		slices.SortStableFunc(rows, func(a, b *Journey) int {
			return cmp.Or(strings.Compare(a.Stage, b.Stage), a.StartedAt.Compare(b.StartedAt))
		})
		var names []string
		for _, j := range rows {
			names = append(names, j.Stage)
		}
		set := strings.Join(names, " ")
		if bySet[set] == nil {
			sets = append(sets, set)
		}
		bySet[set] = append(bySet[set], rows)
	}
	slices.SortFunc(sets, func(a, b string) int {
		return cmp.Or(len(bySet[b])-len(bySet[a]), strings.Compare(a, b))
	})
	out := []Total{}
	for _, set := range sets {
		if len(bySet[set]) < MinGroup || len(out) == maxTotals {
			break
		}
		out = append(out, total(strings.Fields(set), bySet[set]))
	}
	return out
}

// total times journeys that all have the stages, in their order.
func total(stages []string, whole [][]*Journey) Total {
	var seconds []float64
	each := make([][]float64, len(stages))
	for _, rows := range whole {
		start, end := rows[0].StartedAt, time.Time{}
		for k, j := range rows {
			each[k] = append(each[k], j.DurationS)
			if j.StartedAt.Before(start) {
				start = j.StartedAt
			}
			if j.End().After(end) {
				end = j.End()
			}
		}
		seconds = append(seconds, end.Sub(start).Seconds())
	}
	slices.Sort(seconds)
	t := Total{Stages: stages, Journeys: len(whole),
		TypicalS: round(quantile(seconds, typicalShare)), TypicalInterval: quantileInterval(seconds, typicalShare).round(),
		SlowS: round(quantile(seconds, slowShare)), SlowInterval: quantileInterval(seconds, slowShare).round()}
	for _, values := range each {
		slices.Sort(values)
		t.MedianOfStagesS = append(t.MedianOfStagesS, round(quantile(values, typicalShare)))
	}
	return t
}
