package competency

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
)

const judgedOn = Day("2026-06-30")

// signedCase is a good biatrial case as primary, so many days before the judged day, signed two days later.
func signedCase(id string, daysBefore int) SignedCase {
	day := judgedOn.Add(-daysBefore)
	return SignedCase{
		ID: CaseID(id), OperatedOn: string(day), SubmittedAt: day.Start().Add(10 * time.Hour), SignedAt: day.Add(2).Start(),
		Site: "Main site", Operation: "mitral", Pattern: af.LongStandingPersistent, Scope: atrium.ScopeBiatrial, Role: RolePrimary,
		LinesComplete: true, BlockTested: true, Policy: "target", Assessor: PersonID("assessor-" + id[len(id)-1:]), HelpGiven: 4, SupervisionNext: 4,
	}
}

// series is n good cases, the latest 10 days before the judged day, a week apart.
func series(n int) []SignedCase {
	list := make([]SignedCase, n)
	for i := range list {
		list[i] = signedCase(fmt.Sprintf("c%02d-%d", i, i%3), 10+7*(n-1-i))
	}
	return list
}

func gradedPlan(id, letter string, pattern af.Pattern, daysBefore int) GradedPlan {
	return GradedPlan{ID: PlanID(id), Scenario: "s", Pattern: pattern, Letter: letter, Attempt: 1, SubmittedAt: judgedOn.Add(-daysBefore).Start(), Unsafe: letter == "F"}
}

// one judges a single requirement.
func one(t *testing.T, requirement string, evidence Evidence, on Day) RequirementStanding {
	t.Helper()
	standard, err := DecodeStandard("s.yaml", []byte(head+"  - "+requirement+"\n"))
	if err != nil {
		t.Fatal(err)
	}
	return Stand(standard, evidence, on).Requirements[0]
}

func TestCountAndRecencyStates(t *testing.T) {
	const count = "{id: b, kind: count, at_least: 6, filter: {scope: [biatrial], role: [primary]}}"
	const recency = "{id: b, kind: recency, at_least: 3, within_days: 30}"
	other := signedCase("other-1", 5)
	other.Scope = atrium.ScopeBox
	old := []SignedCase{signedCase("o-1", 300), signedCase("o-2", 200), signedCase("o-3", 31)}
	for _, test := range []struct {
		name, requirement string
		cases             []SignedCase
		want              State
		value             float64
		next              string
	}{
		{"nothing", count, nil, NotEnoughData, 0, "6 more signed-off cases as primary, with scope biatrial set."},
		{"others only", count, []SignedCase{other}, Short, 0, "6 more signed-off cases"},
		{"under half", count, series(2), Short, 2, "4 more signed-off cases"},
		{"half", count, series(3), OnCourse, 3, "3 more signed-off cases"},
		{"one short", count, series(5), OnCourse, 5, "1 more signed-off case"},
		{"target", count, series(6), Met, 6, ""},
		{"beyond", count, series(9), Met, 9, ""},
		{"recency nothing", recency, nil, NotEnoughData, 0, "3 more signed-off cases."},
		{"recency met", recency, series(5), Met, 3, ""},
		{"recency never had", recency, series(2), OnCourse, 2, "1 more signed-off case."},
		{"recency never had, old", recency, old[:1], Short, 0, "3 more signed-off cases."},
		{"lapsed", recency, old, Lapsed, 0, "3 more signed-off cases."},
		{"lapsed by one", recency, append(series(2), old...), Lapsed, 2, "1 more signed-off case."},
	} {
		t.Run(test.name, func(t *testing.T) {
			got := one(t, test.requirement, Evidence{Cases: test.cases}, judgedOn)
			if got.State != test.want || got.Value != test.value || !strings.HasPrefix(got.Next, test.next) || (got.Next == "") != (test.want == Met) {
				t.Errorf("got %s at %g (next %q), want %s at %g (next %q)", got.State, got.Value, got.Next, test.want, test.value, test.next)
			}
		})
	}
}

