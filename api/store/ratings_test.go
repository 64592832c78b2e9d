package store_test

import (
	"errors"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/competency"
)

// TestRatings: signed versions only, those of withdrawn cases marked, nothing of another programme.
func TestRatings(t *testing.T) {
	rated := func(id competency.CaseID, trainee competency.PersonID, at time.Time, withdrawn bool) competency.Rated {
		return competency.Rated{Case: id, Trainee: trainee, Assessor: sue, HelpGiven: 4, SupervisionNext: 3, SignedAt: at.Add(2 * time.Hour), Withdrawn: withdrawn}
	}
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		write(t, s, north, func(tx *store.Tx) error {
			_, err := addSigned(tx, north, "c1", ann, start)
			second, err2 := addSigned(tx, north, "c2", ann, start.Add(time.Minute))
			_, err3 := addSigned(tx, north, "c3", ben, start.Add(time.Hour))
			return errors.Join(err, err2, err3, withdraw(tx, second), tx.CreateCase(draft(north, "c4", ann, start)))
		})
		write(t, s, south, func(tx *store.Tx) error {
			_, err := addSigned(tx, south, "c5", cara, start)
			return err
		})
		read(t, s, func(tx *store.Tx) error {
			got, err := tx.Ratings(north)
			want := []competency.Rated{rated("c1", ann, start, false), rated("c2", ann, start.Add(time.Minute), true), rated("c3", ben, start.Add(time.Hour), false)}
			if diff := cmp.Diff(want, got); diff != "" {
				t.Errorf("ratings (-want +got):\n%s", diff)
			}
			return err
		})
	})
}

// TestFollowUpsOnRecord: every version, by trainee, with what it says of the rhythm.
func TestFollowUpsOnRecord(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		first, second, silent := followUp(north, "f1", 3), followUp(north, "f1", 3), followUp(north, "f2", 12)
		second.Version, second.Reason, second.Content.Died, second.At = 2, "Died a week later.", true, start.Add(time.Hour)
		silent.Content.Rhythm, silent.Content.Arrhythmia = "not-known", "not-known"
		bens := followUp(north, "f3", 6)
		bens.Case = "c2"
		write(t, s, north, func(tx *store.Tx) error {
			_, err := addSigned(tx, north, "c1", ann, start)
			_, err2 := addSigned(tx, north, "c2", ben, start)
			return errors.Join(err, err2, tx.AddFollowUp(first), tx.AddFollowUp(second), tx.AddFollowUp(silent), tx.AddFollowUp(bens))
		})
		anns := []competency.FollowUpOnRecord{
			{ID: "f1", Case: "c1", Version: 1, Month: 3, Rhythm: true, At: start}, {ID: "f1", Case: "c1", Version: 2, Month: 3, Rhythm: true, Died: true, At: start.Add(time.Hour)},
			{ID: "f2", Case: "c1", Version: 1, Month: 12, At: start},
		}
		of := map[competency.PersonID][]competency.FollowUpOnRecord{ann: anns}
		read(t, s, func(tx *store.Tx) error {
			got, err := tx.FollowUpsOnRecord(north, ann)
			if diff := cmp.Diff(of, got); diff != "" {
				t.Errorf("of ann (-want +got):\n%s", diff)
			}
			of[ben] = []competency.FollowUpOnRecord{{ID: "f3", Case: "c2", Version: 1, Month: 6, Rhythm: true, At: start}}
			all, err2 := tx.FollowUpsOnRecord(north, "")
			if diff := cmp.Diff(of, all); diff != "" {
				t.Errorf("of everyone (-want +got):\n%s", diff)
			}
			return errors.Join(err, err2)
		})
	})
}
