package competency

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"isthmus/assessment/af"
)

// rank orders states from worst to best, for requirements that cannot lapse.
func rank(s State) int { return slices.Index([]State{NotEnoughData, Short, OnCourse, Met}, s) }

// caseStandard has a requirement of each kind that rests on cases or plans, with small targets so that random evidence reaches both sides.
func caseStandard() Standard {
	primary := Filter{Role: []Role{RolePrimary}}
	curve := curveLine()
	curve.AcceptableRate, curve.InadequateRate, curve.HorizonCases = 0.2, 0.5, 30
	return Standard{ID: "s", Title: "A standard", Version: 1, Requirements: []Requirement{
		{ID: "count", Kind: KindCount, AtLeast: 5, Filter: primary}, {ID: "count-lately", Kind: KindCount, AtLeast: 3, Filter: Filter{PeriodDays: 200}},
		{ID: "recency", Kind: KindRecency, AtLeast: 2, WithinDays: 90}, {ID: "level", Kind: KindLevel, Scale: ScaleHelpGiven, Level: 4, Share: 0.6, Last: 8, Assessors: 2},
		{ID: "completeness", Kind: KindCompleteness, Share: 0.6, Last: 8}, curve,
		{ID: "plan", Kind: KindPlan, Letter: "B", AFPatterns: []af.Pattern{af.Paroxysmal, af.Persistent}, Attempt: AttemptBest, SafeLast: 2},
	}}
}

// amended adds earlier versions of some cases, signed before.
func amended(t *rapid.T, evidence Evidence) Evidence {
	for i, c := range evidence.Cases {
		if rapid.IntRange(0, 4).Draw(t, "amended") == 0 {
			c.HelpGiven = rapid.IntRange(1, 5).Draw(t, "help before")
			evidence.Earlier = append(evidence.Earlier, c)
			evidence.Cases[i].SignedAt = c.SignedAt.AddDate(0, 0, rapid.IntRange(1, 60).Draw(t, "later"))
		}
		evidence.Cases[i].LinesComplete = rapid.Bool().Draw(t, "complete")
	}
	return evidence
}

// TestAnyOrderOfEveryKind: cases, their earlier versions, what waits and plans in any order give the same standing, hash included.
func TestAnyOrderOfEveryKind(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		evidence, on := amended(t, randomEvidence(t)), judgedOn.Add(-rapid.IntRange(0, 60).Draw(t, "days"))
		want := Stand(caseStandard(), evidence, on)
		shuffle := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		shuffle.Shuffle(len(evidence.Cases), func(i, j int) { evidence.Cases[i], evidence.Cases[j] = evidence.Cases[j], evidence.Cases[i] })
		shuffle.Shuffle(len(evidence.Earlier), func(i, j int) { evidence.Earlier[i], evidence.Earlier[j] = evidence.Earlier[j], evidence.Earlier[i] })
		shuffle.Shuffle(len(evidence.Plans), func(i, j int) { evidence.Plans[i], evidence.Plans[j] = evidence.Plans[j], evidence.Plans[i] })
		if diff := cmp.Diff(want, Stand(caseStandard(), evidence, on)); diff != "" {
			t.Fatalf("another order gives another standing:\n%s", diff)
		}
	})
}

// TestGoodCaseNeverUnmeetsACount: one more signed good case leaves every count and recency at least where it was.
func TestGoodCaseNeverUnmeetsACount(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		evidence := amended(t, randomEvidence(t))
		before := Stand(caseStandard(), evidence, judgedOn)
		evidence.Cases = append(evidence.Cases, signedCase("more-1", rapid.IntRange(3, 600).Draw(t, "days")))
		after := Stand(caseStandard(), evidence, judgedOn)
		for i, r := range caseStandard().Requirements[:3] {
			b, a := before.Requirements[i], after.Requirements[i]
			if a.Value < b.Value || b.State == Met && a.State != Met || r.Kind == KindCount && rank(a.State) < rank(b.State) {
				t.Fatalf("%s goes from %s at %g to %s at %g", r.ID, b.State, b.Value, a.State, a.Value)
			}
		}
	})
}

// TestWithdrawingNeverHelpsACount: taking a signed case out never raises a count or recency, nor meets one. Recency may turn from lapsed to
// short: who no longer has ever had enough has not lapsed. Whatever a requirement makes of it, it names the case as withdrawn, for all to see.
func TestWithdrawingNeverHelpsACount(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		evidence := amended(t, randomEvidence(t))
		i := slices.IndexFunc(evidence.Cases, func(c SignedCase) bool { return !c.Withdrawn })
		if i < 0 {
			return
		}
		before := Stand(caseStandard(), evidence, judgedOn)
		gone := evidence.Cases[i].ID
		evidence.Cases[i].Withdrawn = true
		for j := range evidence.Earlier { // every version of a withdrawn case says so
			evidence.Earlier[j].Withdrawn = evidence.Earlier[j].Withdrawn || evidence.Earlier[j].ID == gone
		}
		after := Stand(caseStandard(), evidence, judgedOn)
		for i, r := range caseStandard().Requirements {
			b, a := before.Requirements[i], after.Requirements[i]
			if r.Kind != KindPlan && !slices.ContainsFunc(a.LeftOut, func(l LeftOut) bool { return l.ID == string(gone) && l.Reason == "withdrawn" }) {
				t.Fatalf("%s does not name the withdrawn case", r.ID)
			}
			switch r.Kind {
			case KindCount, KindRecency:
				if a.Value > b.Value || a.State == Met && b.State != Met || r.Kind == KindCount && rank(a.State) > rank(b.State) {
					t.Fatalf("%s goes from %s at %g to %s at %g by withdrawing", r.ID, b.State, b.Value, a.State, a.Value)
				}
			case KindPlan:
				if diff := cmp.Diff(b, a); diff != "" {
					t.Fatalf("plans changed by withdrawing a case:\n%s", diff)
				}
			}
		}
	})
}

// TestWithdrawingABadCaseCanHelpAShare says what is not so by nature: a share without one of its failures is higher, a learning curve without it
// is further on. That is why a signed case is withdrawn by its supervisor or the director alone, with a reason, and stays named.
func TestWithdrawingABadCaseCanHelpAShare(t *testing.T) {
	evidence := Evidence{Cases: series(12)}
	for i := range evidence.Cases {
		if i%2 == 0 {
			evidence.Cases[i].HelpGiven, evidence.Cases[i].LinesComplete = 2, false
		}
	}
	before := Stand(caseStandard(), evidence, judgedOn)
	evidence.Cases[10].Withdrawn = true
	after := Stand(caseStandard(), evidence, judgedOn)
	for i := 3; i < 6; i++ {
		b, a := before.Requirements[i], after.Requirements[i]
		if a.Value <= b.Value {
			t.Errorf("%s stays at %g, was %g", a.Requirement, a.Value, b.Value)
		}
		if !slices.Contains(a.LeftOut, LeftOut{ID: string(evidence.Cases[10].ID), Kind: "case", Reason: "withdrawn"}) {
			t.Errorf("%s does not name the withdrawn case", a.Requirement)
		}
	}
}
