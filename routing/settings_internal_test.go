package routing

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
)

func TestStation(t *testing.T) {
	s := &Settings{Stations: []WeatherStation{
		{Code: "QQAA", Position: orb.Point{-29, 45}}, {Code: "QQAC"}, {Code: "QQB1"},
	}}
	got, ok := s.station("QQAA")
	assert.True(t, ok)
	assert.Equal(t, s.Stations[0], got)
	for _, code := range []string{"", "AAAA", "QQAB", "ZZZZ", "qqaa"} {
		got, ok := s.station(code)
		assert.False(t, ok, code)
		assert.Zero(t, got)
	}
	_, ok = DefaultSettings().station("QQAA")
	assert.False(t, ok, "no stations are shipped")
}
