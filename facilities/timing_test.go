package facilities_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"surgeonward/facilities"
)

func TestTimingValid(t *testing.T) {
	tests := []struct {
		name, source  string
		typical, slow float64
		want          bool
	}{
		{"nothing takes no time", "definition", 0, 0, true},
		{"spread", "definition", 300, 480, true},
		{"two days", "definition", 172800, 172800, true},
		{"slower than the slow", "definition", 480, 300, false},
		{"negative", "definition", -1, 300, false},
		{"beyond two days", "definition", 0, 172800.001, false},
		{"not a number, typical", "IEEE 754: compares false with everything", math.NaN(), 300, false},
		{"not a number, slow", "IEEE 754: compares false with everything", 300, math.NaN(), false},
		{"infinite", "definition", 0, math.Inf(1), false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			assert.Equal(t, tt.want, facilities.Timing{TypicalS: tt.typical, SlowS: tt.slow}.Valid(), tt.source)
		})
	}
	assert.Equal(t, facilities.Timing{TypicalS: 60, SlowS: 60}, facilities.Fixed(60))
	assert.Equal(t, facilities.Timing{TypicalS: 3, SlowS: 7}, facilities.Timing{TypicalS: 1, SlowS: 2}.Add(facilities.Timing{TypicalS: 2, SlowS: 5}))
}
