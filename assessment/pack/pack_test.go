package pack_test

import (
	"slices"
	"strings"
	"testing"

	"isthmus/assessment"
	"isthmus/assessment/atrium"
	"isthmus/assessment/pack"
)

// TestAnswers: every expert's plan grades A or better under the default policy, and every flawed plan gets the letter it must get and
// raises the findings it must raise. What fails is unsafe, and nothing else is.
func TestAnswers(t *testing.T) {
	for _, s := range pack.Scenarios() {
		t.Run(string(s.ID), func(t *testing.T) {
			t.Parallel()
			if len(s.Flawed) < 3 {
				t.Errorf("%d flawed plans, want at least 3", len(s.Flawed))
			}
			for _, answer := range s.Expert {
				g := grade(t, s, answer.Plan)
				if g.Letter.Rank() < assessment.Letter("A").Rank() || g.Unsafe {
					t.Errorf("expert %q: %s\n%s", answer.Title, g.Letter, report(t, g))
				}
			}
			for _, answer := range s.Flawed {
				flawed(t, s, answer)
			}
		})
	}
}

// flawed checks one flawed plan.
func flawed(t *testing.T, s assessment.Scenario, answer assessment.FlawedAnswer) {
	t.Helper()
	g := grade(t, s, answer.Plan)
	if g.Letter != answer.Letter {
		t.Errorf("flawed %q: %s, want %s\n%s", answer.Title, g.Letter, answer.Letter, report(t, g))
	}
	if answer.Letter == "A+" || len(answer.Codes) == 0 {
		t.Errorf("flawed %q: %s and %d findings asked for: it loses nothing", answer.Title, answer.Letter, len(answer.Codes))
	}
	if g.Unsafe != (g.Letter == "F") {
		t.Errorf("flawed %q: letter %s, unsafe %t\n%s", answer.Title, g.Letter, g.Unsafe, report(t, g))
	}
	for _, code := range answer.Codes {
		if !raises(g, code) {
			t.Errorf("flawed %q does not raise %s\n%s", answer.Title, code, report(t, g))
		}
	}
}

func raises(g assessment.Grade, code string) bool {
	return slices.ContainsFunc(g.Findings, func(f assessment.Finding) bool { return f.Code == code })
}

// TestPack: at least 30 live scenarios, found by their ids, none told twice, and no hole in the blueprint.
func TestPack(t *testing.T) {
	told := map[string]assessment.ScenarioID{}
	for _, s := range pack.Scenarios() {
		if s.Status != assessment.Live {
			t.Errorf("%s is %s", s.ID, s.Status)
		}
		if found, ok := pack.Scenario(s.ID); !ok || found.Title != s.Title {
			t.Errorf("Scenario(%q) does not find it: an id given twice?", s.ID)
		}
		texts := []string{s.Title, s.Vignette}
		for _, answer := range s.Expert {
			texts = append(texts, answer.Why)
		}
		for _, text := range texts {
			if other, ok := told[text]; ok {
				t.Errorf("%s says what %s says: %q", s.ID, other, text)
			}
			told[text] = s.ID
		}
	}
	if n := asking(); n < 15 {
		t.Errorf("%d scenarios ask for steps, pacing wires or what the patient is told; want at least 15", n)
	}
	coverage, err := pack.Cover(pack.Scenarios())
	if err != nil || coverage.Scenarios < 30 {
		t.Errorf("%d scenarios, %v", coverage.Scenarios, err)
	}
	for _, hole := range coverage.Holes {
		t.Errorf("hole: %s", hole)
	}
	if _, ok := pack.Scenario("absent"); ok {
		t.Error("an absent scenario is found")
	}
}

// asking counts the scenarios that ask for more than lesions, appendage and aftercare.
func asking() int {
	n := 0
	for _, s := range pack.Scenarios() {
		if slices.ContainsFunc(s.Asks, func(a assessment.Ask) bool {
			return a == assessment.AskSteps || a == assessment.AskPacing || a == assessment.AskTold
		}) {
			n++
		}
	}
	return n
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