func TestRecencySaysWhenItLapses(t *testing.T) {
	got := one(t, "{id: b, kind: recency, at_least: 3, within_days: 30}", Evidence{Cases: series(5)}, judgedOn)
	lapses := judgedOn.Add(-24 + 30) // the third latest was operated 24 days before
	if want := "Without a further case it lapses after " + string(lapses); !strings.Contains(got.Explanation, want) {
		t.Errorf("explanation %q lacks %q", got.Explanation, want)
	}
	const requirement = "{id: b, kind: recency, at_least: 3, within_days: 30}"
	if s := one(t, requirement, Evidence{Cases: series(5)}, lapses).State; s != Met {
		t.Errorf("on the last day it is %s", s)
	}
	if s := one(t, requirement, Evidence{Cases: series(5)}, lapses.Add(1)).State; s != Lapsed {
		t.Errorf("the day after it is %s", s)
	}
}

func TestLevelStates(t *testing.T) {
	const requirement = "{id: b, kind: level, scale: help_given, level: 4, share: 0.8, last: 15, lower_bound: 0.6, confidence: 0.9, assessors: 3}"
	rated := func(n int, low ...int) []SignedCase {
		list := series(n)
		for _, i := range low {
			list[i].HelpGiven = 3
		}
		return list
	}
	sameAssessor := rated(15)
	for i := range sameAssessor {
		sameAssessor[i].Assessor = "one"
	}
	for _, test := range []struct {
		name  string
		cases []SignedCase
		want  State
		value float64
		next  string
	}{
		{"nothing", nil, NotEnoughData, 0, "15 more signed-off cases at level 4 or above, among them some by 3 more assessors."},
		{"four good", rated(4), NotEnoughData, 1, "11 more signed-off cases at level 4 or above."},
		{"five good", rated(5), OnCourse, 1, "10 more signed-off cases"},
		{"five, two low", rated(5, 0, 1), Short, 0.6, "10 more signed-off cases"}, // 13 of 15 at the end
		{"full and good", rated(15), Met, 1, ""},
		{"13 of 15", rated(15, 3, 7), Met, 0.8667, ""},
		{"12 of 15: share reached, limit 0.59 not", rated(15, 3, 7, 9), OnCourse, 0.8, "4 more signed-off cases"}, // the low one at 3 leaves the window
		{"11 of 15", rated(15, 0, 1, 2, 3), Short, 0.7333, "2 more signed-off cases"},
		{"low ones have left the window", rated(20, 0, 1, 2, 3), Met, 1, ""},
		{"one assessor", sameAssessor, OnCourse, 1, "Ratings by 2 more assessors"},
	} {
		t.Run(test.name, func(t *testing.T) {
			got := one(t, requirement, Evidence{Cases: test.cases}, judgedOn)
			if got.State != test.want || got.Value != test.value || !strings.HasPrefix(got.Next, test.next) {
				t.Errorf("got %s at %g (next %q), want %s at %g (next %q)\n%s", got.State, got.Value, got.Next, test.want, test.value, test.next, got.Explanation)
			}
			if (got.Interval == nil) != (len(test.cases) == 0) {
				t.Errorf("interval %v for %d cases", got.Interval, len(test.cases))
			}
		})
	}
	got := one(t, requirement, Evidence{Cases: rated(15, 3, 7, 9)}, judgedOn)
	// Wilson 90 % of 12/15 by the formula of Newcombe 1998, Stat Med 17:857: computed apart in Python: 0.5912 to 0.9171.
	if want := (&Interval{Low: 0.5912, High: 0.9171, Level: 0.9, Method: "Wilson score, two-sided"}); !cmp.Equal(got.Interval, want) {
		t.Errorf("interval %+v, want %+v", got.Interval, want)
	}
}

func TestLevelOnTheOtherScaleWithoutLateRecall(t *testing.T) {
	list := series(6)
	list[0].LateRecall, list[1].LateRecall = true, true
	list[2].SupervisionNext = 2
	got := one(t, "{id: b, kind: level, scale: supervision_next, level: 4, share: 0.6, last: 4, leave_out_late_recall: true}", Evidence{Cases: list}, judgedOn)
	if got.State != Met || got.N != 4 || got.Value != 0.75 || len(got.LeftOut) != 2 || got.LeftOut[0].Reason != "late recall" {
		t.Errorf("got %+v", got)
	}
}

