package assessment

import "sort"

// fullScore is 100 points in hundredths, the unit of every sum in a grade: whole numbers add up exactly.
const fullScore = 100_00

// entry is a finding with its price in hundredths of a point.
type entry struct {
	Finding
	cost     int
	accepted bool // the scenario accepts it: no price, no cap
}

// ledger collects the findings of one plan.
type ledger struct {
	policy   Policy
	entries  []entry
	accepted map[string]string // findings the scenario accepts, with its reason
}

// find enters a finding at the price the policy sets for its code, none for codes the policy does not price.
func (l *ledger) find(code, what string, place *Place) *entry {
	return l.findAt(code, what, place, hundredths(l.policy.Deductions[code]))
}

// findAt enters a finding at a given price.
func (l *ledger) findAt(code, what string, place *Place, cost int) *entry {
	k, known := kinds[code]
	if !known {
		panic("assessment: no finding " + code)
	}
	e := entry{cost: cost, Finding: Finding{
		Code: code, Part: k.part, Severity: k.severity, What: what, Why: k.why, Source: k.source, Place: place, Evidence: k.evidence}}
	if why, ok := l.accepted[code]; ok && k.severity != Critical {
		e.accepted, e.cost, e.Severity = true, 0, Remark
		e.What += " Accepted here: " + why
	}
	l.entries = append(l.entries, e)
	return &l.entries[len(l.entries)-1]
}

// settle sorts the findings, most serious first, and turns prices into points so that no part loses more than its weight: the findings
// that would go beyond are cut, last first. The points add up to the score less 100 exactly.
func (l *ledger) settle() (findings []Finding, scores []PartScore, score int) {
	sort.SliceStable(l.entries, func(i, j int) bool { return before(l.entries[i], l.entries[j]) })
	left := map[Part]int{}
	for _, part := range parts {
		left[part] = hundredths(l.policy.Weights[part])
	}
	score = fullScore
	findings = make([]Finding, 0, len(l.entries))
	for _, e := range l.entries {
		cost := min(e.cost, left[e.Part])
		left[e.Part] -= cost
		score -= cost
		if cost > 0 {
			e.Points = -float64(cost) / 100
		}
		findings = append(findings, e.Finding)
	}
	for _, part := range parts {
		scores = append(scores, PartScore{Part: part, Weight: l.policy.Weights[part], Earned: float64(left[part]) / 100})
	}
	return findings, scores, score
}

var severities = map[Severity]int{Critical: 0, Major: 1, Minor: 2, Remark: 3}

// before orders findings: severity, price, part, code, place in the plan. Nothing in it depends on how the plan was put in order except
// the last step, which only tells equals apart.
func before(a, b entry) bool {
	switch {
	case a.Severity != b.Severity:
		return severities[a.Severity] < severities[b.Severity]
	case a.cost != b.cost:
		return a.cost > b.cost
	case a.Part != b.Part:
		return partIndex(a.Part) < partIndex(b.Part)
	case a.Code != b.Code:
		return a.Code < b.Code
	}
	return a.lesion() < b.lesion()
}

func partIndex(p Part) int {
	for i, part := range parts {
		if part == p {
			return i
		}
	}
	return len(parts)
}

// lesion is the index of the lesion a finding is about, or -1.
func (f Finding) lesion() int {
	if f.Place == nil || f.Place.Lesion == nil {
		return -1
	}
	return *f.Place.Lesion
}

// letterOf is the letter a score in hundredths earns.
func (pol Policy) letterOf(score int) Letter {
	for _, cut := range pol.Letters {
		if score >= hundredths(cut.AtLeast) {
			return cut.Letter
		}
	}
	return pol.Letters[len(pol.Letters)-1].Letter
}

// worse is the worse of two letters.
func worse(a, b Letter) Letter {
	if b.Rank() < a.Rank() {
		return b
	}
	return a
}
