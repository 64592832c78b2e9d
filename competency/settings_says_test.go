package competency

import (
	"strings"
	"testing"
)

// TestSettingsSay: every setting has its sentence, and only what is changed differs.
func TestSettingsSay(t *testing.T) {
	before := Defaults()
	if d := before.Differences(before); len(d) != 0 {
		t.Errorf("the same settings differ: %+v", d)
	}
	for _, line := range before.Says() {
		if line.Says == "" || strings.Contains(line.Says, "%!") || !strings.HasSuffix(line.Says, ".") {
			t.Errorf("%s says %q", line.Field, line.Says)
		}
	}
	after := Defaults()
	after.Sites = append(after.Sites, "Second site")
	after.RoleRule.KeySteps = after.RoleRule.KeySteps[:4]
	after.FollowUp.YearlyUntil = 0
	changes := after.Differences(before)
	if len(changes) != 3 || changes[0].Field != "sites" || len(changes[0].Added) != 1 || changes[1].Field != "role_rule.key_steps" || len(changes[1].Removed) != 5 || strings.Contains(changes[2].After, "yearly") {
		t.Errorf("%+v", changes)
	}
	raised := Defaults()
	raised.RoleRule.Version = 9
	if d := raised.Differences(before); len(d) != 0 {
		t.Errorf("a version alone differs: %+v", d)
	}
}

// TestSettingsExamples: the examples are judged as real cases are, and are valid ones.
func TestSettingsExamples(t *testing.T) {
	before, after := Defaults(), Defaults()
	after.RoleRule.KeySteps, after.RoleRule.HelpCounts = after.RoleRule.KeySteps[:4], false
	after.FollowUp.BlankingDays, after.FollowUp.OffAntiarrhythmics, after.FollowUp.LeastHours = 60, false, 168
	want := map[string][2]string{
		roleExamples[0].situation: {"primary", "primary"}, roleExamples[1].situation: {"primary", "assistant"}, roleExamples[2].situation: {"primary", "primary"},
		roleExamples[3].situation: {"assistant", "primary"}, roleExamples[4].situation: {"assistant", "assistant"},
		followUpExamples[0].situation: {"not-judged", "recurred"}, followUpExamples[1].situation: {"recurred", "recurred"}, followUpExamples[2].situation: {"free-off-drugs", "not-judged"},
		followUpExamples[3].situation: {"free-on-drugs", "not-judged"}, followUpExamples[4].situation: {"free-off-drugs", "free-off-drugs"}, followUpExamples[5].situation: {"not-judged", "not-judged"},
	}
	examples := after.Examples(before)
	for _, one := range examples {
		if got := [2]string{one.Before, one.After}; got != want[one.Situation] || one.BeforeWhy == "" || one.AfterWhy == "" {
			t.Errorf("%s: %v, want %v", one.Situation, got, want[one.Situation])
		}
	}
	if len(examples) != len(want) {
		t.Errorf("%d examples, want %d", len(examples), len(want))
	}
	for _, one := range followUpExamples {
		if err := one.followUp.Validate().Err(); err != nil {
			t.Errorf("%s: %v", one.situation, err)
		}
	}
}
