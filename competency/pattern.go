package competency

import (
	"slices"

	"isthmus/assessment/af"
)

// PatternOf is a record without what belongs to one patient or one day: date, AF history, diameter, events and note. A new case can begin
// from it.
func PatternOf(r Record) Record {
	r = r.normal()
	r.OperatedOn, r.AF, r.LeftAtriumBand, r.Events, r.Note = "", af.History{}, "", []string{}, ""
	return r
}

// SameOperation reports whether two records can be of one operation: same date, site, operation and supervisor, none of them missing.
func SameOperation(a, b Record) bool {
	return Alike(a, b) && a.Supervisor != "" && a.Supervisor == b.Supervisor
}

// Alike reports whether two records have the same date, site and operation, none of them missing: of one trainee, most likely one
// operation entered twice.
func Alike(a, b Record) bool {
	return a.OperatedOn != "" && a.Site != "" && a.Operation != "" && a.OperatedOn == b.OperatedOn && a.Site == b.Site && a.Operation == b.Operation
}

// Changed gives the settings with the versions of the rules that differ from those before raised by one, and reports whether anything
// differs. Versions in s are ignored.
func (s Settings) Changed(before Settings) (Settings, bool) {
	s.RoleRule.Version, s.FollowUp.Version = before.RoleRule.Version, before.FollowUp.Version
	changed := hashOf(s) != hashOf(before)
	if !slices.Equal(s.RoleRule.KeySteps, before.RoleRule.KeySteps) || s.RoleRule.ShareOfSteps != before.RoleRule.ShareOfSteps || s.RoleRule.HelpCounts != before.RoleRule.HelpCounts {
		s.RoleRule.Version++
	}
	if hashOf(s.FollowUp) != hashOf(before.FollowUp) {
		s.FollowUp.Version++
	}
	return s, changed
}
