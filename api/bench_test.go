package api_test

import (
	"encoding/json"
	"hash/crc32"
	"io"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"surgeonward/api/wire"
)

// BenchmarkOptions asks the harbour scenario and reports, beside its own time,
// how many times that of a bare handler it is, which decodes a body and
// encodes an answer of the same sizes and computes nothing.
func BenchmarkOptions(b *testing.B) {
	h := handler(b)
	body := scenarios(b)["harbour-stabbing"]
	first := post(h, body)
	require.Equal(b, http.StatusOK, first.Code)
	bare := bareHandler(b, first.Body.Bytes())
	sum := crc32.ChecksumIEEE(first.Body.Bytes())

	var bareTime time.Duration
	b.ReportAllocs()
	for b.Loop() {
		w := post(h, body)
		b.StopTimer() // both are timed side by side: the machine's speed varies
		if crc32.ChecksumIEEE(w.Body.Bytes()) != sum {
			b.Fatal("the answer has changed")
		}
		began := time.Now()
		post(bare, body)
		bareTime += time.Since(began)
		b.StartTimer()
	}
	b.ReportMetric(float64(b.Elapsed())/float64(bareTime), "times-bare")
	b.ReportMetric(float64(len(body)), "request-bytes")
	b.ReportMetric(float64(first.Body.Len()), "answer-bytes")
}

// BenchmarkBare is the bare handler alone.
func BenchmarkBare(b *testing.B) {
	h := handler(b)
	body := scenarios(b)["harbour-stabbing"]
	answer := post(h, body).Body.Bytes()
	bare := bareHandler(b, answer)
	b.ReportAllocs()
	for b.Loop() {
		if w := post(bare, body); w.Body.Len() != len(answer) {
			b.Fatal("another size", w.Body.Len(), len(answer))
		}
	}
}

// bareHandler decodes a request and encodes an answer that it has.
func bareHandler(b *testing.B, answer []byte) http.Handler {
	b.Helper()
	var ready wire.Answer
	require.NoError(b, json.Unmarshal(answer, &ready))
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		text, err := io.ReadAll(r.Body)
		var question any
		if err != nil || json.Unmarshal(text, &question) != nil {
			w.WriteHeader(http.StatusBadRequest)
			return
		}
		var out strings.Builder
		e := json.NewEncoder(&out)
		e.SetEscapeHTML(false)
		if e.Encode(ready) != nil {
			w.WriteHeader(http.StatusInternalServerError)
			return
		}
		_, _ = io.WriteString(w, out.String())
	})
}
