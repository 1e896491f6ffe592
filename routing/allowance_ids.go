package routing

// kindIDs are the ids of the allowances that depend on an asset's kind, put
// together once: planning asks for them a million times.
type kindIDs struct {
	departure, approach, approachScene string
	load, unload                       string
	loadRunning, unloadRunning         string // helicopters, by their rotors
	loadStopped, unloadStopped         string
}

func newKindIDs(kind AssetKind) *kindIDs {
	k := string(kind)
	return &kindIDs{
		departure: k + "_departure", approach: k + "_approach", approachScene: k + "_approach_scene",
		load: "load_" + k, unload: "unload_" + k,
		loadRunning: "load_" + k + "_running", unloadRunning: "unload_" + k + "_running",
		loadStopped: "load_" + k + "_stopped", unloadStopped: "unload_" + k + "_stopped",
	}
}

var (
	ofAmbulance   = newKindIDs(Ambulance)
	ofResponseCar = newKindIDs(ResponseCar)
	ofHelicopter  = newKindIDs(Helicopter)
	ofAeroplane   = newKindIDs(Aeroplane)
)

func (k AssetKind) ids() *kindIDs {
	switch k {
	case Ambulance:
		return ofAmbulance
	case ResponseCar:
		return ofResponseCar
	case Helicopter:
		return ofHelicopter
	case Aeroplane:
		return ofAeroplane
	}
	return newKindIDs(k)
}
