package assessment

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"sort"
	"strings"

	"isthmus/assessment/atrium"
	"isthmus/assessment/strict"
)

// letters from best to worst.
var letters = []Letter{"A+", "A", "A-", "B+", "B", "B-", "C", "D", "F"}

// Rank orders letters: F 0 to A+ 8; -1 for an unknown letter.
func (l Letter) Rank() int {
	if i := slices.Index(letters, l); i >= 0 {
		return len(letters) - 1 - i
	}
	return -1
}

// parts in the order they are shown.
var parts = []Part{PartScope, PartCompleteness, PartSafety, PartDelivery, PartAftercare}

// Validate reports every mistake in the policy: weights that do not make 100, letters out of order, deductions missing, unknown words,
// rows without evidence, patients no row is for.
func (pol Policy) Validate() strict.Faults {
	var faults strict.Faults
	if !isID(pol.ID) {
		faults.Add("id", "must be lower-case words joined by hyphens")
	}
	if pol.Version < 1 {
		faults.Add("version", "must be 1 or more")
	}
	checkText(&faults, "title", pol.Title, 1, 120)
	w := pol.Wavelength
	checkRange(&faults, "wavelength.conduction_velocity_m_s", w.ConductionVelocityMPerS, 0.2, 2)
	checkRange(&faults, "wavelength.refractory_period_ms", w.RefractoryPeriodMS, 80, 400)
	checkText(&faults, "wavelength.source", w.Source, 1, 400)
	pol.checkWeights(&faults)
	pol.checkLetters(&faults)
	pol.checkCosts(&faults)
	pol.checkHazards(&faults)
	pol.Told.check(&faults)
	before := len(faults.List)
	pol.checkRows(&faults)
	if len(faults.List) == before {
		pol.checkCover(&faults)
	}
	return faults
}

func (pol Policy) checkWeights(faults *strict.Faults) {
	sum := 0
	for _, part := range parts {
		weight, given := pol.Weights[part]
		if !given || !(weight >= 0 && weight <= 100) {
			faults.Add("weights."+string(part), "must be given, between 0 and 100")
			return
		}
		sum += hundredths(weight)
	}
	if len(pol.Weights) != len(parts) {
		faults.Add("weights", "must have exactly %s", words(parts))
	} else if sum != fullScore {
		faults.Add("weights", "must add up to 100, not %g", float64(sum)/100)
	}
}

func (pol Policy) checkLetters(faults *strict.Faults) {
	for i, cut := range pol.Letters {
		field := fmt.Sprintf("letters[%d]", i)
		checkAmong(faults, field+".letter", cut.Letter, letters)
		checkRange(faults, field+".at_least", cut.AtLeast, 0, 100)
		if i > 0 && (cut.AtLeast >= pol.Letters[i-1].AtLeast || cut.Letter.Rank() >= pol.Letters[i-1].Letter.Rank()) {
			faults.Add(field, "must be a worse letter at a lower score than the one before")
		}
	}
	if n := len(pol.Letters); n == 0 || pol.Letters[n-1].AtLeast != 0 {
		faults.Add("letters", "the last letter must start at 0, so that every score has one")
	}
	checkAmong(faults, "caps.at_minimum", pol.Caps.AtMinimum, letters)
	checkAmong(faults, "caps.below_minimum", pol.Caps.BelowMinimum, letters)
	checkAmong(faults, "caps.critical", pol.Caps.Critical, letters)
	if pol.Caps.FloorWhenSafe != "" {
		checkAmong(faults, "caps.floor_when_safe", pol.Caps.FloorWhenSafe, letters)
	}
	for _, code := range slices.Sorted(maps.Keys(pol.Caps.Findings)) {
		checkAmong(faults, "caps.findings."+code, code, Codes())
		checkAmong(faults, "caps.findings."+code, pol.Caps.Findings[code], letters)
	}
}

// checkCosts checks what findings and open circuits take.
func (pol Policy) checkCosts(faults *strict.Faults) {
	checkRange(faults, "closing.points", pol.Closing.Points, 0, 100)
	for _, goal := range goals {
		if share, given := pol.Closing.Shares[goal]; !given || !(share >= 0 && share <= 100) {
			faults.Add("closing.shares."+string(goal), "must be given, between 0 and 100")
		}
	}
	for _, goal := range sortedKeys(pol.Closing.Shares) {
		checkAmong(faults, "closing.shares."+string(goal), goal, goals)
	}
	for _, code := range deductionCodes {
		if points, given := pol.Deductions[code]; !given || !(points >= 0 && points <= 100) {
			faults.Add("deductions."+code, "must be given, between 0 and 100 points")
		}
	}
	for _, code := range sortedKeys(pol.Deductions) {
		checkAmong(faults, "deductions."+code, code, deductionCodes)
	}
}