func TestPlanStates(t *testing.T) {
	const best = "{id: b, kind: plan, letter: A-, af_patterns: [paroxysmal, persistent], attempt: best, safe_last: 2}"
	const last = "{id: b, kind: plan, letter: A-, af_patterns: [paroxysmal, persistent], attempt: last}"
	p, q, x := af.Paroxysmal, af.Persistent, af.Permanent
	for _, test := range []struct {
		name, requirement string
		plans             []GradedPlan
		want              State
		value             float64
		used              string
	}{
		{"none", best, nil, NotEnoughData, 0, ""},
		{"one pattern", best, []GradedPlan{gradedPlan("1", "A", p, 9)}, OnCourse, 1, "1"},
		{"too low", best, []GradedPlan{gradedPlan("1", "B+", p, 9)}, Short, 0, "1"},
		{"both", best, []GradedPlan{gradedPlan("1", "A", p, 9), gradedPlan("2", "A-", q, 8)}, Met, 2, "1 2"},
		{"the best counts", best, []GradedPlan{gradedPlan("1", "A", p, 9), gradedPlan("2", "A-", q, 8), gradedPlan("3", "C", p, 7), gradedPlan("4", "C", q, 6)}, Met, 2, "1 2 3 4"},
		{"the last counts", last, []GradedPlan{gradedPlan("1", "A", p, 9), gradedPlan("2", "A-", q, 8), gradedPlan("3", "C", p, 7)}, OnCourse, 1, "2 3"},
		{"unsafe lately, other pattern", best, []GradedPlan{gradedPlan("1", "A", p, 9), gradedPlan("2", "A", q, 8), gradedPlan("3", "F", x, 7)}, Short, 2, "1 2 3"},
		{"unsafe long ago", best, []GradedPlan{gradedPlan("0", "F", x, 20), gradedPlan("1", "A", p, 9), gradedPlan("2", "A", q, 8)}, Met, 2, "1 2"},
		{"submitted later", best, []GradedPlan{gradedPlan("1", "A", p, 9), gradedPlan("2", "A", q, -1)}, OnCourse, 1, "1"},
	} {
		t.Run(test.name, func(t *testing.T) {
			got := one(t, test.requirement, Evidence{Plans: test.plans}, judgedOn)
			if used := strings.Join(got.Used, " "); got.State != test.want || got.Value != test.value || used != test.used || got.UsedKind != "plan" {
				t.Errorf("got %s at %g, used %q, want %s at %g, used %q", got.State, got.Value, used, test.want, test.value, test.used)
			}
			if (got.Next == "") != (test.want == Met) {
				t.Errorf("next is %q", got.Next)
			}
		})
	}
}

func TestLeftOutReasons(t *testing.T) {
	change := func(id string, days int, f func(*SignedCase)) SignedCase {
		c := signedCase(id, days)
		f(&c)
		return c
	}
	evidence := Evidence{
		Cases: []SignedCase{
			signedCase("used-1", 40),
			change("a-1", 40, func(c *SignedCase) { c.Withdrawn = true }),
			change("b-1", 40, func(c *SignedCase) { c.SignedAt = judgedOn.Add(1).Start() }),
			change("c-1", -2, func(c *SignedCase) { c.SignedAt = judgedOn.Start() }),
			change("d-1", 40, func(c *SignedCase) { c.Role = RoleAssistant }),
			change("e-1", 40, func(c *SignedCase) { c.Scope = atrium.ScopeLeftAtrial }),
			change("f-1", 40, func(c *SignedCase) { c.Pattern = af.Paroxysmal }),
			change("g-1", 40, func(c *SignedCase) { c.Operation = "coronary" }),
			signedCase("h-1", 400),
			change("i-1", 40, func(c *SignedCase) { c.OperatedOn = "spring" }),
		},
		Pending: []PendingCase{{"j", "2026-06-01", CaseSubmitted}, {"k", "2026-06-01", CaseReturned}, {"l", "2026-06-01", CaseDraft}, {"m", "2026-06-01", CaseWithdrawn}},
	}
	got := one(t, "{id: b, kind: count, at_least: 3, filter: {role: [primary], scope: [biatrial], af_pattern: [persistent, long-standing-persistent], operation: [mitral], period_days: 365}}", evidence, judgedOn)
	want := map[string]string{
		"a-1": "withdrawn", "b-1": "signed off after 2026-06-30", "c-1": "operated after 2026-06-30", "d-1": "role assistant", "e-1": "scope left atrial set",
		"f-1": "paroxysmal AF", "g-1": "operation coronary bypass", "h-1": "operated more than 365 days before", "i-1": `the operation date "spring" cannot be read`,
		"j": "not signed off yet", "k": "returned, not submitted again", "l": "a draft, not submitted", "m": "withdrawn",
	}
	reasons := map[string]string{}
	for _, l := range got.LeftOut {
		reasons[l.ID] = l.Reason
	}
	if diff := cmp.Diff(want, reasons); diff != "" || !slices.Equal(got.Used, []string{"used-1"}) {
		t.Errorf("used %v; reasons differ (-want +got):\n%s", got.Used, diff)
	}
	if !strings.HasSuffix(got.Next, "1 submitted case is waiting for sign-off.") {
		t.Errorf("next is %q", got.Next)
	}
}

