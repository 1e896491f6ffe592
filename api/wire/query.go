package wire

import (
	"fmt"
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"surgeonward/api/region"
	"surgeonward/facilities/strictjson"
	"surgeonward/geo/position"
)

// parameter is one query parameter of the quick form, and the member of the
// JSON form that it stands for.
type parameter struct {
	name    string
	path    []string
	number  bool
	truth   bool
	list    bool // separated by commas
	repeat  bool // given once for each item
	instant bool // RFC 3339
}

var parameters = []parameter{
	{name: "scene", path: []string{"scene", "position_text"}},
	{name: "facility", path: []string{"scene", "facility"}},
	{name: "uncertainty_m", path: []string{"scene", "uncertainty_m"}, number: true},
	{name: "landing", path: []string{"scene", "landing"}},
	{name: "at", path: []string{"at"}, instant: true},
	{name: "age_years", path: []string{"patient", "age_years"}, number: true},
	{name: "needs", path: []string{"patient", "needs"}, list: true},
	{name: "escort", path: []string{"patient", "escort"}},
	{name: "only", path: []string{"assets", "only"}, list: true},
	{name: "winch", path: []string{"scene", "winch"}, truth: true},
	{name: "wind_from_deg", path: []string{"conditions", "wind", "from_deg"}, number: true},
	{name: "wind_speed_kt", path: []string{"conditions", "wind", "speed_kt"}, number: true},
	{name: "ceiling_ft", path: []string{"conditions", "ceiling_ft"}, number: true},
	{name: "visibility_m", path: []string{"conditions", "visibility_m"}, number: true},
	{name: "report", path: []string{"conditions", "reports"}, repeat: true},
	{name: "output_lost_at", path: []string{"output_lost_at"}, instant: true},
	{name: "output_regained_at", path: []string{"output_regained_at"}, instant: true},
	{name: "rank_by", path: []string{"rank_by"}},
	{name: "target_s", path: []string{"target_s"}, number: true},
	{name: "limit", path: []string{"limit"}, number: true},
}

// Parameters lists the query parameters of the quick form.
func Parameters() []string {
	names := make([]string, len(parameters))
	for i, p := range parameters {
		names[i] = p.name
	}
	return names
}

// jsonNumber is a number as JSON has it: no NaN, no hexadecimal, no thousands.
var jsonNumber = regexp.MustCompile(`^-?(0|[1-9][0-9]{0,15})(\.[0-9]{1,15})?$`)

// isMessage reports whether a position is that of a message which can name people.
func isMessage(text string) bool {
	parsed, err := position.Parse(text)
	return err == nil && parsed.Format.IsMessage()
}

// DecodeQuery reads the quick form: the raw query of GET /v1/options. It makes
// the JSON form of it and reads that, so that both forms mean the same.
func (d *Decoder) DecodeQuery(raw string, r *region.Region, now time.Time) (Request, error) {
	values, err := url.ParseQuery(raw)
	if err != nil {
		return Request{}, &RequestError{Kind: Query, Faults: []Fault{{
			Parameter: "query", Detail: "the query cannot be read: encode % as %25, & as %26 and ; as %3B",
		}}}
	}
	body, faults := fromQuery(values)
	b := builder{region: r, faults: slices.DeleteFunc(d.schema.CheckValue(body), halfSaid)}
	q := b.request(member{value: body}, now)
	switch scene, facility := values.Has("scene"), values.Has("facility"); {
	case scene && facility:
		faults = append(faults, Fault{Parameter: "scene", Detail: "scene and facility exclude each other: keep one"})
	case scene && isMessage(values.Get("scene")):
		faults = append(faults, Fault{Parameter: "scene", Detail: "a message between machines can name a person's telephone, and addresses are kept in many places: send it with POST /v1/options"})
	case !scene && !facility:
		faults = append(faults, Fault{Parameter: "scene", Detail: "missing: give scene=latitude,longitude or facility=id"})
	}
	switch from, speed := values.Has("wind_from_deg"), values.Has("wind_speed_kt"); {
	case from && !speed:
		faults = append(faults, Fault{Parameter: "wind_speed_kt", Detail: "missing: a wind has wind_from_deg and wind_speed_kt"})
	case speed && !from:
		faults = append(faults, Fault{Parameter: "wind_from_deg", Detail: "missing: a wind has wind_from_deg and wind_speed_kt"})
	}
	if len(faults)+len(b.faults) > 0 {
		return Request{}, &RequestError{Kind: Query, Faults: append(faults, QueryFaults(b.all(&q))...)}
	}
	return q, nil
}

