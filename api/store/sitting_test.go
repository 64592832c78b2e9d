package store_test

import (
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/assessment"
	"isthmus/assessment/strict"
	"isthmus/competency"
)

func TestSitting(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		first := sitting(north, "t1", ann, "one", start.Add(time.Hour))
		first.Attempt = 2
		write(t, s, north, func(tx *store.Tx) error {
			return errors.Join(tx.SavePlan(plan(north, "p1", ann, "one", 1, start)), tx.CreateSitting(first),
				tx.CreateSitting(sitting(north, "t2", ben, "one", start.Add(2*time.Hour))))
		})
		ablate := false
		saved, err := first.Save(assessment.Plan{Ablate: &ablate, Note: "Schräg – 50 µm."}, start.Add(80*time.Minute))
		if err != nil {
			t.Fatal(err)
		}
		first.Sitting = saved
		write(t, s, north, func(tx *store.Tx) error { return tx.SaveSitting(first, 1) })
		wantErr(t, "an old revision", tryWrite(s, north, func(tx *store.Tx) error { return tx.SaveSitting(first, 1) }), store.ErrStale)
		read(t, s, func(tx *store.Tx) error {
			got, err := tx.SittingByID(north, "t1")
			want := first
			want.TraineeName, want.PractisedBefore = "Name of ann", 1
			if diff := cmp.Diff(want, got); diff != "" {
				t.Errorf("SittingByID (-want +got):\n%s", diff)
			}
			byVersion, err2 := tx.SittingOf(north, ann, "one", 2)
			if byVersion.ID != "t1" {
				t.Errorf("SittingOf = %s", byVersion.ID)
			}
			_, none := tx.SittingOf(north, ann, "one", 3)
			wantErr(t, "a version never sat", none, store.ErrNotFound)
			next, err3 := tx.NextAttempt(north, ann, "one")
			if next != 3 {
				t.Errorf("the next attempt is %d, want 3: a test takes a number too", next)
			}
			return errors.Join(err, err2, err3)
		})
	})
}

func TestSittingsListed(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		endless := sitting(north, "t3", dan, "two", start.Add(2*time.Hour))
		endless.EndsAt = time.Time{}
		write(t, s, north, func(tx *store.Tx) error {
			return errors.Join(tx.CreateSitting(sitting(north, "t1", ann, "one", start)), tx.CreateSitting(sitting(north, "t2", ben, "one", start.Add(time.Hour))),
				tx.CreateSitting(endless))
		})
		read(t, s, func(tx *store.Tx) error {
			for _, c := range []struct {
				filter store.SittingFilter
				want   string
			}{
				{store.SittingFilter{}, "t3 t2 t1"}, {store.SittingFilter{Trainee: ann}, "t1"}, {store.SittingFilter{Scenario: "one"}, "t2 t1"},
				{store.SittingFilter{Status: assessment.SittingOpen}, "t3 t2 t1"}, {store.SittingFilter{Status: assessment.SittingEnded}, ""},
				{store.SittingFilter{Trainees: []competency.PersonID{ben, sue}}, "t2"}, {store.SittingFilter{Trainees: []competency.PersonID{}}, ""},
			} {
				list, _, err := tx.Sittings(north, c.filter, store.Page{})
				var ids []string
				for _, one := range list {
					ids = append(ids, string(one.ID))
				}
				if got := strings.Join(ids, " "); got != c.want || err != nil {
					t.Errorf("Sittings(%+v) = %q, %v, want %q", c.filter, got, err, c.want)
				}
			}
			for minutes, want := range map[int]int{30: 0, 31: 1, 24 * 60: 2} {
				past, err := tx.SittingsPast(north, start.Add(time.Duration(minutes)*time.Minute))
				if len(past) != want || err != nil {
					t.Errorf("after %d minutes %v are past their end, %v", minutes, past, err)
				}
			}
			open, err := tx.OpenSittingsOf(ben)
			if diff := cmp.Diff([]store.OpenSitting{{Programme: north, ID: "t2", Scenario: "one", EndsAt: start.Add(90 * time.Minute)}}, open); diff != "" {
				t.Errorf("OpenSittingsOf (-want +got):\n%s", diff)
			}
			return err
		})
	})
}

