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

func TestStandard(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		standard := func(version int, from competency.Day) store.Standard {
			return store.Standard{Programme: north, Version: version, InForceFrom: from, YAML: "version: 1\nä: b\n", CreatedBy: dan, CreatedAt: start}
		}
		write(t, s, north, func(tx *store.Tx) error {
			return errors.Join(tx.AddStandard(standard(1, "2026-01-01")), tx.AddStandard(standard(2, "2026-04-01")), tx.AddStandard(standard(3, "2026-04-01")))
		})
		read(t, s, func(tx *store.Tx) error {
			for day, want := range map[competency.Day]int{"2026-01-01": 1, "2026-03-31": 1, "2026-04-01": 3, "2030-01-01": 3} {
				if got, err := tx.StandardInForce(north, day); got.Version != want || err != nil {
					t.Errorf("StandardInForce(%s) = %d, %v, want %d", day, got.Version, err, want)
				}
			}
			_, early := tx.StandardInForce(north, "2025-12-31")
			wantErr(t, "before the first", early, store.ErrNotFound)
			list, err := tx.Standards(north)
			if diff := cmp.Diff([]store.Standard{standard(3, "2026-04-01"), standard(2, "2026-04-01"), standard(1, "2026-01-01")}, list); diff != "" {
				t.Errorf("Standards (-want +got):\n%s", diff)
			}
			got, err2 := tx.StandardByVersion(north, 2)
			if got != standard(2, "2026-04-01") {
				t.Errorf("StandardByVersion = %+v", got)
			}
			return errors.Join(err, err2)
		})
		byOperator := standard(4, "2027-01-01")
		byOperator.CreatedBy = ""
		write(t, s, north, func(tx *store.Tx) error { return tx.AddStandard(byOperator) })
		read(t, s, func(tx *store.Tx) error {
			got, err := tx.StandardByVersion(north, 4)
			if got != byOperator {
				t.Errorf("a standard added by nobody = %+v", got)
			}
			return err
		})
		err := tryWrite(s, north, func(tx *store.Tx) error { return tx.AddStandard(standard(3, "2027-01-01")) })
		wantErr(t, "same version", err, store.ErrDuplicate)
	})
}

func TestPlan(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		saved := []store.PlanRow{
			plan(north, "p1", ann, "one", 1, start), plan(north, "p2", ann, "one", 2, start.Add(time.Hour)),
			plan(north, "p3", ann, "two", 1, start.Add(2*time.Hour)), plan(north, "p4", ben, "one", 1, start.Add(3*time.Hour)),
		}
		write(t, s, north, func(tx *store.Tx) error {
			for _, p := range saved {
				if err := tx.SavePlan(p); err != nil {
					return err
				}
			}
			return nil
		})
		read(t, s, func(tx *store.Tx) error {
			got, err := tx.PlanByID(north, "p2")
			want := saved[1]
			want.TraineeName, want.PractisedBefore = "Name of ann", 1
			if diff := cmp.Diff(want, got); diff != "" {
				t.Errorf("PlanByID (-want +got):\n%s", diff)
			}
			for _, c := range []struct {
				filter store.PlanFilter
				want   string
			}{
				{store.PlanFilter{}, "p4 p3 p2 p1 "}, {store.PlanFilter{Trainee: ann}, "p3 p2 p1 "}, {store.PlanFilter{Scenario: "one"}, "p4 p2 p1 "},
				{store.PlanFilter{Trainee: ben, Scenario: "two"}, ""}, {store.PlanFilter{Trainees: []competency.PersonID{ben, sue}}, "p4 "},
				{store.PlanFilter{Trainees: []competency.PersonID{}}, ""},
			} {
				list, _, err := tx.Plans(north, c.filter, store.Page{})
				ids := ""
				for _, p := range list {
					ids += string(p.ID) + " "
				}
				if ids != c.want || err != nil {
					t.Errorf("Plans(%+v) = %q, %v, want %q", c.filter, ids, err, c.want)
				}
			}
			next, err2 := tx.NextAttempt(north, ann, "one")
			none, err3 := tx.NextAttempt(north, ann, "new")
			if next != 3 || none != 1 {
				t.Errorf("NextAttempt = %d and %d, want 3 and 1", next, none)
			}
			attempts, err4 := tx.AttemptsBy(north, ann)
			if attempts["one"] != (store.Attempts{N: 2, BestScore: 62.5, BestLetter: "B"}) || attempts["two"].N != 1 || len(attempts) != 2 {
				t.Errorf("AttemptsBy = %+v", attempts)
			}
			return errors.Join(err, err2, err3, err4)
		})
		for name, p := range map[string]store.PlanRow{"same id": plan(north, "p1", ben, "three", 1, start), "same attempt": plan(north, "p9", ann, "one", 2, start)} {
			err := tryWrite(s, north, func(tx *store.Tx) error { return tx.SavePlan(p) })
			wantErr(t, name, err, store.ErrDuplicate)
		}
		bad := plan(north, "p9", ann, "three", 1, start)
		bad.Grade = []byte("no JSON")
		if err := tryWrite(s, north, func(tx *store.Tx) error { return tx.SavePlan(bad) }); err == nil {
			t.Error("a grade that is no JSON was saved")
		}
	})
}

func TestIdempotencyKey(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		did := store.IdempotencyRow{Operation: "case.create", RequestHash: "hash", ObjectID: "c1"}
		save := func(programme competency.ProgrammeID, person competency.PersonID) error {
			return tryWrite(s, programme, func(tx *store.Tx) error { return tx.SaveIdempotencyKey(programme, person, "key", did) })
		}
		if err := errors.Join(save(north, ann), save(north, ben), save(south, ann)); err != nil {
			t.Fatal(err)
		}
		wantErr(t, "same key again", save(north, ann), store.ErrDuplicate)
		read(t, s, func(tx *store.Tx) error {
			got, found, err := tx.IdempotencyKey(north, ann, "key")
			if !found || got != did {
				t.Errorf("IdempotencyKey = %+v, %v", got, found)
			}
			_, found, err2 := tx.IdempotencyKey(north, ann, "Key")
			if found {
				t.Error("keys differ in case, yet one was taken for the other")
			}
			return errors.Join(err, err2)
		})
	})
}