// QueryBody writes a query that DecodeQuery takes as the body of the
// POST /v1/options that asks the same.
func QueryBody(raw string) ([]byte, error) {
	values, err := url.ParseQuery(raw)
	if err != nil {
		return nil, err
	}
	body, _ := fromQuery(values)
	return JSON(body)
}

// halfSaid picks the schema's faults that say of an object what is missing in
// it: in a query it is a parameter that is missing, and DecodeQuery says so.
func halfSaid(f strictjson.Fault) bool {
	return f.Pointer == "" || f.Pointer == "/scene" || f.Pointer == "/conditions/wind"
}

func fromQuery(values url.Values) (body map[string]any, faults []Fault) {
	body = map[string]any{}
	for _, p := range parameters {
		given := values[p.name]
		if len(given) == 0 {
			continue
		}
		if len(given) > 1 && !p.repeat {
			faults = append(faults, Fault{Parameter: p.name, Detail: "given more than once: keep one" + commas(p)})
			continue
		}
		value, detail := p.read(given)
		if detail != "" {
			faults = append(faults, Fault{Parameter: p.name, Detail: detail})
			continue
		}
		object := body
		for _, name := range p.path[:len(p.path)-1] {
			inner, ok := object[name].(map[string]any)
			if !ok {
				inner = map[string]any{}
				object[name] = inner
			}
			object = inner
		}
		object[p.path[len(p.path)-1]] = value
	}
	return body, append(faults, unknown(values)...)
}

func commas(p parameter) string {
	if p.list {
		return ", and separate its words by commas"
	}
	return ""
}

func (p parameter) read(given []string) (value any, detail string) {
	text := given[0]
	switch {
	case p.repeat:
		items := make([]any, len(given))
		for i, item := range given {
			items[i] = item
		}
		return items, ""
	case p.truth:
		if text != "true" && text != "false" {
			return nil, fmt.Sprintf("%s must be true or false (got %s)", p.name, strictjson.Quote(text))
		}
		return text == "true", ""
	case p.number:
		n, err := strconv.ParseFloat(text, 64)
		if err != nil || !jsonNumber.MatchString(text) {
			return nil, fmt.Sprintf("%s must be a plain number (got %s)", p.name, strictjson.Quote(text))
		}
		return n, ""
	case p.list:
		words := []any{}
		for word := range strings.SplitSeq(text, ",") {
			if word = strings.TrimSpace(word); word != "" {
				words = append(words, word)
			}
		}
		return words, ""
	case p.instant:
		// A plus sign that was not encoded as %2B arrives as a space, and no
		// time has a space in it.
		return strings.ReplaceAll(text, " ", "+"), ""
	}
	return text, ""
}

// maxUnknown is how many unknown parameters are named one by one.
const maxUnknown = 20

// unknown refuses parameters that the quick form does not have.
func unknown(values url.Values) []Fault { return UnknownParameters(values, Parameters()) }

// UnknownParameters refuses parameters that are not known, in order of their
// names.
func UnknownParameters(values url.Values, known []string) (faults []Fault) {
	var names []string
	for name := range values {
		if !slices.Contains(known, name) {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	for i, name := range names {
		if i == maxUnknown {
			return append(faults, Fault{Parameter: "(more)", Detail: fmt.Sprintf("%d more unknown parameters: remove them", len(names)-i)})
		}
		detail := "unknown parameter: remove it"
		if len(known) > 0 {
			detail += ", or use one of " + strings.Join(known, ", ")
		}
		if near, ok := strictjson.Nearest(name, known); ok {
			detail = "unknown parameter: did you mean " + near + "?"
		}
		faults = append(faults, Fault{Parameter: shown(name), Detail: detail})
	}
	return faults
}

// shown is a caller's own name for a parameter, made short and printable.
func shown(name string) string {
	if name == "" {
		return "(no name)"
	}
	quoted := strictjson.Quote(name)
	return quoted[1 : len(quoted)-1]
}

// QueryFaults says which parameter each fault of the JSON form comes from.
func QueryFaults(faults []strictjson.Fault) []Fault {
	out := make([]Fault, len(faults))
	for i, f := range faults {
		out[i] = Fault{Parameter: parameterOf(f.Pointer), Detail: f.Detail}
	}
	return out
}

// parameterOf finds the parameter whose member holds, or is held by, the value
// at fault. A scene that is wrong as a whole is the parameter scene.
func parameterOf(pointer string) string {
	if strings.HasPrefix(pointer, "/scene/position") {
		return "scene"
	}
	for _, p := range parameters {
		own := strictjson.Pointer(p.path...)
		if pointer == own || strings.HasPrefix(pointer, own+"/") || strings.HasPrefix(own, pointer+"/") {
			return p.name
		}
	}
	return "scene"
}
