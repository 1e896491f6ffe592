package facilities_test

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"
	"time"

	"surgeonward/facilities"
)

// region is a file of n features made like the example's.
func region(tb testing.TB, n int) []byte {
	tb.Helper()
	list, _, _ := decode(example(tb))
	text := string(list.Encode())
	features := text[strings.Index(text, `"features": [`)+len(`"features": [`) : strings.LastIndex(text, "]")]
	rng := rand.New(rand.NewPCG(3, 4))
	var out []string
	for i := 0; len(out)*3 < n; i++ {
		f := features
		for _, id := range []string{"tavrin-hospital", "quellick-field", "morvane-airfield"} {
			f = strings.Replace(f, id, id+"-"+strconv.Itoa(i), 1)
		}
		f = strings.ReplaceAll(f, `"name": "`, fmt.Sprintf(`"name": "%d `, i))
		f = strings.ReplaceAll(f, "-29.4102", strconv.FormatFloat(-29.5+rng.Float64(), 'f', 4, 64))
		out = append(out, f)
	}
	return collection(out...)
}

func BenchmarkDecode(b *testing.B) {
	for _, n := range []int{40, 1000, 10_000} {
		data := region(b, n-2)
		b.Run(fmt.Sprintf("features=%d/strict", n), func(b *testing.B) {
			b.ReportAllocs()
			b.SetBytes(int64(len(data)))
			var sum float64
			for b.Loop() {
				list, errs, _ := decode(data)
				if len(errs) > 0 {
					b.Fatal(errs)
				}
				sum = 0
				for _, f := range list.All() {
					sum += f.Position.Lon()
				}
			}
			b.ReportMetric(sum, "sum_deg")
		})
		b.Run(fmt.Sprintf("features=%d/standard_library_without_checks", n), func(b *testing.B) {
			b.ReportAllocs()
			b.SetBytes(int64(len(data)))
			var sum float64
			for b.Loop() {
				var file struct {
					Features []struct {
						Geometry   struct{ Coordinates []float64 }
						Properties map[string]any
					}
				}
				if err := json.Unmarshal(data, &file); err != nil {
					b.Fatal(err)
				}
				sum = 0
				for _, f := range file.Features {
					sum += f.Geometry.Coordinates[0]
				}
			}
			b.ReportMetric(sum, "sum_deg")
		})
	}
}

func BenchmarkNextStart(b *testing.B) {
	zone := zoneOf(b, "Europe/London")
	rota := facilities.Rota[facilities.Opening]{
		Otherwise: facilities.Opening{State: "closed"},
		Weekly:    []facilities.Window[facilities.Opening]{{Days: [7]bool{1: true}, FromMin: 360, ToMin: 1380, Value: facilities.Opening{State: "open"}}},
	}
	ground := facilities.Ground{Hours: &rota}
	from := time.Date(2021, 3, 23, 0, 0, 0, 0, time.UTC)
	const within = 7 * 24 * time.Hour
	b.Run("boundaries", func(b *testing.B) {
		b.ReportAllocs()
		var sum int64
		for b.Loop() {
			at, _ := ground.NextOpen(from, zone, within)
			sum = at.Unix()
		}
		b.ReportMetric(float64(sum), "unix_s")
	})
	b.Run("every_minute", func(b *testing.B) {
		b.ReportAllocs()
		var sum int64
		for b.Loop() {
			at := from
			for !ground.OpenAt(at, zone) {
				at = at.Add(time.Minute)
			}
			sum = at.Unix()
		}
		b.ReportMetric(float64(sum), "unix_s")
	})
}
