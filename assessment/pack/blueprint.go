package pack

import (
	"slices"
	"strings"

	"isthmus/assessment"
	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
)

// operations are the rows of the blueprint. A mitral operation always opens the left atrium; nobody has a stand-alone operation for AF
// that everyone has agreed to accept.
var operations = []struct{ primary, says string }{
	{"mitral", "mitral valve"},
	{"mitral-and-tricuspid", "mitral and tricuspid valve"},
	{"aortic-valve", "aortic valve"},
	{"coronary", "coronary grafts"},
	{"aortic-valve-and-coronary", "aortic valve and grafts"},
	{"stand-alone", "stand-alone"},
	{"other", "other operation"},
}

// operationKinds are the operations, each with the left atrium opened and closed.
func operationKinds() []kind {
	var list []kind
	for _, op := range operations {
		for _, opened := range []bool{true, false} {
			if !opened && strings.HasPrefix(op.primary, "mitral") {
				continue
			}
			says := op.says + ", left atrium closed"
			if opened {
				says = op.says + ", left atrium opened"
			}
			list = append(list, kind{says,
				func(s assessment.Scenario) bool {
					return s.Operation.Primary == op.primary && s.Operation.LeftAtriumOpened == opened
				},
				func(p af.Pattern) bool { return op.primary != "stand-alone" || p != af.Permanent },
			})
		}
	}
	return list
}

// modifierKinds are what makes a patient another one. No single square is asked for, only that each modifier occurs.
var modifierKinds = []kind{
	{"left atrium of 45 mm or more", func(s assessment.Scenario) bool { return s.Patient.LeftAtriumMM >= 45 }, never},
	{"left atrium beyond 60 mm", func(s assessment.Scenario) bool { return s.Patient.LeftAtriumMM > 60 }, never},
	{"earlier catheter ablation", func(s assessment.Scenario) bool { return s.Patient.EarlierAblation == "catheter" }, never},
	{"earlier surgical ablation", func(s assessment.Scenario) bool { return s.Patient.EarlierAblation == "surgical" }, never},
	{"thrombus on imaging", func(s assessment.Scenario) bool { return s.Patient.ThrombusOnImaging }, never},
	{"sinus node disease, no pacemaker", func(s assessment.Scenario) bool { return s.Patient.SinusNodeDisease && !s.Patient.Pacemaker }, never},
	{"pacemaker", func(s assessment.Scenario) bool { return s.Patient.Pacemaker }, never},
	{"tricuspid work", func(s assessment.Scenario) bool { return s.Operation.TricuspidWork }, never},
	{"redo chest", func(s assessment.Scenario) bool { return s.Operation.RedoChest }, never},
	{"emergency", func(s assessment.Scenario) bool { return s.Operation.Urgency == "emergency" }, never},
	{"off bypass", func(s assessment.Scenario) bool { return !s.Operation.OnBypass }, never},
	{"order of steps asked for", func(s assessment.Scenario) bool { return slices.Contains(s.Asks, assessment.AskSteps) }, never},
	{"pacing wires asked for", func(s assessment.Scenario) bool { return slices.Contains(s.Asks, assessment.AskPacing) }, never},
	{"what the patient is told asked for", func(s assessment.Scenario) bool { return slices.Contains(s.Asks, assessment.AskTold) }, never},
	{"time limit in a test", func(s assessment.Scenario) bool { return s.MinutesLimit > 0 }, never},
	{"a finding that is accepted here", func(s assessment.Scenario) bool {
		return slices.ContainsFunc(s.Alternative, func(d assessment.Defensible) bool { return d.Finding != "" })
	}, never},
	{"more than one defensible plan", func(s assessment.Scenario) bool { return len(s.Expert) > 1 }, never},
}

func never(af.Pattern) bool { return false }

// omissions are the commonest ways a plan falls short (common practice, no source), and how a flawed plan shows that it makes one.
var omissions = []struct {
	says string
	made func(af.Pattern, assessment.FlawedAnswer) bool
}{
	{"right atrial lesions left out in non-paroxysmal AF", func(p af.Pattern, f assessment.FlawedAnswer) bool {
		return p.NonParoxysmal() && raises(f, "scope-at-minimum") && !has(f, atrium.IntercavalLine, atrium.FreeWallLine, atrium.CavotricuspidIsthmusLine)
	}},
	{"isolation only, where more is needed", func(_ af.Pattern, f assessment.FlawedAnswer) bool {
		return has(f, atrium.LeftPulmonaryVeinIsolation) && !has(f, atrium.RoofLine, atrium.FloorLine) && short(f)
	}},
	{"roof or floor missing", func(_ af.Pattern, f assessment.FlawedAnswer) bool {
		return has(f, atrium.RoofLine) != has(f, atrium.FloorLine) && short(f)
	}},
	{"mitral line without the coronary sinus", func(_ af.Pattern, f assessment.FlawedAnswer) bool { return raises(f, "coronary-sinus-left") }},
	{"mitral line short of the annulus", func(_ af.Pattern, f assessment.FlawedAnswer) bool { return raises(f, "gap", "perimitral-circuit") }},
	{"appendage closed without its line", func(_ af.Pattern, f assessment.FlawedAnswer) bool { return raises(f, "appendage-stump-circuit") }},
	{"single application of the clamp", func(_ af.Pattern, f assessment.FlawedAnswer) bool { return raises(f, "single-clamp-application") }},
	{"block not tested", func(_ af.Pattern, f assessment.FlawedAnswer) bool { return raises(f, "block-not-tested") }},
	{"line too near the sinus node", func(_ af.Pattern, f assessment.FlawedAnswer) bool { return raises(f, "near-sinus-node") }},
	{"appendage handled with thrombus in it", func(_ af.Pattern, f assessment.FlawedAnswer) bool { return raises(f, "thrombus-handled") }},
}

// raises reports whether a flawed plan must raise all of these findings.
func raises(f assessment.FlawedAnswer, codes ...string) bool {
	for _, code := range codes {
		if !slices.Contains(f.Codes, code) {
			return false
		}
	}
	return true
}

// short reports whether a flawed plan must be found at the acceptable minimum or below it.
func short(f assessment.FlawedAnswer) bool {
	return raises(f, "scope-at-minimum") || raises(f, "scope-below-minimum") || raises(f, "posterior-wall-connected")
}

// has reports whether a flawed plan holds one of these lesions.
func has(f assessment.FlawedAnswer, names ...atrium.LesionID) bool {
	return slices.ContainsFunc(f.Plan.Lesions, func(l atrium.Lesion) bool { return slices.Contains(names, l.Name) })
}
