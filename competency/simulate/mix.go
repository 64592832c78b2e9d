package simulate

import (
	"cmp"
	"math"
	"slices"

	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
	"isthmus/competency"
)

// FewestMix is the fewest cases a mix is taken from; common practice, no source.
const FewestMix = 20

const (
	mixDays    = 365 // the window a mix is taken from
	leastDays  = 30  // a trainee's time in it, at least: one case yesterday is no rate of one a day
	unsignedIn = 30  // days after which a submitted case counts as one that nobody signs
)

// MixOf takes what is operated and how it is signed off from the programme's own trainees in the year up to a day, and n, the cases it
// rests on. With fewer than 20 it gives numbers to start from, and n is what there was. What nobody can count, the true abilities and
// the spread of the assessors, is always numbers to start from, for the programme to set.
func MixOf(evidence []competency.Evidence, on competency.Day) (mix Mix, n int) {
	mix = startingMix()
	t := mixTally{kinds: map[CaseKind]int{}}
	for _, e := range evidence {
		t.add(e, on)
	}
	if t.signed < FewestMix {
		return mix, t.signed
	}
	mix.Kinds = t.commonest()
	share := func(count, of int) float64 { return *rounded(float64(count) / float64(of)) }
	mix.Primary, mix.Incomplete, mix.Late = share(t.primary, t.signed), share(t.incomplete, t.signed), share(t.late, t.signed)
	mix.Unsigned = min(0.95, share(t.unsigned, t.signed+t.unsigned))
	mix.CasesPerYear = min(1000, max(1, math.Round(10*float64(t.signed+t.unsigned)*mixDays/float64(t.days))/10))
	slices.Sort(t.assessors)
	mix.Assessors = min(mostAssessors, t.assessors[len(t.assessors)/2])
	return mix, t.signed
}

// startingMix are numbers to start from: examples, nobody's recommendation.
func startingMix() Mix {
	return Mix{
		Groups: []Group{
			{"learns quickly", 1, Curve{Start: 0.6, End: 0.08, HalfLife: 10}},
			{"learns slowly", 1, Curve{Start: 0.7, End: 0.12, HalfLife: 30}},
			{"stays below", 1, Curve{Start: 0.7, End: 0.45, HalfLife: 20}},
		},
		Kinds: []CaseKind{
			{af.LongStandingPersistent, atrium.ScopeBiatrial, "mitral", 4}, {af.Persistent, atrium.ScopeBiatrial, "mitral", 3}, {af.Paroxysmal, atrium.ScopeBox, "mitral", 3},
		},
		CasesPerYear: 50, Primary: 0.7, Incomplete: 0.1, Unsigned: 0.1, Late: 0.1, Assessors: 4, Spread: 0.5,
	}
}

// mixTally counts what trainees did.
type mixTally struct {
	kinds                                       map[CaseKind]int
	signed, unsigned, primary, incomplete, late int
	days                                        int // from each trainee's first case in the window to its end
	assessors                                   []int
}

// add counts one trainee's cases; one without a case in the window counts for nothing.
func (t *mixTally) add(e competency.Evidence, on competency.Day) {
	first := 0
	in := func(operated string, after int) bool {
		period, err := competency.ParsePeriod(operated)
		days := on.DaysSince(period.Last)
		if err != nil || days < after || days > mixDays {
			return false
		}
		first = max(first, days, leastDays)
		return true
	}
	seen := map[competency.PersonID]bool{}
	for _, c := range e.Cases {
		if c.Withdrawn || c.Pattern == "" || !in(c.OperatedOn, 0) {
			continue
		}
		t.signed++
		seen[c.Assessor] = true
		t.kinds[CaseKind{Pattern: c.Pattern, Scope: c.Scope, Operation: c.Operation}]++
		if c.Role == competency.RolePrimary {
			t.primary++
		}
		if !c.LinesComplete || !c.BlockTested {
			t.incomplete++
		}
		if c.LateRecall {
			t.late++
		}
	}
	for _, p := range e.Pending {
		if p.Status == competency.CaseSubmitted && in(p.OperatedOn, unsignedIn) {
			t.unsigned++
		}
	}
	t.days += first
	if len(seen) > 0 {
		t.assessors = append(t.assessors, len(seen))
	}
}

// commonest lists the kinds by how common they are, as many as a plan takes.
func (t *mixTally) commonest() []CaseKind {
	list := make([]CaseKind, 0, len(t.kinds))
	for kind, n := range t.kinds {
		kind.Share = float64(n)
		list = append(list, kind)
	}
	slices.SortFunc(list, func(a, b CaseKind) int {
		return cmp.Or(cmp.Compare(b.Share, a.Share), cmp.Compare(a.Pattern, b.Pattern), cmp.Compare(a.Scope, b.Scope), cmp.Compare(a.Operation, b.Operation))
	})
	return list[:min(len(list), mostKinds)]
}
