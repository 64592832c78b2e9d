package competency

import (
	"fmt"
	"testing"
	"time"

	"pgregory.net/rapid"

	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
)

// drawFilter draws a filter that lets many of drawCase's cases through.
func drawFilter(t *rapid.T) Filter {
	var f Filter
	if rapid.Bool().Draw(t, "roles") {
		f.Role = []Role{RolePrimary}
	}
	if rapid.Bool().Draw(t, "scopes") {
		f.Scope = []atrium.Scope{atrium.ScopeBiatrial, atrium.ScopeBox}
	}
	if rapid.Bool().Draw(t, "patterns") {
		f.AFPattern = []af.Pattern{af.Persistent, af.Paroxysmal}
	}
	if rapid.Bool().Draw(t, "operations") {
		f.Operation = []string{"mitral"}
	}
	if rapid.IntRange(0, 3).Draw(t, "period") == 0 {
		f.PeriodDays = rapid.IntRange(1, 200).Draw(t, "days")
	}
	return f
}

// drawJudged draws a valid standard of every kind that rests on cases alone.
func drawJudged(t *rapid.T) Standard {
	window := func(id, kind string) Requirement {
		r := Requirement{ID: id, Kind: kind, Filter: drawFilter(t), Last: rapid.IntRange(1, 12).Draw(t, "last"), Share: rapid.Float64Range(0.3, 1).Draw(t, "share")}
		if rapid.Bool().Draw(t, "bound") && r.Last > 5 {
			r.LowerBound, r.Confidence = 0.4, 0.9
		}
		return r
	}
	scale := rapid.SampledFrom([]string{ScaleHelpGiven, ScaleSupervisionNext}).Draw(t, "scale")
	level := window("level", KindLevel)
	level.Scale, level.Level, level.LeaveOutLateRecall = scale, rapid.IntRange(2, 5).Draw(t, "at"), rapid.Bool().Draw(t, "late")
	level.Assessors = rapid.IntRange(0, min(3, level.Last)).Draw(t, "assessors")
	recency := Requirement{ID: "recency", Kind: KindRecency, Filter: drawFilter(t), AtLeast: rapid.IntRange(1, 5).Draw(t, "recent"), WithinDays: rapid.IntRange(10, 200).Draw(t, "within")}
	recency.Filter.PeriodDays = 0
	line := curveLine()
	line.Filter, line.Scale, line.Level = drawFilter(t), scale, 3
	line.AcceptableRate, line.InadequateRate, line.HorizonCases = 0.2, 0.5, 40
	standard := Standard{ID: "s", Title: "Drawn", Version: 1, Requirements: []Requirement{
		{ID: "count", Kind: KindCount, Filter: drawFilter(t), AtLeast: rapid.IntRange(1, 12).Draw(t, "least")}, recency, level, window("complete", KindCompleteness), line,
	}}
	if faults := standard.Validate(); faults.Err() != nil {
		t.Fatalf("the drawn standard is not valid: %v", faults.Err())
	}
	return standard
}

// drawCase draws a case signed on the day it was operated.
func drawCase(t *rapid.T, i int, day Day) SignedCase {
	at := day.Start().Add(time.Duration(i) * time.Minute)
	return SignedCase{
		ID: CaseID(fmt.Sprintf("c%03d", i)), OperatedOn: string(day), SubmittedAt: at, SignedAt: at, Site: "Main site",
		Operation:       rapid.SampledFrom([]string{"mitral", "mitral", "aortic"}).Draw(t, "operation"),
		Pattern:         rapid.SampledFrom([]af.Pattern{af.Paroxysmal, af.Persistent, af.LongStandingPersistent}).Draw(t, "pattern"),
		Scope:           rapid.SampledFrom([]atrium.Scope{atrium.ScopeBiatrial, atrium.ScopeBox, atrium.ScopeLeftAtrial}).Draw(t, "scope"),
		Role:            rapid.SampledFrom([]Role{RolePrimary, RolePrimary, RoleAssistant}).Draw(t, "role"),
		LinesComplete:   rapid.IntRange(0, 4).Draw(t, "complete") > 0,
		BlockTested:     rapid.IntRange(0, 4).Draw(t, "tested") > 0,
		Assessor:        PersonID(rapid.SampledFrom([]string{"a", "b", "c", "d"}).Draw(t, "assessor")),
		HelpGiven:       rapid.IntRange(1, 5).Draw(t, "help"),
		SupervisionNext: rapid.IntRange(1, 5).Draw(t, "next"),
		LateRecall:      rapid.IntRange(0, 5).Draw(t, "recall") == 0,
	}
}

// TestJudgeIsStand holds the Judge to Stand after every case and on the day something may have lapsed.
func TestJudgeIsStand(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		standard := drawJudged(t)
		judge := NewJudge(standard)
		day := Day("2024-01-01")
		for round := range 2 { // forgetting leaves nothing behind
			judge.Reset()
			var evidence Evidence
			for i := range rapid.IntRange(0, 30).Draw(t, fmt.Sprintf("cases %d", round)) {
				day = day.Add(rapid.IntRange(0, 40).Draw(t, "gap"))
				c := drawCase(t, i, day)
				evidence.Cases = append(evidence.Cases, c)
				judge.Add(&c, day.ordinal())
				for _, on := range []Day{day, day.Add(90)} {
					for n, r := range Stand(standard, evidence, on).Requirements {
						if got := judge.State(n, on.ordinal()); got != r.State {
							t.Fatalf("%s after %d cases on %s: the judge says %s, Stand says %s", r.Requirement, i+1, on, got, r.State)
						}
					}
				}
			}
		}
	})
}

func TestJudgeFollowsCasesOnly(t *testing.T) {
	standard := ExampleStandard()
	judge := NewJudge(standard)
	for i, r := range standard.Requirements {
		if want := r.Kind != KindPlan; judge.Follows(i) != want {
			t.Errorf("%s: follows %v", r.ID, !want)
		}
	}
}

// BenchmarkJudge follows one trainee of 200 cases against six requirements.
func BenchmarkJudge(b *testing.B) {
	standard := ExampleStandard()
	standard.Requirements = append(standard.Requirements, curveLine())
	judge := NewJudge(standard)
	c := signedCase("c-1", 10)
	for b.Loop() {
		judge.Reset()
		for i := range 200 {
			judge.Add(&c, 7*i)
			for n := range standard.Requirements {
				judge.State(n, 7*i)
			}
		}
	}
}
