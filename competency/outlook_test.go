package competency

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
)

// ahead is the outlook of a standard of these requirements.
func ahead(t *testing.T, evidence Evidence, on Day, requirements ...string) Outlook {
	t.Helper()
	standard, err := DecodeStandard("s.yaml", []byte(head+"  - "+strings.Join(requirements, "\n  - ")+"\n"))
	if err != nil {
		t.Fatal(err)
	}
	return LookAhead(standard, evidence, on)
}

func TestProjections(t *testing.T) {
	const count = "{id: b, kind: count, at_least: 12, filter: {role: [primary], scope: [biatrial]}}"
	const level = "{id: b, kind: level, scale: help_given, level: 4, share: 0.8, last: 10}"
	const three = "{id: b, kind: level, scale: help_given, level: 4, share: 0.8, last: 10, assessors: 4}"
	const recency = "{id: b, kind: recency, at_least: 3, within_days: 60}"
	low := series(8)
	for i := range low {
		low[i].HelpGiven = 3
	}
	idle := series(8)
	for i := range idle {
		idle[i] = signedCase(string(idle[i].ID), 200+7*i)
	}
	slow := []SignedCase{signedCase("s-1", 20), signedCase("s-2", 120), signedCase("s-3", 240), signedCase("s-4", 360)}
	for _, test := range []struct {
		name, requirement string
		evidence          Evidence
		more              int
		median            Day
		cannot            string
	}{
		{"nothing on record", count, Evidence{}, 12, "", "only 0 such cases in the 365 days before"},
		{"two", count, Evidence{Cases: series(2)}, 10, "", "only 1 such case in the 17 days before"}, // the first only starts the clock
		// 7 in the 59 days since the first: the wait for the 4th further case is 59 B / (1 - B), B the median of Beta(4, 7.5): R gives 30.22 days.
		{"eight", count, Evidence{Cases: series(8)}, 4, judgedOn.Add(31), ""},
		{"met", count, Evidence{Cases: series(12)}, 0, "", ""},
		{"not of the kind", level, Evidence{Cases: low}, 8, "", "only 0 such cases in the 59 days before"},
		{"more assessors", three, Evidence{Cases: series(8)}, 0, "", "ratings by more assessors"},
		{"no case lately", count, Evidence{Cases: idle}, 4, "", "no such case since " + string(judgedOn.Add(-200))},
		{"leaves as fast as it comes", recency, Evidence{Cases: slow}, 2, "", "leave the period as fast"},
		{"lapsed, with a pace", recency, Evidence{Cases: idle[:0:0]}, 3, "", "only 0 such cases"},
		{"quiz", "{id: b, kind: quiz, topics: [anatomy], attempt: best, at_least: 1}", Evidence{Cases: series(8)}, 0, "", "any day"},
		{"follow-up", "{id: b, kind: follow-up, month: 12, share: 0.8, at_least: 5}", Evidence{Cases: series(8)}, 0, "", "fall due"},
	} {
		t.Run(test.name, func(t *testing.T) {
			got := ahead(t, test.evidence, judgedOn, test.requirement).Projections[0]
			if got.More != test.more || got.Median != test.median || !strings.Contains(got.CannotSay, test.cannot) || (got.CannotSay == "") != (test.cannot == "") {
				t.Errorf("got %+v", got)
			}
			if got.Median != "" && !(got.Low <= got.Median && got.Median <= got.High && got.Level == 0.9 && got.Cases >= 3 && got.Days > 0) {
				t.Errorf("days out of order: %+v", got)
			}
		})
	}
}

func TestPlanProjection(t *testing.T) {
	const plans = "{id: b, kind: plan, letter: A-, af_patterns: [paroxysmal, persistent], attempt: best, safe_last: 2}"
	for _, test := range []struct {
		name  string
		plans []GradedPlan
		more  int
	}{
		{"none", nil, 2},
		{"one", []GradedPlan{gradedPlan("1", "A", af.Paroxysmal, 9)}, 1},
		{"unsafe last", []GradedPlan{gradedPlan("1", "A", af.Paroxysmal, 9), gradedPlan("2", "A", af.Persistent, 8), gradedPlan("3", "F", af.Permanent, 7)}, 2},
		{"both", []GradedPlan{gradedPlan("1", "A", af.Paroxysmal, 9), gradedPlan("2", "A", af.Persistent, 8)}, 0},
	} {
		got := ahead(t, Evidence{Plans: test.plans}, judgedOn, plans).Projections[0]
		if got.More != test.more || got.Of != "plan" || got.CannotSay != "" || got.Median != "" {
			t.Errorf("%s: %+v", test.name, got)
		}
	}
}

