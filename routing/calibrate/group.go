package calibrate

import (
	"fmt"
	"slices"
	"strings"
)

// unnamed stands for an area or an asset that a row does not state.
const unnamed = "(not stated)"

// part is a group and its journeys.
type part struct {
	group Group
	items []item
}

// parts divides the journeys of one stage in every way that says more than the
// whole: the region, then by area, by light, by asset. The region leaves out
// assets that go by figures of their own, because its figures are not theirs.
func parts(items []item) []part {
	whole := part{group: Group{By: ByRegion}}
	for i := range items {
		if !items[i].own {
			whole.items = append(whole.items, items[i])
		}
	}
	var out []part
	if len(whole.items) > 0 {
		out = append(out, whole)
	}
	complete := len(whole.items) == len(items)
	for _, by := range []struct {
		name  string
		value func(*item) string
	}{
		{ByArea, func(it *item) string { return it.Area }},
		{ByLight, func(it *item) string { return it.light }},
		{ByAsset, func(it *item) string { return it.Asset }},
	} {
		divided := divide(items, by.name, by.value)
		// One value is the region over again, unless that left some out.
		if len(divided) == 1 && len(divided[0].group.Pooled) == 0 && (complete || by.name != ByAsset) {
			continue
		}
		out = append(out, divided...)
	}
	return out
}

// divide makes a part for every value, in order, and puts those with few
// journeys together in the last.
func divide(items []item, by string, value func(*item) string) []part {
	byValue := map[string][]item{}
	for i := range items {
		v := value(&items[i])
		if v == "" {
			v = unnamed
		}
		byValue[v] = append(byValue[v], items[i])
	}
	names := make([]string, 0, len(byValue))
	for v := range byValue {
		names = append(names, v)
	}
	slices.SortFunc(names, func(a, b string) int {
		if c := len(byValue[b]) - len(byValue[a]); c != 0 {
			return c
		}
		return strings.Compare(a, b)
	})
	var out []part
	few := part{group: Group{By: by}}
	for k, v := range names {
		if len(byValue[v]) < MinGroup || k >= maxGroups {
			few.group.Pooled = append(few.group.Pooled, v)
			few.items = append(few.items, byValue[v]...)
			continue
		}
		out = append(out, part{Group{By: by, Value: v}, byValue[v]})
	}
	slices.SortFunc(out, func(a, b part) int { return strings.Compare(a.group.Value, b.group.Value) })
	if len(few.items) > 0 {
		slices.Sort(few.group.Pooled)
		slices.SortFunc(few.items, func(a, b item) int { return a.Row - b.Row })
		out = append(out, few)
	}
	return out
}

// Name is the group in words.
func (g Group) Name() string {
	switch {
	case g.By == ByRegion:
		return "region"
	case len(g.Pooled) == 0:
		return g.By + " " + g.Value
	case len(g.Pooled) == 1:
		return g.By + " " + g.Pooled[0]
	}
	return g.By + " pooled (" + some(g.Pooled, 2) + ")"
}

// some lists the first of some words and how many more there are.
func some(words []string, shown int) string {
	if len(words) <= shown {
		return strings.Join(words, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(words[:shown], ", "), len(words)-shown)
}
