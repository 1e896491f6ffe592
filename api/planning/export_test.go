package planning

// What the tests of tiles look at.
var (
	PackOutcomes   = packOutcomes
	UnpackOutcomes = unpackOutcomes
)