func (pol Policy) checkRows(faults *strict.Faults) {
	seen := map[string]bool{}
	if len(pol.Rows) == 0 {
		faults.Add("rows", "must have at least one row")
	}
	for i, row := range pol.Rows {
		field := fmt.Sprintf("rows[%d]", i)
		if !isID(row.ID) || seen[row.ID] {
			faults.Add(field+".id", "must be lower-case words joined by hyphens, given once")
		}
		seen[row.ID] = true
		checkText(faults, field+".says", row.Says, 1, 300)
		row.checkScopes(faults, field)
		row.When.check(faults, field+".when")
		checkEvidence(faults, field, row.Evidence)
	}
}

// checkScopes checks what a row asks for.
func (row PolicyRow) checkScopes(faults *strict.Faults, field string) {
	checkAmong(faults, field+".target", row.Target, scopes)
	for i, also := range row.Also {
		checkAmong(faults, fmt.Sprintf("%s.also[%d]", field, i), also, scopes[1:])
	}
	for i, reason := range row.Reasons {
		checkAmong(faults, fmt.Sprintf("%s.reasons[%d]", field, i), reason, reasons)
	}
	for i, reason := range row.MayDecline {
		checkAmong(faults, fmt.Sprintf("%s.may_decline[%d]", field, i), reason, reasons)
	}
	if row.Target != atrium.ScopeNone {
		checkAmong(faults, field+".minimum", row.Minimum, scopes[1:])
		if row.Minimum.Rank() > row.Target.Rank() {
			faults.Add(field+".minimum", "must not be more than the target")
		}
		if row.CapWhenAblated != "" || len(row.Reasons) > 0 {
			faults.Add(field, "reasons and cap_when_ablated belong to rows whose target is none; use may_decline here")
		}
		return
	}
	if row.Minimum != "" || len(row.Also) > 0 || len(row.MayDecline) > 0 {
		faults.Add(field, "a row whose target is none has no minimum, also or may_decline")
	}
	if len(row.Reasons) == 0 {
		faults.Add(field+".reasons", "must name the right reasons for no ablation")
	}
	checkAmong(faults, field+".cap_when_ablated", row.CapWhenAblated, letters)
}

func (c Conditions) check(faults *strict.Faults, field string) {
	for i, pattern := range c.Patterns {
		checkAmong(faults, fmt.Sprintf("%s.patterns[%d]", field, i), pattern, patterns)
	}
	for i, primary := range c.Primary {
		checkAmong(faults, fmt.Sprintf("%s.primary[%d]", field, i), primary, primaries)
	}
	for i, urgency := range c.Urgency {
		checkAmong(faults, fmt.Sprintf("%s.urgency[%d]", field, i), urgency, urgencies)
	}
	if c.MitralRegurgitationAtMost != "" {
		checkAmong(faults, field+".mitral_regurgitation_at_most", c.MitralRegurgitationAtMost, regurgitationLevels)
	}
	checkRange(faults, field+".left_atrium_below_mm", c.LeftAtriumBelowMM, 0, 120)
	checkRange(faults, field+".left_atrium_above_mm", c.LeftAtriumAboveMM, 0, 120)
}

// checkCover looks for a patient no row is for. Only what the rows mention can make a difference, and the kindest value of everything
// else is tried: it is enough that the plainest patient of each pattern, with the left atrium opened or not, has a row.
func (pol Policy) checkCover(faults *strict.Faults) {
	for _, pattern := range patterns {
		for _, opened := range []bool{true, false} {
			for _, primary := range primaries {
				for _, mm := range []float64{35, 44, 46, 55, 61, 80} {
					op := Operation{Primary: primary, Urgency: "elective", LeftAtriumOpened: opened}
					patient := Patient{LeftAtriumMM: mm, MitralRegurgitation: "severe"}
					if _, err := pol.Target(pattern, patient, op); err != nil {
						faults.Add("rows", "no row is for %s AF with a left atrium of %g mm, operation %s, left atrium opened: %t: add a last row without conditions beyond the pattern", pattern, mm, primary, opened)
						return
					}
				}
			}
		}
	}
}

// hundredths turns points into whole hundredths, in which all sums are exact.
func hundredths(points float64) int { return int(math.Round(points * 100)) }

func sortedKeys[K ~string, V any](m map[K]V) []K {
	keys := make([]K, 0, len(m))
	for key := range m {
		keys = append(keys, key)
	}
	sort.Slice(keys, func(i, j int) bool { return keys[i] < keys[j] })
	return keys
}

// words lists choices for people: a, b or c.
func words[T ~string](choices []T) string {
	list := make([]string, len(choices))
	for i, choice := range choices {
		list[i] = string(choice)
	}
	if len(list) < 2 {
		return strings.Join(list, "")
	}
	return strings.Join(list[:len(list)-1], ", ") + " or " + list[len(list)-1]
}
