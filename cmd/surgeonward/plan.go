package main

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/paulmach/orb"

	"surgeonward/api"
	"surgeonward/api/region"
	"surgeonward/api/wire"
	"surgeonward/facilities"
	"surgeonward/geo"
	"surgeonward/routing"
	"surgeonward/routing/coverage"
	"surgeonward/testdata"
)

// planFlags are what every question of planning says: for whom, when and in which
// weather.
type planFlags struct {
	Region string   `help:"Region folder (default: the demonstration region)." placeholder:"DIR"`
	GridKM *float64 `name:"grid-km" help:"Size of the cells, in kilometres (default: 5)." placeholder:"KM" group:"The people:"`
	Demand string   `help:"File of people or incidents, CSV or GeoJSON (default: the region's demand.csv, else areas are counted)." placeholder:"FILE" group:"The people:"`
	Points bool     `help:"Ask at the points of the demand themselves and not on a grid." group:"The people:"`
	Area   string   `help:"GeoJSON file with the polygons to look at (default: the land of the region's roads.geojson)." placeholder:"FILE" group:"The people:"`

	At      string   `help:"The hour, with zone, such as 2031-03-14T21:40:00Z." placeholder:"TIME" group:"The situation:"`
	Date    string   `help:"The day, such as 2031-03-14 (default: today), at noon local time." placeholder:"DATE" group:"The situation:"`
	Night   bool     `help:"At 02:00 local time of that day." group:"The situation:"`
	Away    []string `help:"An asset that is busy; repeat it for more." sep:"none" placeholder:"ASSET" group:"The situation:"`
	Only    []string `help:"Look at this asset only, for the reach of one base; repeat it for more." sep:"none" placeholder:"ASSET" group:"The situation:"`
	Landing string   `help:"Can a helicopter land beside the patient: possible, impossible or unknown." default:"possible" placeholder:"WORD" group:"The situation:"`

	weatherFlags `embed:""`

	Quiet bool `help:"Show no progress."`
	Width int  `help:"Columns to print in (default: the terminal's, else 80)." placeholder:"N"`
}

const (
	usualGridKM = 5
	marginM     = 20_000 // around the facilities, where no map says what is land
)

// check finds what the flags get wrong among themselves.
func (f *planFlags) check() error {
	switch {
	case f.At != "" && (f.Date != "" || f.Night):
		return usageError{errors.New("--at says day and hour: leave --date and --night out")}
	case f.Points && f.GridKM != nil:
		return usageError{errors.New("--points asks at points and --grid-km on a grid: keep one")}
	case f.Weather != "" && f.Region != "":
		return usageError{errors.New("the weathers belong to the demonstration region: use --report or --reports")}
	}
	return f.readWeather()
}

// hour is when, and what that is called.
func (f *planFlags) hour(zone *time.Location, now time.Time) (time.Time, string, error) {
	if f.At != "" {
		at, err := time.Parse(time.RFC3339, f.At)
		if err != nil {
			return at, "", usageError{errors.New("--at: write a time with zone, such as 2031-03-14T21:40:00Z")}
		}
		return at, "at the hour given", nil
	}
	day := now.In(zone)
	if f.Date != "" {
		var err error
		if day, err = time.ParseInLocation(time.DateOnly, f.Date, zone); err != nil {
			return day, "", usageError{errors.New("--date: write a day, such as 2031-03-14")}
		}
	}
	hour, name := 12, "by day"
	if f.Night {
		hour, name = 2, "by night"
	}
	return time.Date(day.Year(), day.Month(), day.Day(), hour, 0, 0, 0, zone), name, nil
}

// situation is what the flags ask of a region.
func (f *planFlags) situation(r *region.Region, now time.Time) (coverage.Situation, error) {
	at, name, err := f.hour(r.Settings.Zone, now)
	if err != nil {
		return coverage.Situation{}, err
	}
	if err := f.readDemoWeather(at.Format(time.RFC3339)); err != nil {
		return coverage.Situation{}, err
	}
	f.Weather = "" // it has been read
	request := map[string]any{"at": at.Format(time.RFC3339), "scene": map[string]any{"landing": f.Landing}}
	for _, m := range f.weatherFlags.members() {
		if m.given {
			set(request, m.path, m.value)
		}
	}
	var states []any
	for _, id := range f.Away {
		states = append(states, map[string]any{"asset": id, "state": routing.Committed})
		name += ", without " + id
	}
	assets := map[string]any{}
	if states != nil {
		assets["states"] = states
	}
	if len(f.Only) > 0 {
		assets["only"] = f.Only
		name += ", by " + strings.Join(f.Only, ", ") + " only"
	}
	if len(assets) > 0 {
		request["assets"] = assets
	}
	q, err := decodeSituation(request, r, now)
	return coverage.Situation{Name: name, Share: 1, Question: q}, f.explain(err)
}

// decodeSituation reads a request that has no place.
func decodeSituation(request map[string]any, r *region.Region, now time.Time) (routing.Question, error) {
	at := middle(r.Facilities)
	if !set(request, []string{"scene", "position"}, []any{at.Lon(), at.Lat()}) {
		return routing.Question{}, errors.New("scene must be an object")
	}
	body, err := json.Marshal(request)
	if err != nil {
		return routing.Question{}, err
	}
	decoder, err := api.NewDecoder()
	if err != nil {
		return routing.Question{}, err
	}
	got, err := decoder.Decode(body, r, now)
	if err != nil {
		return routing.Question{}, err
	}
	return got.Question, r.Engine.Check(got.Question)
}

