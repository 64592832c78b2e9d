package pack_test

import (
	"slices"
	"strings"
	"testing"

	"isthmus/assessment"
	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
	"isthmus/assessment/pack"
)

// TestAnswers: every expert's plan grades A or better under the default policy, and every flawed plan gets the letter it must get and
// raises the findings it must raise.
func TestAnswers(t *testing.T) {
	for _, s := range pack.Scenarios() {
		t.Run(string(s.ID), func(t *testing.T) {
			if len(s.Flawed) < 2 {
				t.Errorf("%d flawed plans, want at least 2", len(s.Flawed))
			}
			for _, answer := range s.Expert {
				g := grade(t, s, answer.Plan)
				if g.Letter.Rank() < assessment.Letter("A").Rank() || g.Unsafe {
					t.Errorf("expert %q: %s\n%s", answer.Title, g.Letter, report(t, g))
				}
			}
			for _, answer := range s.Flawed {
				g := grade(t, s, answer.Plan)
				if g.Letter != answer.Letter {
					t.Errorf("flawed %q: %s, want %s\n%s", answer.Title, g.Letter, answer.Letter, report(t, g))
				}
				if (g.Letter == "F") != g.Unsafe {
					t.Errorf("flawed %q: letter %s, unsafe %t: in this pack only unsafe plans fail", answer.Title, g.Letter, g.Unsafe)
				}
				for _, code := range answer.Codes {
					if !slices.ContainsFunc(g.Findings, func(f assessment.Finding) bool { return f.Code == code }) {
						t.Errorf("flawed %q does not raise %s\n%s", answer.Title, code, report(t, g))
					}
				}
			}
		})
	}
}

// TestPack: eight live scenarios of both patterns, the left atrium opened and closed, and the two traps.
func TestPack(t *testing.T) {
	type cell struct {
		nonParoxysmal, opened bool
	}
	seen, permanent, clot := map[cell]bool{}, false, false
	for _, s := range pack.Scenarios() {
		derived, err := s.Pattern()
		if err != nil {
			t.Fatal(err)
		}
		seen[cell{derived.Pattern.NonParoxysmal(), s.Operation.LeftAtriumOpened}] = true
		permanent = permanent || derived.Pattern == af.Permanent
		clot = clot || s.Patient.ThrombusOnImaging
		if s.Status != assessment.Live {
			t.Errorf("%s is %s", s.ID, s.Status)
		}
		if found, ok := pack.Scenario(s.ID); !ok || found.Title != s.Title {
			t.Errorf("Scenario(%q) does not find it", s.ID)
		}
	}
	if len(pack.Scenarios()) != 8 || len(seen) != 4 || !permanent || !clot {
		t.Errorf("%d scenarios, cells %v, permanent %t, clot %t", len(pack.Scenarios()), seen, permanent, clot)
	}
	if _, ok := pack.Scenario("absent"); ok {
		t.Error("an absent scenario is found")
	}
}

func grade(t *testing.T, s assessment.Scenario, p assessment.Plan) assessment.Grade {
	t.Helper()
	g, err := assessment.GradePlan(atrium.Default(), s, p, assessment.DefaultPolicy())
	if err != nil {
		t.Fatal(err)
	}
	return g
}

func report(t *testing.T, g assessment.Grade) string {
	t.Helper()
	var b strings.Builder
	if err := assessment.GradeReport(&b, g); err != nil {
		t.Fatal(err)
	}
	return b.String()
}
