package testdata_test

import (
	"flag"
	"fmt"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/routing"
)

var update = flag.Bool("update", false, "rewrite the golden files")

const underWeather = "scenarios/UNDER_WEATHER.md"

// The document is written by the engine, so that what it says stays true.
// Source: it was read when it was made; it shows every change.
func TestUnderWeatherIsTrue(t *testing.T) {
	got := underWeatherDocument(t)
	if *update {
		require.NoError(t, os.WriteFile(underWeather, []byte(got), 0o644))
	}
	want, err := os.ReadFile(underWeather)
	require.NoError(t, err)
	assert.Equal(t, string(want), got, "go test ./testdata -run UnderWeather -update rewrites it")
}

// titles are the scenarios in the order of the document.
var titles = []struct{ name, title string }{
	{"harbour-stabbing", "A stabbing on the quay of Ossuvaune, on a Friday evening in the dark"},
	{"village-child", "A crushed child in the far west, at midday"},
	{"cliff-path", "A fall on the cliff path of the northern cape, in the afternoon"},
	{"hospital-transfer", "A transfer out of Quorreth Hospital, in the morning"},
	{"not-the-nearest", "A woman on the shore of the strait, after midnight"},
	{"far-island", "A crushed farmer on the third island, in the morning"},
	{"woods-by-night", "A cold forester under a tree in the south-west, in the evening in the dark"},
}

func underWeatherDocument(t *testing.T) string {
	t.Helper()
	require.Len(t, titles, len(scenarios(t)))
	var b strings.Builder
	b.WriteString(underWeatherHead)
	for _, s := range titles {
		at := scenarios(t)[s.name].At.In(engine(t).Settings.Zone)
		fmt.Fprintf(&b, "\n## %s\n\n%s: `%s.json`, %s local.\n\n", s.title, lightAt(t, s.name), s.name, at.Format("2 January 2006, 15:04"))
		b.WriteString("| weather | first way out | typical | slow | what changes, and why |\n| --- | --- | ---: | ---: | --- |\n")
		calm := ask(t, s.name, noWeather)
		for _, kind := range weathers {
			ans := ask(t, s.name, kind)
			best := ans.Options[0]
			change := "still air, and nobody asks about cloud"
			if kind != noWeather {
				change = changes(t, s.name, kind, calm, ans)
			}
			fmt.Fprintf(&b, "| %s | %s | %s | %s | %s |\n", weatherName(kind), summary(best),
				inMinutes(best.Total.TypicalS), inMinutes(best.Total.SlowS), change)
		}
	}
	return b.String()
}

func lightAt(t *testing.T, name string) string {
	if ask(t, name, noWeather).Night {
		return "By night"
	}
	return "By day"
}

func weatherName(kind string) string {
	if kind == noWeather {
		return "none given"
	}
	return strings.ReplaceAll(kind, "-", " ")
}

// summary is the option's sentence without its times, which have columns of
// their own.
func summary(o routing.Option) string {
	who, _, _ := strings.Cut(o.Sentence, ": with the surgeon in")
	return who + "; held up by " + o.HeldUpBy
}

// changes says what the weather does to the first way out, as a dispatcher
// would ask: is it the same, how much later, and why.
func changes(t *testing.T, name, kind string, calm, now routing.Answer) string {
	t.Helper()
	before, best := calm.Options[0], now.Options[0]
	said := []string{"the same way", later(before, best)}
	if best.ID != before.ID {
		said[0] = "another way"
		said = append(said, because(t, name, kind, before, now))
	}
	flights := winds(best)
	if len(flights) == 0 && best.ID == before.ID {
		said = append(said, "nothing in it flies")
	}
	said = append(said, flights...)
	for _, c := range best.Cautions {
		said = append(said, "caution: "+c)
	}
	return strings.Join(said, "; ")
}

// later compares the minutes that the table shows.
func later(before, now routing.Option) string {
	switch minutes := roundMinutes(now.Total.TypicalS) - roundMinutes(before.Total.TypicalS); {
	case minutes > 0:
		return inMinutes(float64(60*minutes)) + " later"
	case minutes < 0:
		return inMinutes(float64(-60*minutes)) + " sooner"
	}
	return "no later and no sooner"
}