// explain puts flags in place of the members they set.
func (f *planFlags) explain(err error) error {
	var lines faultsError
	for _, fault := range requestFaults(err) {
		where := fault.Pointer
		for _, of := range []struct{ member, flag string }{{"#/scene/landing", "--landing"}, {"#/assets/states", "--away"}, {"#/assets/only", "--only"}, {"#/at", "--at"},
			{"#/conditions/wind", "--wind"}, {"#/conditions/ceiling_ft", "--ceiling-ft"}, {"#/conditions/visibility_m", "--visibility-m"}} {
			if strings.HasPrefix(fault.Pointer, of.member) {
				where = of.flag
			}
		}
		if from, ok := f.origin(fault.Pointer); ok {
			where = from
		}
		lines = append(lines, where+": "+fault.Detail)
	}
	if lines == nil {
		return err
	}
	return usageError{lines}
}

// requestFaults are the faults of a request; nil where it has none.
func requestFaults(err error) []wire.Fault {
	var asked *wire.RequestError
	var question *routing.QuestionError
	switch {
	case errors.As(err, &asked):
		return asked.Faults
	case errors.As(err, &question):
		return wire.Pointers(question.Faults)
	}
	return nil
}

// middle is a place in the region; 0, 0 where it is empty.
func middle(list *facilities.List) orb.Point {
	for _, f := range list.All() {
		return f.Position
	}
	return orb.Point{}
}

// people is the demand that the flags ask for, and in words where it is counted.
func (f *planFlags) people(r *region.Region) (*coverage.Demand, string, []string, error) {
	points, fileArea, from, err := f.points()
	if err != nil {
		return nil, "", nil, err
	}
	if f.Points {
		if len(points) == 0 {
			return nil, "", nil, usageError{errors.New("--points: there is no demand to ask at: give --demand")}
		}
		d := coverage.AtPoints(points)
		return d, fmt.Sprintf("%s people at %d points of %s.", coverage.Count(d.People()), len(points), from), nil, nil
	}
	area, notes, err := f.area(r, fileArea)
	if err != nil {
		return nil, "", nil, err
	}
	km := float64(usualGridKM)
	if f.GridKM != nil {
		km = *f.GridKM
	}
	g, err := coverage.NewGrid(area, km*1000)
	if err != nil {
		return nil, "", nil, err
	}
	d := coverage.OnGrid(g, points)
	words := fmt.Sprintf("%s km2 in %d cells of %g km by %g km", coverage.Count(d.AreaM2()/1e6), g.Len(), km, km)
	if len(points) > 0 {
		words = fmt.Sprintf("%s people of %s on %s", coverage.Count(d.People()), from, words)
	} else {
		notes = append(notes, "no demand is given: areas are counted, and no people")
	}
	return d, words + ".", notes, nil
}

// points are the people of the file named, or of the region.
func (f *planFlags) points() (points []coverage.Cell, area coverage.Area, from string, err error) {
	name := f.Demand
	var data []byte
	switch {
	case name != "":
		data, err = os.ReadFile(name)
	case f.Region == "":
		name = demandFileName
		data, err = fs.ReadFile(testdata.Demo, name)
	default:
		name = demandFileName
		data, err = os.ReadFile(filepath.Join(f.Region, name))
		if errors.Is(err, fs.ErrNotExist) {
			return nil, nil, "", nil
		}
	}
	if err != nil {
		return nil, nil, "", err
	}
	from = filepath.Base(name)
	if start := bytes.TrimLeft(data, " \t\r\n"); len(start) > 0 && start[0] == '{' {
		points, area, err = coverage.DecodeGeoJSON(data)
	} else {
		points, err = coverage.DecodeCSV(data)
	}
	return points, area, from, inFile(name, err)
}

// inFile says which file faults are in.
func inFile(name string, err error) error {
	var faults coverage.Faults
	if !errors.As(err, &faults) {
		return err
	}
	var lines faultsError
	for _, f := range faults {
		lines = append(lines, fmt.Sprintf("%s: %s: %s", name, f.At, f.Detail))
	}
	return lines
}

// area is the polygons named, else those beside the people, else the land of the
// region, else the box around what it has.
func (f *planFlags) area(r *region.Region, beside coverage.Area) (coverage.Area, []string, error) {
	if f.Area != "" {
		data, err := os.ReadFile(f.Area)
		if err != nil {
			return nil, nil, err
		}
		_, area, err := coverage.DecodeGeoJSON(data)
		if err == nil && len(area) == 0 {
			err = fmt.Errorf("%s has no polygon", f.Area)
		}
		return area, nil, inFile(f.Area, err)
	}
	if len(beside) > 0 {
		return beside, nil, nil
	}
	if land := coverage.Land(r.RoadMap()); len(land) > 0 {
		return land, nil, nil
	}
	note := fmt.Sprintf("no map says what is land: the box around the region's facilities and %g km more is looked at, the sea in it too", marginM/1000.0)
	return box(r.Facilities), []string{note}, nil
}

func box(list *facilities.List) coverage.Area {
	ref := middle(list)
	var bound orb.Bound
	for i, f := range list.All() {
		for bearing := 0.0; bearing < 360; bearing += 90 {
			p := geo.Destination(f.Position, bearing, marginM)
			for p[0]-ref[0] > 180 {
				p[0] -= 360
			}
			for ref[0]-p[0] > 180 {
				p[0] += 360
			}
			if i == 0 && bearing == 0 {
				bound = p.Bound()
			}
			bound = bound.Extend(p)
		}
	}
	return coverage.Area{bound.ToPolygon()}
}

// nameOf is what an asset or a facility is called.
func nameOf(r *region.Region) func(id string) string {
	return func(id string) string {
		if f, ok := r.Facilities.Get(id); ok {
			return cmp.Or(f.Name, id)
		}
		for _, a := range r.Fleet.Assets() {
			if a.ID == id {
				return cmp.Or(a.Name, id)
			}
		}
		return ""
	}
}
