package assessment

import (
	"slices"
	"strings"
	"unicode/utf8"

	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
	"isthmus/assessment/strict"
)

// The closed lists of scenarios, plans and policies, in the order they are offered.
var (
	statuses         = []Status{Draft, InReview, Live, Retired}
	patterns         = []af.Pattern{af.Paroxysmal, af.Persistent, af.LongStandingPersistent, af.Permanent}
	scopes           = []atrium.Scope{atrium.ScopeNone, atrium.ScopePulmonaryVeinIsolation, atrium.ScopeBox, atrium.ScopeLeftAtrial, atrium.ScopeBiatrial}
	reasons          = []Reason{RhythmControlGivenUp, Thrombus, Emergency, RiskTooHigh}
	asks             = []Ask{AskAblation, AskLesionSet, AskAppendage, AskAftercare, AskSteps, AskPacing, AskTold}
	primaries        = []string{"mitral", "aortic-valve", "coronary", "aortic-valve-and-coronary", "mitral-and-tricuspid", "stand-alone", "other"}
	urgencies        = []string{"elective", "urgent", "emergency"}
	approaches       = []string{"sternotomy", "mini-thoracotomy", "thoracoscopic"}
	earlierAblations = []string{"none", "catheter", "surgical"}
	strokeRiskItems  = []string{"heart-failure", "hypertension", "age-75-or-over", "diabetes", "stroke-or-embolism", "vascular-disease", "age-65-to-74"}
	appendageStates  = []atrium.AppendageState{atrium.AppendageKept, atrium.AppendageExcised, atrium.AppendageExcluded}
	appendageMethods = []string{"excision-and-suture", "stapled-excision", "epicardial-occluder", "internal-suture"}
	anticoagulations = []string{byStrokeRisk, "stop-if-sinus-rhythm", "stop"}
	pacingWires      = []PacingWires{WiresBoth, WiresVentricular, WiresNone}
	steps            = []Step{StepVeinIsolation, StepBlockTest, StepRightAtrialLines, StepArrest, StepClearClot, StepAppendage,
		StepLeftAtrialLines, StepPrimaryOperation, StepClosureCheck, StepPacingWires}
)

// byStrokeRisk is the one right answer to what follows the first months of anticoagulation.
const byStrokeRisk = "by-stroke-risk"

// wordsByHyphens says what an id must be.
const wordsByHyphens = "must be lower-case words joined by hyphens"

// isID reports whether s is lower-case words and numbers joined by single hyphens, at most 80 letters.
func isID(s string) bool {
	for word := range strings.SplitSeq(s, "-") {
		if word == "" || strings.Trim(word, "abcdefghijklmnopqrstuvwxyz0123456789") != "" {
			return false
		}
	}
	return len(s) <= 80
}

// checkAmong adds a fault unless value is one of the choices.
func checkAmong[T ~string](faults *strict.Faults, field string, value T, choices []T) {
	if !slices.Contains(choices, value) {
		faults.Add(field, "%q is unknown: use %s", shorten(string(value)), words(choices))
	}
}

// checkRange adds a fault unless low <= value <= high; not-a-number never is.
func checkRange(faults *strict.Faults, field string, value, low, high float64) {
	if !(value >= low && value <= high) {
		faults.Add(field, "must be between %g and %g, not %g", low, high, value)
	}
}

// checkText adds a fault unless value, blanks at its ends aside, has between low and high characters.
func checkText(faults *strict.Faults, field, value string, low, high int) {
	if n := utf8.RuneCountInString(strings.TrimSpace(value)); n < low || n > high {
		faults.Add(field, "must have between %d and %d characters, not %d", low, high, n)
	}
}

// shorten keeps a quoted input from flooding a message.
func shorten(s string) string {
	if utf8.RuneCountInString(s) > 40 {
		return string([]rune(s)[:40]) + "..."
	}
	return s
}
