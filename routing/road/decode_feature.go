package road

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/paulmach/orb"

	"surgeonward/facilities"
)

func (d *decoder) road(m, geometry member) {
	line, ok := d.line(geometry)
	if !ok {
		return
	}
	d.out.Roads = append(d.out.Roads, Line{ID: d.id, Name: m.get("name").text(), Class: m.get("class").text(), Line: line})
}

func (d *decoder) area(m, geometry member) {
	a := Area{
		ID: d.id, Name: m.get("name").text(),
		Factor:          m.get("road_factor").number(),
		CruiseMS:        m.get("cruise_kmh").number() * KilometrePerHour,
		AccelerationMS2: m.get("acceleration_kmh_per_min").number() * KilometrePerHourPerMinute,
	}
	if spread := m.get("spread"); spread.given() {
		a.Spread = &Spread{B0Min2: spread.get("b0").number(), B1Min: spread.get("b1").number(), B2: spread.get("b2").number()}
	}
	if a.Factor == 0 && a.CruiseMS == 0 && a.AccelerationMS2 == 0 && a.Spread == nil {
		d.warn(m, "the area changes nothing: give it a road_factor, cruise_kmh, acceleration_kmh_per_min or spread")
	}
	polygon, ok := d.polygon(geometry)
	if !ok {
		return
	}
	a.Polygon = polygon
	d.out.Areas = append(d.out.Areas, a)
}

func (d *decoder) barrier(m, geometry member) {
	b := Barrier{ID: d.id, Name: m.get("name").text(), Water: NoWater}
	water := m.get("water")
	if water.given() {
		b.Water = Water(water.text())
	}
	closed := true
	if geometry.get("type").text() == "Polygon" {
		polygon, ok := d.polygon(geometry)
		if !ok {
			return
		}
		for _, ring := range polygon {
			b.Lines = append(b.Lines, orb.LineString(ring))
		}
		if b.Water == WaterLeft || b.Water == WaterRight {
			d.fault(water, "a polygon has no %s side: say \"inside\", \"outside\" or \"none\"", b.Water)
		}
	} else {
		line, ok := d.line(geometry)
		if !ok {
			return
		}
		b.Lines = []orb.LineString{line}
		closed = line[0] == line[len(line)-1] && len(line) > 3
		if !closed && (b.Water == WaterInside || b.Water == WaterOutside) {
			d.fault(water, "an open line has no inside: say on which side of it the water is, \"left\" or \"right\", or close it by repeating its first position at its end")
		}
	}
	if closed && !water.given() {
		d.warn(m, "a closed barrier that does not say where the water is counts as a wall with land on both sides: add \"water\": \"outside\" for an island, \"inside\" for a lake, or \"none\"")
	}
	d.out.Barriers = append(d.out.Barriers, b)
}

func (d *decoder) crossing(m, geometry member) {
	c := Crossing{
		ID: d.id, Name: m.get("name").text(), Kind: CrossingKind(m.get("crossing").text()),
		LengthM: m.get("length_m").number(), SpeedMS: m.get("speed_kmh").number() * KilometrePerHour,
	}
	if closed := m.get("closed"); closed.given() {
		c.Closed = &Closure{Reason: closed.get("reason").text()}
		// A time that cannot be read is the schema's fault to report.
		if until, err := time.Parse(time.RFC3339, closed.get("until").text()); err == nil {
			c.Closed.Until = until
		}
	}
	for _, item := range m.get("closed_months").items() {
		if n := item.number(); n >= 1 && n <= 12 {
			c.Months[int(n)] = true
		}
	}
	if c.Kind == Ferry {
		c.Service = d.service(m)
		d.refuse(m, "a ferry, whose sailing takes the time it takes", "length_m", "speed_kmh")
	} else {
		d.refuse(m, "a "+string(c.Kind), "interval_s", "hours", "departures", "sailing", "boarding")
	}
	if c.Kind == Ferry || c.Months != [13]bool{} {
		d.needZone(m)
	}
	at := geometry.get("coordinates")
	line, ok := d.line(geometry)
	if !ok {
		return
	}
	if len(line) != 2 {
		d.fault(at, "a crossing is a line of exactly two positions, one on each side: it has %d", len(line))
		return
	}
	c.Ends = [2]orb.Point{line[0], line[1]}
	d.lengthFits(m.get("length_m"), &c)
	d.out.Crossings = append(d.out.Crossings, c)
	d.ends = append(d.ends, at)
}

// needZone warns once that local times will be read as UTC.
func (d *decoder) needZone(m member) {
	if d.opt.Zone == nil && !d.zoneWarned {
		d.zoneWarned = true
		d.warn(m, "timetables and seasons are read in UTC: give the region a time zone")
	}
}

