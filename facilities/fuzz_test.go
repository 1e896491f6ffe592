package facilities_test

import (
	"bytes"
	"encoding/json"
	"strconv"
	"strings"
	"testing"
	"time"
	"unicode"

	"github.com/go-json-experiment/json/jsontext"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities"
	"surgeonward/geo"
)

func FuzzDecode(f *testing.F) {
	f.Add(example(f))
	for _, seed := range [][]byte{
		nil, []byte(`{}`), []byte(`[]`), []byte(`null`), collection(), collection(`null`), collection(`{}`), collection(`[]`),
		collection(base("a", `[1e999,0]`)), collection(base("a", `[null,null]`)), collection(base("a", `[]`)), collection(base("a", `[10.5]`)),
		collection(base("a", `[60.1,190.5]`)), collection(base("a", `[180,90,-1e308,4]`)), collection(base("a", here), base("a", here)),
		collection(hospital("a", `,"handover":{"typical_s":172800,"slow_s":172800}`)), collection(hospital("a", `,"handover":{"typical_s":1e-400,"slow_s":-0}`)),
		collection(hospital("a", `,"surgeons":{"":{"otherwise":{"presence":"resident"}}}`)), collection(hospital("a", `,"surgeons":{"ecmo":null}`)),
		collection(site("a", `,"hours":{"otherwise":{"state":"open"},"weekly":[{"days":["sun"],"from":"23:59","to":"00:00","state":"closed"}],"exceptions":[{"date":"0000-01-01","state":"closed"},{"date":"9999-12-31","from":"12:00","to":"12:00","state":"open"}]}`)),
		collection(hospital("a", `,"accepting":{"state":"closed","until":"9999-12-31T23:59:59.999999999+23:59"}`)),
		collection(hospital("a", `,"pad":{"position":[-29,45,1],"max_mass_kg":1e6}`)), collection(feature("a", here, `"kind":"base","name":"\u0000"`)),
		collection(feature("a", here, `"kind":"base","name":"x","time_zone":"../../etc/passwd"`)), collection(feature("a", here, `"kind":"base","name":"x","a/b~":[[[[]]]]`)),
		[]byte(`{"type":"FeatureCollection","features":{"features":[]},"features":[]}`), []byte(`{"type":"FeatureCollection","crs":[],"features":[]}`),
		collection(base("a", here))[:90], bytes.Repeat([]byte(`{"features":[`), 40),
	} {
		f.Add(seed)
	}
	at := time.Date(2031, 3, 14, 21, 40, 0, 0, time.UTC)
	f.Fuzz(func(t *testing.T, data []byte) {
		before := string(data)
		opt := facilities.DecodeOptions{Zone: time.UTC, MaxFeatures: 50, MaxBytes: 1 << 16}
		list, errs, warnings := facilities.Decode(data, opt)
		require.Equal(t, before, string(data), "the input was written to")
		require.Equal(t, len(errs) > 0, list == nil)
		checkFaults(t, data, errs)
		checkFaults(t, data, warnings)
		again, errsAgain, warningsAgain := facilities.Decode(data, opt)
		assert.Equal(t, errs, errsAgain)
		assert.Equal(t, warnings, warningsAgain)
		if list == nil {
			return
		}
		assert.Equal(t, list.Hash(), again.Hash())
		assert.Equal(t, before, string(list.Encode()))
		for _, fac := range list.All() {
			assert.NoError(t, geo.Check(fac.Position))
			require.NotNil(t, fac.Zone)
			if fac.Handover != nil {
				assert.True(t, fac.Handover.Valid())
			}
			for capability := range fac.Surgeons {
				p, ok := fac.PresenceAt(capability, at)
				assert.True(t, ok && fac.Has(capability) && (p.CallIn == nil || p.CallIn.Valid()))
			}
			if ready := fac.TheatreAt(at).Ready; ready != nil {
				assert.True(t, ready.Valid())
			}
			if fac.Pad != nil {
				assert.NoError(t, geo.Check(fac.Pad.Position))
			}
			if fac.Ground != nil {
				if next, ok := fac.Ground.NextOpen(at, fac.Zone, 48*time.Hour); ok {
					assert.False(t, next.Before(at))
					assert.True(t, fac.Ground.OpenAt(next, fac.Zone))
				}
			}
		}
	})
}

// checkFaults checks that faults are fit to be shown and lead to where they say.
func checkFaults(t *testing.T, data []byte, faults []facilities.Fault) {
	t.Helper()
	assert.LessOrEqual(t, len(faults), 201)
	var doc any
	// the standard library reads invalid UTF-8 and repeated names in its own way
	readable := jsontext.Value(data).IsValid() && json.Unmarshal(data, &doc) == nil
	for _, f := range faults {
		assert.NotEmpty(t, f.Detail)
		assert.False(t, strings.ContainsFunc(f.String(), unicode.IsControl), "%q", f)
		if readable {
			assert.True(t, resolves(doc, f.Pointer), "%q leads nowhere: %s", f.Pointer, f.Detail)
		}
	}
}

// resolves follows a JSON Pointer as RFC 6901 section 4 says.
func resolves(doc any, pointer string) bool {
	if pointer == "" {
		return true
	}
	for _, token := range strings.Split(pointer, "/")[1:] {
		token = strings.ReplaceAll(strings.ReplaceAll(token, "~1", "/"), "~0", "~")
		switch v := doc.(type) {
		case map[string]any:
			member, ok := v[token]
			if !ok {
				return false
			}
			doc = member
		case []any:
			i, err := strconv.Atoi(token)
			if err != nil || i < 0 || i >= len(v) {
				return false
			}
			doc = v[i]
		default:
			return false
		}
	}
	return true
}
