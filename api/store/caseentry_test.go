package store_test

import (
	"errors"
	"testing"

	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/competency"
)

// addEntry adds what stands beside the case c1 of ann: a pattern, a change of the settings, a group.
func addEntry(tx *store.Tx, programme competency.ProgrammeID) error {
	settings := competency.Defaults()
	settings.RoleRule.Version, settings.RoleRule.ShareOfSteps = 2, 0.6
	return errors.Join(
		tx.SaveCasePattern(store.CasePattern{ID: "pattern", Programme: programme, Person: ann, Name: "Box", CreatedAt: start}),
		tx.AddSettingsVersion(store.SettingsVersion{Programme: programme, Version: 1, Settings: settings, Reason: "more steps", CreatedBy: dan, CreatedAt: start}),
		tx.JoinCaseGroup(store.GroupedCase{Programme: programme, Case: "c1", Group: "g1", JoinedBy: ann, JoinedAt: start}),
	)
}

// TestCaseEntry keeps patterns by their name, settings by their version, and cases of one operation together.
func TestCaseEntry(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		write(t, s, north, func(tx *store.Tx) error {
			_, err := addSigned(tx, north, "c1", ann, start)
			return errors.Join(err, addEntry(tx, north), tx.CreateCase(draft(north, "c2", ben, start)),
				tx.SaveCasePattern(store.CasePattern{ID: "newer", Programme: north, Person: ann, Name: "Box", CreatedAt: start}),
				tx.JoinCaseGroup(store.GroupedCase{Programme: north, Case: "c2", Group: "g1", JoinedBy: ben, JoinedAt: start}))
		})
		read(t, s, func(tx *store.Tx) error {
			patterns, err := tx.CasePatterns(north, ann)
			if err != nil || len(patterns) != 1 || patterns[0].ID != "newer" {
				t.Errorf("patterns %+v, %v", patterns, err)
			}
			programme, err := tx.ProgrammeByID(north)
			if err != nil || programme.SettingsVersion != 1 || programme.Settings.RoleRule.ShareOfSteps != 0.6 {
				t.Errorf("settings %+v, %v", programme, err)
			}
			cases, err := tx.CasesOfGroup(north, "g1")
			if err != nil || len(cases) != 2 {
				t.Errorf("%d cases in the group, %v", len(cases), err)
			}
			return err
		})
		wantErr(t, "a case in two groups", tryWrite(s, north, func(tx *store.Tx) error {
			return tx.JoinCaseGroup(store.GroupedCase{Programme: north, Case: "c2", Group: "g2", JoinedBy: ben, JoinedAt: start})
		}), store.ErrDuplicate)
		write(t, s, north, func(tx *store.Tx) error {
			return errors.Join(tx.LeaveCaseGroup(north, "c2"), tx.DeleteCasePattern(north, ann, "newer"))
		})
	})
}