// readyEvidence meets the example standard.
func readyEvidence() Evidence {
	e := Evidence{Cases: series(18)}
	for i := range 3 {
		e.Cases[i].Pattern = af.Paroxysmal
	}
	e.Plans = []GradedPlan{gradedPlan("1", "A", af.Paroxysmal, 90), gradedPlan("2", "A", af.Persistent, 80), gradedPlan("3", "A-", af.LongStandingPersistent, 70)}
	return e
}

func TestOverall(t *testing.T) {
	ready := Stand(ExampleStandard(), readyEvidence(), judgedOn)
	if !ready.Ready || ready.Overall != "Ready for committee review: all 5 requirements are met." || !ready.Example || ready.Caution != atrium.Caution {
		t.Errorf("ready evidence gives %+v", ready)
	}
	later := Stand(ExampleStandard(), readyEvidence(), judgedOn.Add(400))
	if want := "Not ready for committee review: 4 of 5 requirements met; lapsed: recent cases."; later.Ready || later.Overall != want {
		t.Errorf("400 days later: %q, want %q", later.Overall, want)
	}
	before := Stand(ExampleStandard(), readyEvidence(), "2020-01-01")
	if want := "Not ready for committee review: 0 of 5 requirements met; not enough data: biatrial cases, paroxysmal cases, help given, plans, recent cases."; before.Overall != want {
		t.Errorf("before everything: %q, want %q", before.Overall, want)
	}
	if ready.EvidenceHash != before.EvidenceHash {
		t.Error("the evidence hash depends on the day")
	}
}

// randomEvidence draws cases, pending ones and plans of every sort.
func randomEvidence(t *rapid.T) Evidence {
	var e Evidence
	for i := range rapid.IntRange(0, 30).Draw(t, "cases") {
		c := signedCase(fmt.Sprintf("c%d-%d", i, i%4), rapid.IntRange(-20, 600).Draw(t, "days"))
		c.Role = rapid.SampledFrom([]Role{RolePrimary, RoleAssistant, RoleObserver}).Draw(t, "role")
		c.Scope = rapid.SampledFrom([]atrium.Scope{atrium.ScopeNone, atrium.ScopeBox, atrium.ScopeBiatrial}).Draw(t, "scope")
		c.Pattern = rapid.SampledFrom([]af.Pattern{af.Paroxysmal, af.Persistent}).Draw(t, "pattern")
		c.HelpGiven = rapid.IntRange(1, 5).Draw(t, "help")
		c.LateRecall, c.Withdrawn = rapid.Bool().Draw(t, "late"), rapid.IntRange(0, 9).Draw(t, "withdrawn") == 0
		e.Cases = append(e.Cases, c)
	}
	for i := range rapid.IntRange(0, 5).Draw(t, "pending") {
		status := rapid.SampledFrom([]CaseStatus{CaseDraft, CaseSubmitted, CaseReturned}).Draw(t, "status")
		e.Pending = append(e.Pending, PendingCase{CaseID(fmt.Sprintf("p%d", i)), "2026-06-01", status})
	}
	for i := range rapid.IntRange(0, 12).Draw(t, "plans") {
		letter := rapid.SampledFrom(letters).Draw(t, "letter")
		e.Plans = append(e.Plans, gradedPlan(fmt.Sprintf("q%d", i), letter, rapid.SampledFrom([]af.Pattern{af.Paroxysmal, af.Persistent, af.Permanent}).Draw(t, "of"), rapid.IntRange(-5, 300).Draw(t, "submitted")))
	}
	e.FollowUpMonths = []int{3, 6, 12}
	for i, c := range e.Cases {
		f := recorded(fmt.Sprintf("f%d", i/2), c.ID, rapid.IntRange(1, 24).Draw(t, "month"), judgedOn.Add(rapid.IntRange(-300, 20).Draw(t, "recorded")))
		f.Version, f.Rhythm, f.Died = 1+i%2, rapid.Bool().Draw(t, "rhythm"), rapid.IntRange(0, 9).Draw(t, "died") == 0
		e.FollowUps = append(e.FollowUps, f)
	}
	for i := range rapid.IntRange(0, 6).Draw(t, "quizzes") {
		e.Quizzes = append(e.Quizzes, quiz(fmt.Sprintf("z%d", i), rapid.SampledFrom([]string{"conduction", "drugs", "other"}).Draw(t, "topic"), float64(rapid.IntRange(40, 100).Draw(t, "score")), rapid.IntRange(-5, 90).Draw(t, "taken")))
	}
	if rapid.Bool().Draw(t, "rated") {
		older := components()
		older.On = judgedOn.Add(-30)
		e.Ratings = []RatingComponents{components(), older}
	}
	return e
}

