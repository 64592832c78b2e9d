package competency

import (
	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
)

// LesionSetOf is the lesion set a record delivered, ready for the conduction model: the diameter is the middle of the record's band.
func LesionSetOf(r Record) atrium.LesionSet {
	diameter, _ := BandMidpointMM(r.LeftAtriumBand)
	return atrium.LesionSet{Lesions: r.Lesions, LeftAppendage: r.Appendage.State, LeftAtriumDiameterMM: diameter}
}

// Compute derives from a record and the conduction result of its lesion set everything that is never typed, except Policy,
// PolicyID and PolicyVersion, which rest on the programme's scope policy. An AF history that contradicts itself leaves the pattern empty.
func Compute(r Record, rule RoleRule, result atrium.Result) Computed {
	computed := Computed{Scope: result.Scope, Model: result.Model}
	if derived, err := af.Derive(r.AF); err == nil {
		computed.Pattern, computed.PatternRule = derived.Pattern, derived.Rule
	}
	for _, chamber := range []atrium.ChamberResult{result.LeftAtrium, result.RightAtrium} {
		for _, circuit := range chamber.Circuits {
			if circuit.Verdict != atrium.Harmless { // harmless: shorter than 78 mm
				computed.CircuitsLeft++
			}
		}
	}
	gaps := len(result.LeftAtrium.Gaps) + len(result.RightAtrium.Gaps)
	computed.LinesComplete = len(r.Lesions) > 0 && gaps == 0
	computed.BlockTested = veinsTested(r.Lesions)
	computed.Role, computed.RoleReason = RoleOf(r.Steps, rule)
	return computed
}

// veinsTested reports whether block was tested across every vein isolation, of which there must be one.
func veinsTested(lesions []atrium.Lesion) bool {
	rings := 0
	for _, lesion := range lesions {
		if lesion.Name != atrium.LeftPulmonaryVeinIsolation && lesion.Name != atrium.RightPulmonaryVeinIsolation {
			continue
		}
		rings++
		if lesion.Block == "" || lesion.Block == atrium.NotTested {
			return false
		}
	}
	return rings > 0
}
