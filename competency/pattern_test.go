package competency_test

import (
	"testing"

	"isthmus/competency"
)

func TestPatternHoldsNothingOfAPatient(t *testing.T) {
	r := competency.Record{Site: "North", Operation: "mitral-valve", OperatedOn: "2026-03-02", LeftAtriumBand: "45-49", Events: []string{"stroke"}, Note: "A note."}
	r.AF.ContinuousMonths = 14
	p := competency.PatternOf(r)
	if p.OperatedOn != "" || p.LeftAtriumBand != "" || len(p.Events) != 0 || p.Note != "" || p.AF.ContinuousMonths != 0 || p.Site != "North" {
		t.Errorf("pattern %+v", p)
	}
}

func TestSameOperation(t *testing.T) {
	a := competency.Record{Supervisor: "sue", Site: "North", Operation: "mitral-valve", OperatedOn: "2026-03-02"}
	b := a
	if !competency.SameOperation(a, b) {
		t.Error("equal records are of one operation")
	}
	if b.Supervisor = "tom"; competency.SameOperation(a, b) || !competency.Alike(a, b) {
		t.Error("another supervisor makes another operation, but still one alike")
	}
	if competency.Alike(competency.Record{}, competency.Record{}) {
		t.Error("empty records are alike")
	}
}

func TestChangedSettingsRaiseTheVersion(t *testing.T) {
	before := competency.Defaults()
	after, changed := before.Changed(before)
	if changed || after.RoleRule.Version != before.RoleRule.Version {
		t.Errorf("nothing changed, yet %+v", after.RoleRule)
	}
	next := before
	next.RoleRule.HelpCounts, next.RoleRule.Version = false, 9
	after, changed = next.Changed(before)
	if !changed || after.RoleRule.Version != before.RoleRule.Version+1 || after.FollowUp.Version != before.FollowUp.Version {
		t.Errorf("changed %v, role rule %d, follow-up %d", changed, after.RoleRule.Version, after.FollowUp.Version)
	}
}
