package facilities

import "surgeonward/facilities/strictjson"

// DecodeHours reads the member "hours" of an object that other files than the
// facility file hold, such as an asset of the fleet file. The object is a value
// that strictjson decoded and a schema with #/$defs/hours_rota has accepted; what
// such a schema refuses reads as empty. Pointers of warnings start with at, the
// object's place in its document. Without the member the rota is nil.
func DecodeHours(object any, at string) (rota *Rota[Opening], warnings []strictjson.Fault) {
	r := featureReader{decoder: &decoder{}}
	rota = readRota(&r, node{value: object, pointer: at}, "hours", func(n node) Opening {
		return Opening{State: n.text("state")}
	})
	for _, w := range r.warnings.report() {
		warnings = append(warnings, strictjson.Fault{Pointer: w.Pointer, Detail: w.Detail})
	}
	return rota, warnings
}