// TestSittingLimits: what the database refuses whatever the program does.
func TestSittingLimits(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		open := sitting(north, "t1", ann, "one", start)
		write(t, s, north, func(tx *store.Tx) error { return tx.CreateSitting(open) })
		second := sitting(north, "t2", ann, "two", start)
		wantErr(t, "a second open one", tryWrite(s, north, func(tx *store.Tx) error { return tx.CreateSitting(second) }), store.ErrDuplicate)
		closed := open
		var err error
		if closed.Sitting, err = open.End([]strict.Fault{{Field: "ablate", Message: "must be true or false"}}, open.EndsAt.Add(time.Minute)); err != nil {
			t.Fatal(err)
		}
		write(t, s, north, func(tx *store.Tx) error { return tx.SaveSitting(closed, 1) })
		read(t, s, func(tx *store.Tx) error {
			got, err := tx.SittingByID(north, "t1")
			got.TraineeName = ""
			if diff := cmp.Diff(closed, got); diff != "" {
				t.Errorf("ended (-want +got):\n%s", diff)
			}
			return err
		})
		again := sitting(north, "t3", ann, "one", start)
		again.Attempt = 2
		wantErr(t, "the same version again", tryWrite(s, north, func(tx *store.Tx) error { return tx.CreateSitting(again) }), store.ErrDuplicate)
		again.ScenarioVersion, again.Attempt = 3, 1
		wantErr(t, "the same attempt again", tryWrite(s, north, func(tx *store.Tx) error { return tx.CreateSitting(again) }), store.ErrDuplicate)
		refuse(t, s, "sittings", []string{"UPDATE sittings SET revision = revision + 1", "UPDATE sittings SET status = 'open'", "DELETE FROM sittings"})
		graded := func(id string, attempt int) store.PlanRow {
			row := plan(north, id, ann, "one", attempt, start)
			row.Sitting = "t1"
			return row
		}
		write(t, s, north, func(tx *store.Tx) error { return tx.SavePlan(graded("p1", 1)) })
		err = tryWrite(s, north, func(tx *store.Tx) error { return tx.SavePlan(graded("p2", 2)) })
		wantErr(t, "two grades of one test", err, store.ErrDuplicate)
		read(t, s, func(tx *store.Tx) error {
			got, err := tx.SittingByID(north, "t1")
			of, err2 := tx.PlanByID(north, "p1")
			if got.PlanID != "p1" || of.Sitting != "t1" {
				t.Errorf("plan %q of the test, test %q of the plan", got.PlanID, of.Sitting)
			}
			return errors.Join(err, err2)
		})
	})
}

func TestScopePolicy(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		write(t, s, north, func(tx *store.Tx) error {
			return errors.Join(tx.AddScopePolicy(scopePolicy(1, "2026-01-01")), tx.AddScopePolicy(scopePolicy(2, "2026-04-01")), tx.AddScopePolicy(scopePolicy(3, "2026-04-01")))
		})
		read(t, s, func(tx *store.Tx) error {
			for day, want := range map[competency.Day]int{"2026-01-01": 1, "2026-03-31": 1, "2026-04-01": 3, "2030-01-01": 3} {
				if got, err := tx.ScopePolicyInForce(north, day); got.Version != want || err != nil {
					t.Errorf("ScopePolicyInForce(%s) = %d, %v, want %d", day, got.Version, err, want)
				}
			}
			_, early := tx.ScopePolicyInForce(north, "2025-12-31")
			wantErr(t, "before the first", early, store.ErrNotFound)
			list, err := tx.ScopePolicies(north)
			if diff := cmp.Diff([]store.ScopePolicy{scopePolicy(3, "2026-04-01"), scopePolicy(2, "2026-04-01"), scopePolicy(1, "2026-01-01")}, list); diff != "" {
				t.Errorf("ScopePolicies (-want +got):\n%s", diff)
			}
			got, err2 := tx.ScopePolicyByVersion(north, 2)
			if diff := cmp.Diff(scopePolicy(2, "2026-04-01"), got); diff != "" {
				t.Errorf("ScopePolicyByVersion (-want +got):\n%s", diff)
			}
			return errors.Join(err, err2)
		})
		err := tryWrite(s, north, func(tx *store.Tx) error { return tx.AddScopePolicy(scopePolicy(3, "2027-01-01")) })
		wantErr(t, "same version", err, store.ErrDuplicate)
	})
}
