package strictjson_test

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"surgeonward/facilities/strictjson"
)

func FuzzCheck(f *testing.F) {
	for _, seed := range []string{
		``, `{}`, `{"name":"a"}`, `{"name":"a","name":"b"}`, `{"name":1e999}`, `{"seats":1e-400}`, `{"seats":-0}`,
		`{"seats":1e308}`, `{"seats":9007199254740993}`, `{"name":"\ud800"}`, `{"name":"\u0000"}`, "{\"name\":\"\xff\"}",
		`{"a\u0000":1}`, `{"at":{"kind":"point"}}`, `{"at":[]}`, `{"days":[[[[]]]]}`, `{"where":{"position":1,"facility":1}}`,
		`{"":{"":1}}`, `{"~/":1}`, "\xef\xbb\xbf{}", `{"name":"a"}x`, `{"name":NaN}`, `[`, `"`, `{"role":"`, `null`,
		strings.Repeat(`{"a":`, 40), strings.Repeat("[", 40), `{"since":"2016-12-31T23:59:60Z"}`, `{"since":"0000-00-00T00:00:00Z"}`,
	} {
		f.Add([]byte(seed))
	}
	schema := crew(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		before := string(data)
		value, faults := schema.Check(data, strictjson.Limits{Bytes: 1 << 16})
		assert.Equal(t, before, string(data), "the input was written to")
		if (value == nil) != (len(faults) > 0) && string(data) != "null" {
			t.Fatalf("value %v with faults %v", value, faults)
		}
		for _, fault := range faults {
			assertClean(t, fault)
		}
		_, again := schema.Check(data, strictjson.Limits{Bytes: 1 << 16})
		assert.Equal(t, faults, again, "same input, same faults")
		if len(faults) > 0 {
			return
		}
		var std any
		assert.NoError(t, json.Unmarshal(data, &std))
		assert.Equal(t, std, value, "accepted text means what the standard library reads")
	})
}

func BenchmarkCheck(b *testing.B) {
	schema := crew(b)
	data := []byte(`{"name":"a","seats":2,"role":"pilot","days":["mon","tue"],"call_in":{"typical_s":600,"slow_s":900}}`)
	b.Run("check", func(b *testing.B) {
		b.ReportAllocs()
		var sum float64
		for b.Loop() {
			v, _ := schema.Check(data, strictjson.Limits{})
			sum += v.(map[string]any)["seats"].(float64)
		}
		b.ReportMetric(sum/float64(b.N), "seats")
	})
	b.Run("standard library, no checks", func(b *testing.B) {
		b.ReportAllocs()
		var sum float64
		for b.Loop() {
			var v map[string]any
			_ = json.Unmarshal(data, &v)
			sum += v["seats"].(float64)
		}
		b.ReportMetric(sum/float64(b.N), "seats")
	})
}
