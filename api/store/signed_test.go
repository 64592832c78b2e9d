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

// TestSignedVersions: whole, in the order of signing, those of withdrawn cases marked; returns and first tries beside them, and nothing of
// another programme.
func TestSignedVersions(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		var first competency.Case
		write(t, s, north, func(tx *store.Tx) error {
			var err error
			first, err = addSigned(tx, north, "c1", ann, start)
			second, err2 := addSigned(tx, north, "c2", ben, start.Add(time.Minute))
			back := store.Done{Kind: "return", By: sue, At: start.Add(30 * time.Minute), Reason: "Look again.", Version: 1}
			other := store.Done{Kind: "submit", By: ann, At: start, Version: 1}
			return errors.Join(err, err2, withdraw(tx, second), tx.AddCaseAct(north, "c2", back), tx.AddCaseAct(north, "c1", other),
				tx.SavePlan(plan(north, "p1", ann, "one", 1, start)), tx.SavePlan(plan(north, "p2", ann, "one", 2, start.Add(time.Hour))), tx.SavePlan(plan(north, "p3", ben, "one", 1, start.Add(time.Hour))))
		})
		write(t, s, south, func(tx *store.Tx) error {
			_, err := addSigned(tx, south, "c5", cara, start)
			return errors.Join(err, tx.AddCaseAct(south, "c5", store.Done{Kind: "return", By: sue, At: start, Version: 1}), tx.SavePlan(plan(south, "p5", cara, "one", 1, start)))
		})
		read(t, s, func(tx *store.Tx) error {
			got, err := tx.SignedVersions(north)
			if err != nil || len(got) != 2 || got[0].Case != "c1" || got[0].Withdrawn || !got[1].Withdrawn {
				t.Fatalf("%v, %+v", err, got)
			}
			signed := signature("s-c1", first, start.Add(2*time.Hour))
			want := competency.Signed{
				Case: "c1", Version: 1, Trainee: ann, Assessor: sue, OperatedOn: "2026-03-01", Operation: "mitral", SubmittedAt: start.Add(time.Hour), SignedAt: signed.SignedAt,
				LateRecall: true, Record: first.Record, Computed: *first.Computed, Statement: signed.Statement, Role: signed.Role, RoleClaimed: signed.RoleClaimed,
			}
			if diff := cmp.Diff(want, got[0]); diff != "" {
				t.Errorf("signed (-want +got):\n%s", diff)
			}
			returns, err := tx.Returns(north)
			if diff := cmp.Diff([]competency.Returned{{Case: "c2", By: sue, At: start.Add(30 * time.Minute), Withdrawn: true}}, returns); diff != "" || err != nil {
				t.Errorf("returns, %v (-want +got):\n%s", err, diff)
			}
			tries, err := tx.FirstTries(north)
			if err != nil || len(tries) != 2 || tries[0].ID != "p1" || tries[1].ID != "p3" || tries[1].TraineeName != "Name of ben" || string(tries[0].Grade) != `{"score":61.50}` {
				t.Errorf("first tries %+v, %v", tries, err)
			}
			return nil
		})
	})
}