// because is why what was the first way out is not the first any more: it is
// ruled out, it meets somewhere else, or it has become slower.
func because(t *testing.T, name, kind string, before routing.Option, now routing.Answer) string {
	t.Helper()
	for _, o := range now.Options {
		if o.ID == before.ID {
			return fmt.Sprintf("the other is still possible, in %s", inMinutes(o.Total.TypicalS))
		}
	}
	for _, n := range now.NotPossible {
		if n.Shape == before.Shape && n.Destination == before.Destination.ID && flies(t, n.Asset) && slices.Contains(before.Assets, n.Asset) {
			return fmt.Sprintf("%s cannot fly: %s", assetName(t, n.Asset), brief(n.Reasons[0]))
		}
	}
	parts := strings.Split(before.ID, ":") // shape, assets, meeting place, destination
	require.Len(t, parts, 4, before.ID)
	site := parts[2]
	f, ok := engine(t).Facilities.Get(site)
	require.True(t, ok, before.ID)
	for _, id := range before.Assets {
		if !flies(t, id) {
			continue
		}
		reasons := atSite(t, name, kind, id, site)
		require.NotEmpty(t, reasons, before.ID)
		return fmt.Sprintf("%s cannot land at %s: %s", assetName(t, id), f.Name, brief(reasons[0]))
	}
	require.Fail(t, "no reason found", before.ID)
	return ""
}

// brief is a reason without the regulation's name, which is the same in all.
func brief(r routing.Reason) string {
	return regulation.ReplaceAllString(r.Detail, "; its minima ask for ")
}

var (
	regulation = regexp.MustCompile(`; Regulation .* asks for `)
	alongWind  = regexp.MustCompile(`(head|tail) wind (\d+) kt`)
)

// winds are the flights of the way with their winds, in the order of the clock.
func winds(o routing.Option) (said []string) {
	hangs := false
	for _, a := range o.Plan {
		if a.Kind != routing.KindTravel || !a.ByAir {
			continue
		}
		hangs = hangs || a.Critical
		w := alongWind.FindStringSubmatch(a.Basis)
		switch {
		case w == nil:
		case w[2] == "0":
			said = append(said, "wind across "+onTheWay(a.ID))
		default:
			said = append(said, w[0]+" "+onTheWay(a.ID))
		}
	}
	if len(said) > 0 && !hangs {
		said = append(said, "the time does not hang on the flight")
	}
	return said
}

func onTheWay(id string) string {
	switch {
	case strings.HasPrefix(id, "meeting_"):
		return "to the meeting"
	case id == "team_travel":
		return "with the team on board"
	case strings.HasPrefix(id, "team_"):
		return "to fetch the team"
	case id == "travel_to_scene":
		return "to the patient"
	}
	return "with the patient on board"
}

func flies(t *testing.T, id string) bool {
	for _, a := range engine(t).Fleet.Assets() {
		if a.ID == id {
			return a.Flies()
		}
	}
	return false
}

func assetName(t *testing.T, id string) string {
	for _, a := range engine(t).Fleet.Assets() {
		if a.ID == id {
			return a.Name
		}
	}
	require.Fail(t, "no asset "+id)
	return ""
}

func roundMinutes(s float64) int {
	return int(time.Duration(s*float64(time.Second)).Round(time.Minute) / time.Minute)
}

// inMinutes writes seconds as whole minutes, or as hours and minutes.
func inMinutes(s float64) string {
	m := roundMinutes(s)
	if m < 60 {
		return fmt.Sprintf("%d min", m)
	}
	return fmt.Sprintf("%d h %02d min", m/60, m%60)
}

const underWeatherHead = `# The scenarios under the weather

The seven patients of [README.md](README.md), each in three kinds of weather of the demo region and with none given.
Clock, light and people stay the same; only wind, cloud and visibility change, so that a foggy morning can come at
midnight. Nothing and nobody here exists. The tables are written by the program itself:
` + "`go test ./testdata -run UnderWeather -update`" + ` writes them again.

How to read them:

- *typical*: every step at its median. *slow*: 9 in 10 such cases are quicker, drawn with what ways have in common.
  Both count from the call to the instant when patient, surgeon and theatre are together.
- *none given*: nobody has told the program about the weather. It then flies in still air and checks no minima, and its
  answer says so.
- *clear day*: 10 kt and less from the west, no ceiling.
- *windy night*: 28 to 39 kt from the west-south-west, rain, ceiling 1100 ft in the west (QQRR) and up to 2200 ft on the
  third island (QQUS). Flights to the west are longer, flights to the east shorter.
- *foggy morning*: fog of 350 m at Ossuvaune (QQOV), mist and cloud at 300 ft at Quorreth (QQRR) and Luorimaune (QQLU),
  600 ft on the third island (QQUS). No helicopter leaves its base. The aeroplane flies on instruments, but not to or
  from Ossuvaune.
- A stop at a nearer hospital for blood costs time and comes first nowhere here. It is in every answer, further down,
  for the physician to choose.
`