// everyKind is a standard with one requirement of each kind.
func everyKind() Standard {
	standard := Standard{ID: "all", Title: "Every kind", Version: 1}
	for _, r := range []Requirement{
		{Kind: KindCount, AtLeast: 6, Filter: Filter{Role: []Role{RolePrimary}}},
		{Kind: KindLevel, Scale: ScaleHelpGiven, Level: 4, Share: 0.8, Last: 10},
		{Kind: KindCompleteness, Share: 0.8, Last: 10},
		{Kind: KindCurve, Scale: ScaleHelpGiven, Level: 4, AcceptableRate: 0.1, InadequateRate: 0.3, HorizonCases: 40, FalseDeclaration: 0.1, FalseAlarm: 0.1},
		{Kind: KindPlan, Letter: "B", AFPatterns: []af.Pattern{af.Paroxysmal}, Attempt: AttemptBest, SafeLast: 3},
		{Kind: KindRecency, AtLeast: 3, WithinDays: 90},
		{Kind: KindFollowUp, Month: 12, Share: 0.8, AtLeast: 5},
		{Kind: KindQuiz, Topics: []string{"conduction", "drugs"}, AtLeast: 1, Attempt: AttemptLast},
		{Kind: KindDependability, Scale: ScaleHelpGiven, Phi: 0.7, Last: 12},
	} {
		r.ID = r.Kind
		standard.Requirements = append(standard.Requirements, r)
	}
	return standard
}

// TestEveryKind: the standard above is valid, has every kind there is, and each has its words, unit and target.
func TestEveryKind(t *testing.T) {
	standard := everyKind()
	if faults := standard.Validate(); faults.Err() != nil || len(standard.Requirements) != len(RequirementKinds()) {
		t.Fatalf("%d kinds of %d: %v", len(standard.Requirements), len(RequirementKinds()), faults)
	}
	for i, s := range Stand(standard, Evidence{}, judgedOn).Requirements {
		r := standard.Requirements[i]
		if r.Says() == "" || r.Target() <= 0 || r.Unit() == "" || s.State != NotEnoughData || s.Explanation == "" || s.Next == "" || !strings.Contains("case plan quiz", s.UsedKind) {
			t.Errorf("%s without evidence: %+v", r.Kind, s)
		}
	}
}

func TestOrderDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		evidence := randomEvidence(t)
		want := Stand(everyKind(), evidence, judgedOn)
		shuffle := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		shuffle.Shuffle(len(evidence.Cases), func(i, j int) { evidence.Cases[i], evidence.Cases[j] = evidence.Cases[j], evidence.Cases[i] })
		shuffle.Shuffle(len(evidence.Pending), func(i, j int) { evidence.Pending[i], evidence.Pending[j] = evidence.Pending[j], evidence.Pending[i] })
		shuffle.Shuffle(len(evidence.Plans), func(i, j int) { evidence.Plans[i], evidence.Plans[j] = evidence.Plans[j], evidence.Plans[i] })
		shuffle.Shuffle(len(evidence.FollowUps), func(i, j int) {
			evidence.FollowUps[i], evidence.FollowUps[j] = evidence.FollowUps[j], evidence.FollowUps[i]
		})
		shuffle.Shuffle(len(evidence.Quizzes), func(i, j int) { evidence.Quizzes[i], evidence.Quizzes[j] = evidence.Quizzes[j], evidence.Quizzes[i] })
		slices.Reverse(evidence.Ratings)
		if diff := cmp.Diff(want, Stand(everyKind(), evidence, judgedOn)); diff != "" {
			t.Fatalf("another order gives another standing:\n%s", diff)
		}
	})
}