func (d *decoder) refuse(m member, what string, names ...string) {
	for _, name := range names {
		if m.get(name).given() {
			d.fault(m.get(name), "%s does not belong to %s: remove it", name, what)
		}
	}
}

func (d *decoder) service(m member) *Service {
	s := &Service{IntervalS: m.get("interval_s").number()}
	interval, departures := m.get("interval_s"), m.get("departures")
	switch {
	case !interval.given() && !departures.given():
		d.fault(m, "missing field \"interval_s\" or \"departures\": say when the ferry sails")
	case interval.given() && departures.given():
		d.fault(departures, "a ferry sails at intervals or by a timetable: remove interval_s or departures")
	}
	if hours := m.get("hours"); hours.given() {
		if departures.given() {
			d.fault(hours, "hours belong to a ferry that sails at intervals: remove them, the timetable says when it sails")
		}
		s.Hours = hoursRota(hours)
	}
	if !m.get("sailing").given() {
		d.fault(m, "missing field \"sailing\": say how long the ferry takes, {\"typical_s\", \"slow_s\"}")
	}
	s.Sailing, s.Boarding = d.timing(m.get("sailing")), d.timing(m.get("boarding"))
	for _, row := range departures.get("weekly").items() {
		s.Departures = append(s.Departures, timetableRow(row))
	}
	if departures.given() {
		d.bothWays(departures, s)
	}
	return s
}

// bothWays warns of a ferry that never comes back.
func (d *decoder) bothWays(m member, s *Service) {
	for end, word := range [2]string{"start", "end"} {
		if !slices.ContainsFunc(s.Departures, func(r Departures) bool { return r.From[end] }) {
			d.warn(m, "no departure from the %s of the line: nobody can cross from there", word)
		}
	}
}

func timetableRow(m member) Departures {
	row := Departures{Days: days(m.get("days")), From: [2]bool{true, true}}
	switch m.get("from").text() {
	case "start":
		row.From[1] = false
	case "end":
		row.From[0] = false
	}
	for _, item := range m.get("times").items() {
		row.Minutes = append(row.Minutes, minutes(item.text()))
	}
	slices.Sort(row.Minutes)
	return row
}

// timing reads {"typical_s", "slow_s"}; none is no time.
func (d *decoder) timing(m member) facilities.Timing {
	t := facilities.Timing{TypicalS: m.get("typical_s").number(), SlowS: m.get("slow_s").number()}
	if m.get("typical_s").given() && m.get("slow_s").given() && t.SlowS < t.TypicalS {
		d.fault(m.get("slow_s"), "slow_s %v is less than typical_s %v: slow is the time that 9 in 10 stay under", t.SlowS, t.TypicalS)
	}
	return t
}

// hoursRota reads opening hours in the form of the facilities file.
func hoursRota(m member) *facilities.Rota[facilities.Opening] {
	opening := func(m member) facilities.Opening { return facilities.Opening{State: m.get("state").text()} }
	rota := &facilities.Rota[facilities.Opening]{Otherwise: opening(m.get("otherwise"))}
	for _, w := range m.get("weekly").items() {
		from, to := span(w)
		rota.Weekly = append(rota.Weekly, facilities.Window[facilities.Opening]{
			Days: days(w.get("days")), FromMin: from, ToMin: to, Value: opening(w)})
	}
	for _, e := range m.get("exceptions").items() {
		from, to := span(e)
		date, _ := time.Parse(time.DateOnly, e.get("date").text()) // the schema reports what is no date
		rota.Exceptions = append(rota.Exceptions, facilities.Exception[facilities.Opening]{
			Year: date.Year(), Month: int(date.Month()), Day: date.Day(), FromMin: from, ToMin: to, Value: opening(e)})
	}
	return rota
}

const minutesPerDay = 1440

// span reads "from" and "to"; the whole day without them.
func span(m member) (from, to int) {
	to = minutesPerDay
	if m.get("from").given() {
		from = minutes(m.get("from").text())
	}
	if m.get("to").given() {
		to = minutes(m.get("to").text())
	}
	return from, to
}

// minutes reads "07:30"; what the schema has refused reads as 0.
func minutes(text string) int {
	h, m, _ := strings.Cut(text, ":")
	hours, errH := strconv.Atoi(h)
	mins, errM := strconv.Atoi(m)
	if errH != nil || errM != nil || hours < 0 || hours > 24 || mins < 0 || mins > 59 {
		return 0
	}
	return min(hours*60+mins, minutesPerDay)
}

func days(m member) (set [7]bool) {
	words := [7]string{"sun", "mon", "tue", "wed", "thu", "fri", "sat"}
	for _, item := range m.items() {
		if i := slices.Index(words[:], item.text()); i >= 0 {
			set[i] = true
		}
	}
	return set
}
