package coverage

// TypicalOnly is the plan as SiteTimes runs it.
func (p Plan) TypicalOnly() Plan {
	p.typical = true
	return p
}