func TestUsedAndLeftOutPartition(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		evidence := randomEvidence(t)
		for _, s := range Stand(everyKind(), evidence, judgedOn).Requirements {
			var want []string
			if s.UsedKind == "quiz" {
				for _, q := range evidence.Quizzes {
					want = append(want, string(q.ID))
				}
			} else if s.UsedKind == "plan" {
				for _, p := range evidence.Plans {
					want = append(want, string(p.ID))
				}
			} else {
				for _, c := range evidence.Cases {
					want = append(want, string(c.ID))
				}
				for _, p := range evidence.Pending {
					want = append(want, string(p.ID))
				}
			}
			got := slices.Clone(s.Used)
			for _, l := range s.LeftOut {
				if l.Reason == "" || l.Kind != s.UsedKind {
					t.Fatalf("%+v gives no reason or another kind", l)
				}
				got = append(got, l.ID)
			}
			slices.Sort(want)
			slices.Sort(got)
			if !slices.Equal(want, got) {
				t.Fatalf("%s: used and left out are %v, the evidence is %v", s.Requirement, got, want)
			}
			if strings.Contains(strings.ToLower(s.Explanation+s.Next+s.Says), "independen") {
				t.Fatalf("%s promises what only people decide: %s", s.Requirement, s.Explanation)
			}
		}
	})
}

func TestMoreGoodEvidenceNeverLowersACount(t *testing.T) {
	order := []State{NotEnoughData, Short, OnCourse, Met}
	rapid.Check(t, func(t *rapid.T) {
		evidence := randomEvidence(t)
		before := Stand(ExampleStandard(), evidence, judgedOn).Requirements[0]
		evidence.Cases = append(evidence.Cases, signedCase("more-1", rapid.IntRange(3, 600).Draw(t, "days")))
		after := Stand(ExampleStandard(), evidence, judgedOn).Requirements[0]
		if after.Value != before.Value+1 || slices.Index(order, after.State) < slices.Index(order, before.State) {
			t.Fatalf("one more good case takes the count from %s at %g to %s at %g", before.State, before.Value, after.State, after.Value)
		}
	})
}

// TestNextIsTrue: as many further good cases as Next says do meet the level requirement, and one fewer does not.
func TestNextIsTrue(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := Requirement{ID: "b", Kind: KindLevel, Scale: ScaleHelpGiven, Level: 4, Share: 0.8, Last: 15, LowerBound: 0.6, Confidence: 0.9}
		evidence := Evidence{Cases: series(rapid.IntRange(0, 25).Draw(t, "n"))}
		for i := range evidence.Cases {
			evidence.Cases[i].HelpGiven = rapid.IntRange(3, 4).Draw(t, "help")
		}
		standard := Standard{ID: "a", Title: "A standard", Version: 1, Requirements: []Requirement{r}}
		before := Stand(standard, evidence, judgedOn).Requirements[0]
		if before.State == Met {
			return
		}
		var more int
		if _, err := fmt.Sscanf(before.Next, "%d more signed-off case", &more); err != nil {
			t.Fatalf("next is %q", before.Next)
		}
		for i := range more {
			if state := Stand(standard, evidence, judgedOn).Requirements[0].State; state == Met {
				t.Fatalf("met after %d of %d further cases", i, more)
			}
			evidence.Cases = append(evidence.Cases, signedCase(fmt.Sprintf("more%02d-1", i), 5))
		}
		if state := Stand(standard, evidence, judgedOn).Requirements[0].State; state != Met {
			t.Fatalf("%d further cases leave it %s", more, state)
		}
	})
}

func BenchmarkStand500Cases(b *testing.B) {
	evidence := Evidence{Cases: make([]SignedCase, 500), Plans: readyEvidence().Plans}
	for i := range evidence.Cases {
		evidence.Cases[i] = signedCase(fmt.Sprintf("c%03d-%d", i, i%3), 3+i*2)
	}
	standard := ExampleStandard()
	b.ReportAllocs()
	for b.Loop() {
		Stand(standard, evidence, judgedOn)
	}
}