func TestAct(t *testing.T) {
	const biatrial = "{id: biatrial-cases, kind: count, at_least: 12, filter: {role: [primary], scope: [biatrial]}}"
	const paroxysmal = "{id: paroxysmal-cases, kind: count, at_least: 3, filter: {af_pattern: [paroxysmal]}}"
	const level = "{id: help-given, kind: level, scale: help_given, level: 4, share: 0.8, last: 10}"
	const plans = "{id: plans, kind: plan, letter: A-, af_patterns: [paroxysmal], attempt: best}"
	const quiz = "{id: quiz, kind: quiz, topics: [anatomy], attempt: best, at_least: 1}"
	waiting := []PendingCase{{"w1", "2026-06-01", CaseSubmitted}, {"w2", "2026-06-01", CaseDraft}}
	for _, test := range []struct {
		name         string
		evidence     Evidence
		requirements []string
		kind, says   string
		why          string
	}{
		{"two at once before one", Evidence{Cases: series(8)}, []string{biatrial, level, paroxysmal}, "case",
			"A signed-off case as primary, with scope biatrial set, at level 4 or above.", "It brings 2 of the 3 requirements not met nearer: biatrial cases, help given."},
		{"one that meets before one that does not", Evidence{Cases: series(8)}, []string{biatrial, plans}, "plan",
			"Hand in a plan for paroxysmal AF that reaches A-.", "It brings 1 of the 2 requirements not met nearer: plans. It would meet plans."},
		{"the standard's order", Evidence{}, []string{paroxysmal, biatrial}, "case", "A signed-off case in paroxysmal AF.", "paroxysmal cases"},
		{"a signature before a new case", Evidence{Cases: series(8), Pending: waiting}, []string{biatrial}, "sign-off",
			"Ask for the signature of the case that waits.", "It brings the one requirement not met nearer: biatrial cases. Taken to be as your cases usually are."},
		{"all met", Evidence{Cases: series(12)}, []string{biatrial}, "", "", ""},
		{"nothing to try", Evidence{Cases: series(12)}, []string{biatrial, quiz}, "", "", ""},
	} {
		t.Run(test.name, func(t *testing.T) {
			act := ahead(t, test.evidence, judgedOn, test.requirements...).Act
			if test.kind == "" {
				if act != nil {
					t.Errorf("got %+v", act)
				}
				return
			}
			if act == nil || act.Kind != test.kind || act.Says != test.says || !strings.Contains(act.Why, test.why) {
				t.Errorf("got %+v", act)
			}
		})
	}
}

// TestAheadOfThePast: what came after the day is not known on it.
func TestAheadOfThePast(t *testing.T) {
	evidence := Evidence{Cases: series(12), Plans: readyEvidence().Plans}
	on := judgedOn.Add(-40)
	before := Evidence{Cases: slices.DeleteFunc(slices.Clone(evidence.Cases), func(c SignedCase) bool { return DayOf(c.SignedAt) > on })}
	before.Plans = slices.DeleteFunc(slices.Clone(evidence.Plans), func(p GradedPlan) bool { return DayOf(p.SubmittedAt) > on })
	if diff := cmp.Diff(LookAhead(ExampleStandard(), before, on), LookAhead(ExampleStandard(), evidence, on)); diff != "" || len(before.Cases) == 12 {
		t.Errorf("later evidence shows:\n%s", diff)
	}
}

// TestProjectionIsTrue: so many good cases do meet what they are said to meet, and one fewer does not; the same evidence in another order says
// the same.
func TestProjectionIsTrue(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		standard, evidence := ExampleStandard(), randomEvidence(t)
		got := LookAhead(standard, evidence, judgedOn)
		trial := newTrial(evidence, judgedOn)
		for i, r := range standard.Requirements {
			p := got.Projections[i]
			met := Stand(standard, evidence, judgedOn).Requirements[i].State == Met
			if met && (p.More != 0 || p.CannotSay != "") || !met && p.More == 0 && p.CannotSay == "" {
				t.Fatalf("met %v, yet %+v", met, p)
			}
			if p.Of == "plan" || p.More == 0 {
				continue
			}
			if !trial.met(r, tried{cases: trial.wanted(r, p.More)}) || trial.met(r, tried{cases: trial.wanted(r, p.More-1)}) {
				t.Fatalf("%s: %d is not the least number", r.ID, p.More)
			}
		}
		if got.Act != nil && !slices.ContainsFunc(got.Projections, func(p Projection) bool { return p.Requirement == got.Act.Requirement && p.More > 0 }) {
			t.Fatalf("the act is for what needs nothing: %+v", got.Act)
		}
		shuffle := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		shuffle.Shuffle(len(evidence.Cases), func(i, j int) { evidence.Cases[i], evidence.Cases[j] = evidence.Cases[j], evidence.Cases[i] })
		shuffle.Shuffle(len(evidence.Plans), func(i, j int) { evidence.Plans[i], evidence.Plans[j] = evidence.Plans[j], evidence.Plans[i] })
		if diff := cmp.Diff(got, LookAhead(standard, evidence, judgedOn)); diff != "" {
			t.Fatalf("another order says otherwise:\n%s", diff)
		}
	})
}

// TestMoreGoodEvidenceNeverNeedsMore: a further good case never raises what a count or recency still needs.
func TestMoreGoodEvidenceNeverNeedsMore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		standard, evidence := ExampleStandard(), randomEvidence(t)
		before := LookAhead(standard, evidence, judgedOn)
		more := signedCase("more-1", 3)
		more.Scope = rapid.SampledFrom([]atrium.Scope{atrium.ScopeBox, atrium.ScopeBiatrial}).Draw(t, "scope")
		evidence.Cases = append(evidence.Cases, more)
		after := LookAhead(standard, evidence, judgedOn)
		for i, r := range standard.Requirements {
			if r.Kind != KindCount && r.Kind != KindRecency {
				continue
			}
			if after.Projections[i].More > before.Projections[i].More {
				t.Fatalf("%s: %d before, %d with a further good case", r.ID, before.Projections[i].More, after.Projections[i].More)
			}
		}
	})
}

func BenchmarkLookAhead100Cases(b *testing.B) {
	evidence := Evidence{Cases: series(100), Plans: readyEvidence().Plans[:1]}
	for i := range evidence.Cases {
		evidence.Cases[i].HelpGiven, evidence.Cases[i].Scope = 2+i%3, atrium.ScopeBox
	}
	standard := ExampleStandard()
	b.ReportAllocs()
	for b.Loop() {
		LookAhead(standard, evidence, judgedOn)
	}
}
