package record_test

import (
	"encoding/json"
	"io/fs"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api/record"
	"surgeonward/testdata"
)

const (
	metar = "METAR QQOV 142120Z 24018G30KT 8000 -RA BKN018 09/07 Q0991 NOSIG"
	taf   = "TAF QQOV 141700Z 1418/1518 24018KT 9999 BKN020 TEMPO 1420/1424 4000 RA BKN008"
)

func text(s string) string {
	b, err := json.Marshal(s)
	if err != nil {
		panic(err) // a string: cannot happen
	}
	return string(b)
}

func TestCheckAccepts(t *testing.T) {
	tests := []struct{ name, question, source string }{
		{"the interface's example", question, "interface"},
		{"position in degrees and minutes", `{"scene":{"position_text":"45 31.2N 029 24.6W"}}`, "interface"},
		{"position with words", `{"scene":{"position_text":"N 45 31.2 W 029 24.6"}}`, "four groups, two of them letters"},
		{"grid", `{"scene":{"position_text":"26T NR 12345 67890"}}`, "MGRS"},
		{"reports", `{"conditions":{"reports":[` + text(metar) + `,` + text(taf) + `]}}`, "Annex 3 forms"},
		{"remarks of the trade", `{"conditions":{"reports":[` + text(metar[:len(metar)-6]+" RMK AO2 PK WND 24035/2052 CB DSNT W MOV E SLP015") + `]}}`,
			"remarks as in FMH-1 chapter 12, from memory"},
		{"a group that cannot be read", `{"conditions":{"reports":[` + text(metar[:len(metar)-6]+" XYZZY") + `]}}`, "definition"},
		{"added asset", `{"assets":{"add":[{"id":"heli-x","name":"Rescue helicopter 3","kind":"helicopter","skills":["physician"],"minima":"spa_hems_120_class_3"}]}}`,
			"a name as in the demonstration region"},
		{"two words", `{"assets":{"add":[{"name":"Coast guard 42"}]}}`, "definition"},
		{"times", `{"at":"2031-03-14T21:40:00.123456789+01:00","assets":{"states":[{"asset":"amb-11","free_at":"2031-03-14T22:00:00Z"}]}}`, "interface"},
		{"id of a facility with a long number", `{"scene":{"facility":"node-1234567890"}}`, "an id of the region's own file"},
		{"longest text", `{"scene":{"facility":` + text(strings.Repeat("a", record.MaxText)) + `}}`, "definition"},
		{"letters beyond ASCII", `{"assets":{"add":[{"name":"Ambulanse Ærø 5"}]}}`, "definition"},
		{"nothing", `{}`, "definition"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) { require.NoError(t, record.Check([]byte(test.question)), test.source) })
	}
}

// A guard that refuses what people really ask would leave the record empty.
func TestCheckAcceptsTheDemonstration(t *testing.T) {
	scenarios, err := fs.Glob(testdata.Scenarios, "*.json")
	require.NoError(t, err)
	require.NotEmpty(t, scenarios)
	for _, name := range scenarios {
		body, err := fs.ReadFile(testdata.Scenarios, name)
		require.NoError(t, err)
		require.NoError(t, record.Check(body), name)
	}
	weather, err := fs.Glob(testdata.Demo, "weather/*.txt")
	require.NoError(t, err)
	require.NotEmpty(t, weather)
	for _, name := range weather {
		reports, err := fs.ReadFile(testdata.Demo, name)
		require.NoError(t, err)
		for line := range strings.Lines(string(reports)) {
			if line = strings.TrimSpace(line); line != "" {
				require.NoError(t, record.Check([]byte(`{"conditions":{"reports":[`+text(line)+`]}}`)), line)
			}
		}
	}
	fleet, err := fs.ReadFile(testdata.Demo, "fleet.json")
	require.NoError(t, err)
	var assets struct {
		Assets []json.RawMessage `json:"assets"`
	}
	require.NoError(t, json.Unmarshal(fleet, &assets))
	require.NotEmpty(t, assets.Assets)
	for _, asset := range assets.Assets {
		require.NoError(t, record.Check([]byte(`{"assets":{"add":[`+string(asset)+`]}}`)), string(asset))
	}
}

