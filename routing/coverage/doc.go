// Package coverage says how many people are within how many minutes of a surgeon:
// the engine's answer at every cell of a grid or at every point of a list, for a
// named situation or in expectation over several, and what a change to the region
// would change.
//
// There is no second model: a cell's time is what the desk would get for a scene at
// its centre (routing.Batch). What is between cells is not known: a cell stands for
// everybody in it.
//
// Assets may be out on other calls: RunBusy takes how busy each is from routing/busy, with the
// engine's order of who is sent, and says what is to be expected then.
//
// Everything here is a pure function of its arguments. Run looks at cells on all
// cores; its result does not depend on how they are shared out.
package coverage
