package assessment_test

import (
	"slices"
	"testing"

	"isthmus/assessment"
	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
	"isthmus/assessment/pack"
)

// TestAgainstPolicy: plans of starter scenarios stand to the policy as their scope stands to the target, unless faculty or the policy accept
// something else there; an expert's plan never does less.
func TestAgainstPolicy(t *testing.T) {
	seen := map[string]int{}
	for _, s := range pack.Scenarios()[:12] {
		try := func(p assessment.Plan, expert bool) {
			grade, err := assessment.GradePlan(atrium.Default(), s, p, assessment.DefaultPolicy())
			if err != nil {
				t.Fatal(err)
			}
			got := grade.AgainstPolicy()
			seen[got]++
			target, err := assessment.DefaultPolicy().Target(af.Pattern(grade.Pattern), s.Patient, s.Operation)
			if err != nil {
				t.Fatal(err)
			}
			want := target.Against(grade.Result.Scope)
			if target.Scope == atrium.ScopeNone {
				want = assessment.NotApplicable
			}
			declined := slices.ContainsFunc(grade.Findings, func(f assessment.Finding) bool { return f.Code == "no-ablation-accepted" })
			accepted := got == assessment.AtTarget && (len(s.Alternative) > 0 || declined)
			if got != want && !accepted {
				t.Errorf("%s: %s, want %s (scope %s, target %s)", s.ID, got, want, grade.Result.Scope, grade.TargetScope)
			}
			if expert && (got == assessment.AtMinimum || got == assessment.BelowMinimum) {
				t.Errorf("%s: an expert's plan is %s", s.ID, got)
			}
		}
		for _, e := range s.Expert {
			try(e.Plan, true)
		}
		for _, f := range s.Flawed {
			try(f.Plan, false)
		}
	}
	for _, standing := range []string{assessment.AtTarget, assessment.AtMinimum, assessment.BelowMinimum, assessment.NotApplicable} {
		if seen[standing] == 0 {
			t.Errorf("no starter plan is %s: %v", standing, seen)
		}
	}
}
