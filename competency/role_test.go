package competency

import (
	"slices"
	"strings"
	"testing"

	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
)

func TestRoleOf(t *testing.T) {
	rule := DefaultRoleRule()
	noHelp := rule
	noHelp.HelpCounts = false
	const l, r, roof, ctl, cs = "left-pulmonary-vein-isolation", "right-pulmonary-vein-isolation", "roof-line", "cavotricuspid-isthmus-line", "coronary-sinus-lesion"
	for _, test := range []struct {
		name   string
		steps  []Step
		rule   RoleRule
		want   Role
		reason string
	}{
		{"all", []Step{{l, ByTrainee}, {r, ByTrainee}, {roof, ByTrainee}}, rule, RolePrimary, "all 3 key steps"},
		{"with help", []Step{{l, ByTraineeWithHelp}, {r, ByTrainee}}, rule, RolePrimary, "2 of 2 steps"},
		{"with help, where help does not count", []Step{{l, ByTraineeWithHelp}, {r, ByTrainee}}, noHelp, RoleAssistant, "left pulmonary vein isolation"},
		{"a right atrial line by the supervisor", []Step{{l, ByTrainee}, {r, ByTrainee}, {ctl, BySupervisor}}, rule, RoleAssistant, "cavotricuspid isthmus line"},
		{"other steps by the supervisor", []Step{{l, ByTrainee}, {cs, BySupervisor}}, rule, RolePrimary, "1 of 2 steps"},
		{"under half", []Step{{l, ByTrainee}, {cs, BySupervisor}, {StepAppendage, BySupervisor}}, rule, RoleAssistant, "1 of 3 steps, fewer than the rule's 50 %"},
		{"appendage alone", []Step{{StepAppendage, ByTrainee}}, rule, RoleAssistant, "no key step"},
		{"only help, where it does not count", []Step{{l, ByTraineeWithHelp}}, noHelp, RoleAssistant, "left pulmonary vein isolation"},
		{"watched", []Step{{l, BySupervisor}, {r, BySupervisor}}, rule, RoleObserver, "no step"},
		{"nothing", nil, rule, RoleObserver, "no step"},
	} {
		role, reason := RoleOf(test.steps, test.rule)
		if role != test.want || !strings.Contains(reason, test.reason) {
			t.Errorf("%s: RoleOf = %s (%s), want %s (%s)", test.name, role, reason, test.want, test.reason)
		}
		if version := RuleOfReason(reason); version != test.rule.Version {
			t.Errorf("%s: the reason %q names rule %d, want %d", test.name, reason, version, test.rule.Version)
		}
	}
}

func TestCompute(t *testing.T) {
	result := atrium.Result{
		Model: "1", Scope: atrium.ScopeLeftAtrial,
		LeftAtrium:  atrium.ChamberResult{Circuits: []atrium.Circuit{{LengthMM: 45, Verdict: atrium.Harmless}}},
		RightAtrium: atrium.ChamberResult{Circuits: []atrium.Circuit{{LengthMM: 78, Verdict: atrium.CanSustain}, {LengthMM: 133, Verdict: atrium.Possible}}},
	}
	record := sampleRecord()
	got := Compute(record, DefaultRoleRule(), result)
	if got.Scope != atrium.ScopeLeftAtrial || got.CircuitsLeft != 2 || !got.LinesComplete || !got.BlockTested || got.Role != RolePrimary || got.Pattern != af.LongStandingPersistent || got.PatternRule == "" || got.Model != "1" {
		t.Errorf("Compute = %+v", got)
	}
	record.Lesions[1].Block = atrium.NotTested
	result.LeftAtrium.Gaps = []atrium.Gap{{Lesion: 2}}
	record.AF.Ends = "never"
	if got := Compute(record, DefaultRoleRule(), result); got.LinesComplete || got.BlockTested || got.Pattern != "" {
		t.Errorf("with a gap, an untested ring and a broken history Compute = %+v", got)
	}
	if got := Compute(Record{}, DefaultRoleRule(), atrium.Result{}); got.LinesComplete || got.BlockTested || got.Role != RoleObserver {
		t.Errorf("of nothing Compute = %+v", got)
	}
}

func TestLesionSetOf(t *testing.T) {
	set := LesionSetOf(sampleRecord())
	if set.LeftAtriumDiameterMM != 47 || set.LeftAppendage != atrium.AppendageExcised || len(set.Lesions) != 11 {
		t.Errorf("LesionSetOf = %+v", set)
	}
	if set := LesionSetOf(Record{}); set.LeftAtriumDiameterMM != 0 {
		t.Errorf("without a band the diameter is %g, want the model's normal (0)", set.LeftAtriumDiameterMM)
	}
}

// TestCountSteps: what counts in a role is said step by step, and a reason without a rule has none.
func TestCountSteps(t *testing.T) {
	rule := DefaultRoleRule()
	rule.HelpCounts, rule.Version = false, 12
	counts := CountSteps([]Step{{"roof-line", ByTrainee}, {"floor-line", ByTraineeWithHelp}, {StepAppendage, ByTrainee}, {"mitral-isthmus-line", BySupervisor}}, rule)
	want := []StepCount{{"roof-line", ByTrainee, true, true}, {"floor-line", ByTraineeWithHelp, true, false}, {StepAppendage, ByTrainee, false, true}, {"mitral-isthmus-line", BySupervisor, true, false}}
	if !slices.Equal(counts, want) {
		t.Errorf("CountSteps = %+v, want %+v", counts, want)
	}
	for reason, version := range map[string]int{"": 0, "no rule named": 0, "odd (role rule x)": 0, "odd (role rule 3) and (role rule 12)": 12} {
		if got := RuleOfReason(reason); got != version {
			t.Errorf("RuleOfReason(%q) = %d, want %d", reason, got, version)
		}
	}
}
