package assessment

import (
	"fmt"
	"slices"

	"isthmus/assessment/atrium"
	"isthmus/assessment/strict"
)

// energies a threshold may name.
var energies = []atrium.Energy{atrium.BipolarRF, atrium.UnipolarRF, atrium.Cryo, atrium.Incision}

// mostNearMM is the furthest a lesion can be and still count as too near.
const mostNearMM = 30

// checkHazards checks the thresholds: known structures and energies, distances that make sense, a source for each, and no two for the same
// structure and energy.
func (pol Policy) checkHazards(faults *strict.Faults) {
	seen := map[string]bool{}
	for i, limit := range pol.Hazards {
		field := fmt.Sprintf("hazards[%d]", i)
		checkAmong(faults, field+".structure", limit.Structure, sortedKeys(harms))
		checkRange(faults, field+".within_mm", limit.WithinMM, 0, mostNearMM)
		checkText(faults, field+".source", limit.Source, 1, 300)
		for j, energy := range limit.Energies {
			checkAmong(faults, fmt.Sprintf("%s.energies[%d]", field, j), energy, energies)
		}
		named := limit.Energies
		if len(named) == 0 {
			named = energies
		}
		for _, energy := range named {
			if pair := limit.Structure + " " + string(energy); seen[pair] {
				faults.Add(field, "%s has a threshold for %s already", shorten(limit.Structure), shorten(string(energy)))
				break
			} else {
				seen[pair] = true
			}
		}
	}
}

// check checks what may be expected: intervals, known scopes, figures, and an expectation of every scope for a patient without conditions.
func (t Telling) check(faults *strict.Faults) {
	checkRange(faults, "told.widest_sinus_rhythm", t.WidestSinusRhythm, 1, 100)
	checkRange(faults, "told.widest_pacemaker", t.WidestPacemaker, 1, 100)
	var open []atrium.Scope
	for i, e := range t.Expect {
		field := fmt.Sprintf("told.expect[%d]", i)
		if len(e.Scopes) == 0 {
			faults.Add(field+".scopes", "must name at least one scope")
		}
		for j, scope := range e.Scopes {
			checkAmong(faults, fmt.Sprintf("%s.scopes[%d]", field, j), scope, scopes)
		}
		e.When.check(faults, field+".when")
		e.SinusRhythm.check(faults, field+".sinus_rhythm_percent")
		e.Pacemaker.check(faults, field+".pacemaker_percent")
		checkEvidence(faults, field, e.Evidence)
		if e.When.none() {
			open = append(open, e.Scopes...)
		}
	}
	for _, scope := range scopes {
		if !slices.Contains(open, scope) {
			faults.Add("told.expect", "must have an expectation without conditions for %s", scope)
		}
	}
}

// none reports whether the conditions always hold.
func (c Conditions) none() bool {
	return len(c.Patterns)+len(c.Primary)+len(c.Urgency) == 0 && c.LeftAtriumOpened == nil && c.TricuspidWork == nil && c.RedoChest == nil &&
		c.Thrombus == nil && c.SinusNodeDisease == nil && c.Pacemaker == nil && c.LeftAtriumBelowMM == 0 && c.LeftAtriumAboveMM == 0 && c.MitralRegurgitationAtMost == ""
}

// checkEvidence checks that there are figures, each with its source.
func checkEvidence(faults *strict.Faults, field string, list []Evidence) {
	if len(list) == 0 {
		faults.Add(field+".evidence", "must have at least one figure or 'common practice, no source'")
	}
	for j, e := range list {
		checkText(faults, fmt.Sprintf("%s.evidence[%d].text", field, j), e.Text, 1, 400)
		checkText(faults, fmt.Sprintf("%s.evidence[%d].source", field, j), e.Source, 1, 300)
	}
}
