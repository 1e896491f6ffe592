package calibrate

import (
	"fmt"
	"slices"
	"strings"

	"surgeonward/facilities/strictjson"
	"surgeonward/routing"
)

// Stages returns the words a stage column may hold, in order: the two kinds of
// travel and the allowances. Where the model keeps an allowance for day and one
// for night the word is without the ending: the Sun decides which it was.
func Stages() []string {
	words := []string{TravelAir, TravelRoad}
	for _, id := range routing.AllowanceIDs() {
		words = append(words, withoutLight(id))
	}
	slices.Sort(words)
	return slices.Compact(words)
}

func withoutLight(allowance string) string {
	for _, light := range []string{Day, Night} {
		if stem, ok := strings.CutSuffix(allowance, "_"+light); ok {
			return stem
		}
	}
	return allowance
}

// splitByLight are the stages that are two allowances, for day and for night.
func splitByLight() map[string]bool {
	split := map[string]bool{}
	for _, id := range routing.AllowanceIDs() {
		if stem := withoutLight(id); stem != id {
			split[stem] = true
		}
	}
	return split
}

// checkStage says what is wrong with a word that is not in stages.
func checkStage(word string, stages []string) string {
	if stem := withoutLight(word); stem != word && slices.Contains(stages, stem) {
		return fmt.Sprintf("write %q: whether it was day or night is found from the Sun at the start", stem)
	}
	if near, ok := strictjson.Nearest(word, stages); ok {
		return fmt.Sprintf("unknown stage %s: did you mean %q?", quote(word), near)
	}
	return fmt.Sprintf("unknown stage %s: it is %s, %s or the id of an allowance such as \"handover\" or \"mobilise_ambulance\"",
		quote(word), TravelRoad, TravelAir)
}
