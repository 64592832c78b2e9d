package store_test

import (
	"errors"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/competency"
)

// followUp is the first version of one of case c1.
func followUp(programme competency.ProgrammeID, id competency.FollowUpID, month int) store.FollowUp {
	return store.FollowUp{
		ID: id, Programme: programme, Case: "c1", Version: 1, Freedom: competency.FreeOffDrugs, FreedomReason: "none seen", RuleVersion: 1, By: ann, At: start,
		Content: competency.FollowUp{
			Month: month, Rhythm: "sinus", Monitoring: "ambulatory", MonitoringHours: 24, Arrhythmia: "none", Antiarrhythmic: "none", Repeat: []string{}, Stroke: "none",
		},
	}
}

// caseKey is ann's key to case c1.
func caseKey(programme competency.ProgrammeID) store.CaseKey {
	return store.CaseKey{Programme: programme, Case: "c1", By: ann, Key: strings.Repeat("a", 64), At: start}
}

func TestFollowUps(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		first, second := followUp(north, "f1", 3), followUp(north, "f1", 6)
		second.Version, second.Reason = 2, "It was the sixth month."
		write(t, s, north, func(tx *store.Tx) error {
			_, err := addSigned(tx, north, "c1", ann, start)
			return errors.Join(err, tx.AddFollowUp(first), tx.AddFollowUp(second))
		})
		read(t, s, func(tx *store.Tx) error {
			all, err := tx.FollowUps(north, "c1")
			if diff := cmp.Diff([]store.FollowUp{first, second}, all); diff != "" {
				t.Errorf("all versions (-want +got):\n%s", diff)
			}
			newest, err2 := tx.FollowUpByID(north, "f1")
			if diff := cmp.Diff(second, newest); diff != "" {
				t.Errorf("newest (-want +got):\n%s", diff)
			}
			cases, err3 := tx.FollowedCases(north, store.CaseFilter{OwnOrSupervised: sue})
			want := []store.FollowedCase{{ID: "c1", Trainee: ann, Supervisor: sue, OperatedOn: "2026-03-01", Operation: "mitral", FollowUps: []competency.FollowUp{second.Content}}}
			if diff := cmp.Diff(want, cases); diff != "" {
				t.Errorf("followed cases (-want +got):\n%s", diff)
			}
			for _, nobodys := range []store.CaseFilter{{Trainee: ben}, {Supervisor: dan}, {OwnOrSupervised: ben}} {
				if cases, err := tx.FollowedCases(north, nobodys); len(cases) != 0 || err != nil {
					t.Errorf("%+v: %+v, %v", nobodys, cases, err)
				}
			}
			return errors.Join(err, err2, err3)
		})
		wantErr(t, "the same version", tryWrite(s, north, func(tx *store.Tx) error { return tx.AddFollowUp(second) }), store.ErrDuplicate)
		unknown := followUp(north, "f2", 3)
		unknown.Case = "none"
		wantErr(t, "no such case", tryWrite(s, north, func(tx *store.Tx) error { return tx.AddFollowUp(unknown) }), store.ErrReference)
	})
}

// TestCaseKeys: a person replaces their own key, and a key leads to its cases only.
func TestCaseKeys(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		mistyped, right := caseKey(north), caseKey(north)
		right.Key = strings.Repeat("b", 64)
		write(t, s, north, func(tx *store.Tx) error {
			_, err := addSigned(tx, north, "c1", ann, start)
			return errors.Join(err, tx.SaveCaseKey(mistyped), tx.SaveCaseKey(right))
		})
		read(t, s, func(tx *store.Tx) error {
			kept, err := tx.CaseKeyOf(north, "c1", ann)
			if diff := cmp.Diff(right, kept); diff != "" {
				t.Errorf("kept (-want +got):\n%s", diff)
			}
			found, err2 := tx.CasesByKey(north, right.Key)
			if len(found) != 1 || found[0].ID != "c1" {
				t.Errorf("found %+v", found)
			}
			none, err3 := tx.CasesByKey(north, mistyped.Key)
			if len(none) != 0 {
				t.Errorf("found by the replaced key: %+v", none)
			}
			return errors.Join(err, err2, err3)
		})
	})
}

// TestOldSettings: a programme saved before there were follow-ups gets the defaults.
func TestOldSettings(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		if _, err := s.DB().Exec(`UPDATE programmes SET settings = '{"sites":["Main"],"date_precision":"day","late_recall_days":14}' WHERE id = 'north'`); err != nil {
			t.Fatal(err)
		}
		read(t, s, func(tx *store.Tx) error {
			p, err := tx.ProgrammeByID(north)
			if diff := cmp.Diff(competency.DefaultFollowUpRule(), p.Settings.FollowUp); diff != "" {
				t.Errorf("follow-up rule (-want +got):\n%s", diff)
			}
			return err
		})
	})
}
