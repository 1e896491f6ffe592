package busy

// Factor is Larson's correction factor of like units, for tests.
func Factor(units int, load float64, line bool, place int) float64 {
	s := sample(units, load, line)
	return s.factor(place)
}