func TestCheckRefuses(t *testing.T) {
	tests := []struct {
		name, question string
		pointers       []string
	}{
		{"a sentence", `{"patient":{"escort":"her brother Tom"}}`, []string{"/patient/escort"}},
		{"words between tabs and wide spaces", `{"patient":{"escort":"her\tbrother\u2003Tom"}}`, []string{"/patient/escort"}},
		{"words about digits", `{"assets":{"add":[{"name":"Ann 34 years old"}]}}`, []string{"/assets/add/0/name"}},
		{"a long text", `{"scene":{"facility":` + text(strings.Repeat("å", record.MaxText+1)) + `}}`, []string{"/scene/facility"}},
		{"a number of a person as a name", `{"assets":{"add":[{"name":"car 130570 12345"}]}}`, []string{"/assets/add/0/name"}},
		{"a number of a person as an id", `{"assets":{"add":[{"id":"13057012345"}]}}`, []string{"/assets/add/0/id"}},
		{"a place with a name", `{"scene":{"position_text":"45 31.2N 029 24.6W Ann Other"}}`, []string{"/scene/position_text"}},
		{"a telephone's message", `{"scene":{"position_text":"A\"ML=1;lt=+55.74297;lg=-4.26880;rd=10;top=20130717175329;lc=95;pm=G;si=234302543446355;ei=356708041746734;mcc=234;mnc=30;ml=127"}}`, []string{"/scene/position_text"}},
		{"a story as a report", `{"conditions":{"reports":["METAR the patient is Ann Other"]}}`, []string{"/conditions/reports/0"}},
		{"a story in a report", `{"conditions":{"reports":[` + text(metar[:len(metar)-6]+" PATIENT ANN OTHER") + `]}}`, []string{"/conditions/reports/0"}},
		{"a story in the remarks", `{"conditions":{"reports":[` + text(metar[:len(metar)-6]+" RMK PATIENT ANNE OTHER") + `]}}`, []string{"/conditions/reports/0"}},
		{"a story after a report", `{"conditions":{"reports":[` + text(metar+"= Ann Other") + `]}}`, []string{"/conditions/reports/0"}},
		{"a member that nobody reads", `{"assets":{"add":[{"x_note":5,"x_deep":{"a":[1]}}]}}`, []string{"/assets/add/0/x_deep", "/assets/add/0/x_note"}},
		{"a sentence as a member's name", `{"her brother Tom":1}`, []string{"/her brother Tom"}},
		{"a member given twice", `{"patient":{"escort":"Ann"},"patient":{}}`, []string{"/patient"}},
		{"a character that does not print", `{"patient":{"escort":"a\u0000b"}}`, []string{"/patient/escort"}},
		{"a zero-width space", `{"patient":{"escort":"a\u200bb"}}`, []string{"/patient/escort"}},
		{"no JSON", `her brother Tom`, []string{""}},
		{"text that is no UTF-8", "{\"patient\":{\"escort\":\"a\xffb\"}}", []string{"/patient/escort"}},
		{"two documents", `{} {"a":"her brother Tom"}`, []string{""}},
		{"nothing", ``, []string{""}},
		{"all at once", `{"a":"x y z","b":["u v w"]}`, []string{"/a", "/b/0"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			err := record.Check([]byte(test.question))
			var free *record.FreeTextError
			require.ErrorAs(t, err, &free)
			var pointers []string
			for _, f := range free.Faults {
				pointers = append(pointers, f.Pointer)
			}
			assert.Equal(t, test.pointers, pointers, err)
		})
	}
}

func TestRefusalDoesNotRepeatTheWords(t *testing.T) {
	for _, q := range []string{
		`{"patient":{"escort":"her brother Zacharias"}}`, `{"scene":{"position_text":"at Zacharias place"}}`,
		`{"conditions":{"reports":["METAR Zacharias"]}}`, `{"assets":{"add":[{"name":"Zacharias 13057012345"}]}}`,
	} {
		err := record.Check([]byte(q))
		require.Error(t, err)
		assert.NotContains(t, err.Error(), "Zacharias")
	}
}

func FuzzCheck(f *testing.F) {
	for _, s := range []string{question, `{"a":"x y z"}`, `{"conditions":{"reports":[` + text(metar) + `,` + text(taf) + `]}}`,
		`{"scene":{"position_text":"45 31.2N 029 24.6W"}}`, `[[[[`, "{\"a\":\"\xff\"}", `"\ud800"`, `{"x_":0}`, ``} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, request []byte) {
		if record.Check(request) != nil {
			return
		}
		// what is accepted can be kept exactly
		if !json.Valid(request) {
			t.Fatalf("accepted %q, which is no JSON", request)
		}
		var value map[string]any
		if json.Unmarshal(request, &value) != nil {
			return
		}
		if s, ok := value["name"].(string); ok {
			words := strings.FieldsFunc(s, func(r rune) bool { return r == ' ' })
			plain := 0
			for _, w := range words {
				if strings.Trim(w, "abcdefghijklmnopqrstuvwxyz") == "" && w != "" {
					plain++
				}
			}
			if plain > record.MaxWords {
				t.Fatalf("accepted the sentence %q", s)
			}
		}
	})
}
