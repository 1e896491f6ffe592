package coverage

import (
	"cmp"
	"math"
	"slices"
	"strings"
)

// BandsS are the limits that people are counted within, in seconds.
var BandsS = []float64{15 * 60, 30 * 60, 45 * 60, 60 * 60, 90 * 60, 120 * 60}

// Band is who is within some seconds of a surgeon, at typical times.
type Band struct {
	WithinS float64
	People  float64
	AreaM2  float64
}

// Quantile is a time that a share of all stays within; +Inf: they are not reached.
type Quantile struct{ MedianS, P90S float64 }

// Place is a cell for people.
type Place struct {
	Name   string
	Cell   int
	People float64
	TimeS  float64 // +Inf: not reached
}

// Load is what one asset, hospital or shape of option carries.
type Load struct {
	ID     string
	People float64
	AreaM2 float64
	Cells  int
}

// Summary is a result in figures.
type Summary struct {
	People, AreaM2   float64
	Reached          Band // anybody at all: WithinS is +Inf
	Bands            []Band
	ByPeople, ByArea Quantile // of all, those who are not reached included
	Slow             Quantile // by people, at slow times
	MeanS            float64  // by people, of those who are reached; NaN: nobody is
	Curve            []Band   // by the minute, up to the last band
	Worst            []Place  // the longest times first, one for each name
	Assets           []Load   // by the first asset, the most people first
	Hospitals        []Load
	Shapes           []Load
	LostS            Quantile // by people who are reached: while the first asset is away; only with Result.Second
}

// worstPlaces is how many of the worst places are named.
const worstPlaces = 10

// Summary counts. Cells are added up in their order, so that the figures are the
// same every time.
func (r *Result) Summary() Summary {
	cells := r.Demand.Cells
	s := Summary{People: r.Demand.People(), AreaM2: r.Demand.AreaM2(), MeanS: math.NaN()}
	times := make([]float64, len(cells))
	slow := make([]float64, len(cells))
	for i := range cells {
		times[i], slow[i] = r.Outcomes[i].Seconds(), r.Outcomes[i].SlowSeconds()
	}
	s.Reached = within(cells, times, math.MaxFloat64)
	s.Reached.WithinS = math.Inf(1)
	for _, limit := range BandsS {
		s.Bands = append(s.Bands, within(cells, times, limit))
	}
	people := func(i int) float64 { return cells[i].People }
	area := func(i int) float64 { return cells[i].AreaM2 }
	s.ByPeople, s.ByArea, s.Slow = quantiles(times, people), quantiles(times, area), quantiles(slow, people)
	if s.Reached.People > 0 {
		sum := 0.0
		for i := range cells {
			if r.Outcomes[i].Reached {
				sum += cells[i].People * times[i]
			}
		}
		s.MeanS = sum / s.Reached.People
	}
	s.Curve = curve(cells, times)
	s.Worst = r.worst(times)
	s.Assets = r.loads(func(o *Outcome) string { return o.Asset() })
	s.Hospitals = r.loads(func(o *Outcome) string { return o.Destination })
	s.Shapes = r.loads(func(o *Outcome) string { return string(o.Shape) })
	if r.Second {
		s.LostS = r.lost()
	}
	return s
}

func within(cells []Cell, times []float64, limitS float64) Band {
	b := Band{WithinS: limitS}
	for i := range cells {
		if times[i] <= limitS {
			b.People += cells[i].People
			b.AreaM2 += cells[i].AreaM2
		}
	}
	return b
}

// curve is who is within each minute, in one pass over the cells by their times.
func curve(cells []Cell, times []float64) []Band {
	order := byTime(times)
	var out []Band
	b := Band{}
	k := 0
	for limit := 60.0; limit <= BandsS[len(BandsS)-1]; limit += 60 {
		for ; k < len(order) && times[order[k]] <= limit; k++ {
			b.People += cells[order[k]].People
			b.AreaM2 += cells[order[k]].AreaM2
		}
		b.WithinS = limit
		out = append(out, b)
	}
	return out
}

// byTime is the cells in the order of their times, then of their numbers.
func byTime(times []float64) []int {
	order := make([]int, len(times))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(times[a], times[b]) })
	return order
}

// quantiles are the least times that half and nine tenths of all the weight stay
// within; NaN where there is no weight.
func quantiles(times []float64, weight func(i int) float64) Quantile {
	total := 0.0
	for i := range times {
		total += weight(i)
	}
	q := Quantile{math.NaN(), math.NaN()}
	if total == 0 {
		return q
	}
	sum := 0.0
	for _, i := range byTime(times) {
		if weight(i) == 0 {
			continue
		}
		sum += weight(i)
		if math.IsNaN(q.MedianS) && sum >= total*0.5*notMore {
			q.MedianS = times[i]
		}
		if math.IsNaN(q.P90S) && sum >= total*0.9*notMore {
			q.P90S = times[i]
		}
	}
	return q
}

// notMore keeps a share that is met exactly from being missed by rounding.
const notMore = 1 - 1e-12

// worst are the places with people in them that wait longest, one cell for each
// name.
func (r *Result) worst(times []float64) (out []Place) {
	order := byTime(times)
	slices.Reverse(order)
	seen := map[string]bool{}
	for _, i := range order {
		c := &r.Demand.Cells[i]
		if c.People == 0 || c.Name != "" && seen[c.Name] {
			continue
		}
		seen[c.Name] = true
		if out = append(out, Place{c.Name, i, c.People, times[i]}); len(out) == worstPlaces {
			break
		}
	}
	return out
}

// loads adds the cells up by a word of their outcome, of those who are reached.
func (r *Result) loads(word func(*Outcome) string) []Load {
	at := map[string]int{}
	var out []Load
	for i := range r.Outcomes {
		o := &r.Outcomes[i]
		if !o.Reached {
			continue
		}
		id := word(o)
		k, known := at[id]
		if !known {
			k = len(out)
			at[id] = k
			out = append(out, Load{ID: id})
		}
		out[k].People += r.Demand.Cells[i].People
		out[k].AreaM2 += r.Demand.Cells[i].AreaM2
		out[k].Cells++
	}
	slices.SortFunc(out, func(a, b Load) int {
		return cmp.Or(cmp.Compare(b.People, a.People), cmp.Compare(b.AreaM2, a.AreaM2), strings.Compare(a.ID, b.ID))
	})
	return out
}

func (r *Result) lost() Quantile {
	lost := make([]float64, len(r.Outcomes))
	for i := range lost {
		lost[i] = r.Outcomes[i].LostS()
	}
	return quantiles(lost, func(i int) float64 {
		if !r.Outcomes[i].Reached {
			return 0
		}
		return r.Demand.Cells[i].People
	})
}
