package store_test

import (
	"errors"
	"testing"

	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/competency"
)

// TestOutcomes: signed versions with their group and site, those of withdrawn cases marked, every version of every follow-up, nothing of
// another programme and no draft.
func TestOutcomes(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		first, second := followUp(north, "f1", 3), followUp(north, "f1", 3)
		second.Version, second.Reason = 2, "Read again."
		write(t, s, north, func(tx *store.Tx) error {
			c, err := addSigned(tx, north, "c1", ann, start)
			gone, err2 := addSigned(tx, north, "c2", ben, start)
			return errors.Join(err, err2, withdraw(tx, gone), tx.CreateCase(draft(north, "c4", ann, start)), tx.AddFollowUp(first), tx.AddFollowUp(second),
				tx.JoinCaseGroup(store.GroupedCase{Programme: north, Case: c.ID, Group: "g1", JoinedBy: ann, JoinedAt: start}))
		})
		write(t, s, south, func(tx *store.Tx) error {
			_, err := addSigned(tx, south, "c5", cara, start)
			return err
		})
		read(t, s, func(tx *store.Tx) error {
			signed, recorded, err := tx.Outcomes(north)
			if err != nil {
				return err
			}
			if len(signed) != 2 || signed[0].Case != "c1" || signed[0].Group != "g1" || signed[0].Trainee != ann || signed[0].Supervisor != competency.PersonID(sue) || signed[0].Site == "" ||
				signed[0].SignedAt.IsZero() || signed[0].SubmittedAt.IsZero() || signed[0].Withdrawn || !signed[1].Withdrawn || signed[1].Group != "" {
				t.Errorf("signed %+v", signed)
			}
			if len(recorded) != 2 || recorded[0].Version != 1 || recorded[1].Version != 2 || recorded[0].Case != "c1" || recorded[0].Content.Month != 3 {
				t.Errorf("recorded %+v", recorded)
			}
			return nil
		})
	})
}
