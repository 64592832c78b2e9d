package store_test

import (
	"errors"
	"testing"

	"github.com/google/go-cmp/cmp"

	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/competency"
)

func TestMembership(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		write(t, s, north, func(tx *store.Tx) error {
			return errors.Join(
				tx.AddMembership(store.Membership{Programme: north, Person: sue, Role: "committee", From: "2026-02-01", Until: "2026-02-28"}),
				tx.AddMembership(store.Membership{Programme: north, Person: sue, Role: "faculty", From: "2024-01-01", Until: "2024-12-31"}),
				tx.EndMembership(north, ann, "trainee", "2026-06-30"))
		})
		read(t, s, func(tx *store.Tx) error {
			for day, want := range map[competency.Day][]string{
				"2023-12-31": {}, "2024-01-01": {"faculty"}, "2024-12-31": {"faculty"}, "2025-01-01": {}, "2026-01-31": {"faculty"},
				"2026-02-01": {"committee", "faculty"}, "2026-02-28": {"committee", "faculty"}, "2026-03-01": {"faculty"},
			} {
				got, err := tx.RolesOn(north, sue, day)
				if diff := cmp.Diff(want, got); diff != "" || err != nil {
					t.Errorf("RolesOn(%s) (-want +got), %v:\n%s", day, err, diff)
				}
			}
			terms, err := tx.Terms(north, sue, "faculty")
			if diff := cmp.Diff([]competency.Term{{From: "2024-01-01", Until: "2024-12-31"}, {From: "2026-01-01"}}, terms); diff != "" {
				t.Errorf("Terms (-want +got):\n%s", diff)
			}
			memberships, err2 := tx.Memberships(sue)
			if len(memberships) != 4 || memberships[0].ProgrammeName != "Programme north" || memberships[3].Programme != south {
				t.Errorf("Memberships = %+v", memberships)
			}
			return errors.Join(err, err2)
		})
		err := tryWrite(s, north, func(tx *store.Tx) error { return tx.EndMembership(north, ann, "trainee", "2026-07-01") })
		wantErr(t, "ending it again", err, store.ErrNotFound)
		err = tryWrite(s, north, func(tx *store.Tx) error {
			return tx.AddMembership(store.Membership{Programme: north, Person: ann, Role: "trainee", From: "2026-01-01"})
		})
		wantErr(t, "same role from the same day", err, store.ErrDuplicate)
	})
}

func TestPeople(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		write(t, s, north, func(tx *store.Tx) error {
			return errors.Join(
				tx.AddMembership(store.Membership{Programme: north, Person: sue, Role: "committee", From: "2025-02-01"}),
				tx.EndMembership(north, ann, "trainee", "2026-06-30"))
		})
		ids := func(members []store.Member) []competency.PersonID {
			list := []competency.PersonID{}
			for _, m := range members {
				list = append(list, m.ID)
			}
			return list
		}
		read(t, s, func(tx *store.Tx) error {
			all, err := tx.People(north, "", "2026-06-30")
			if diff := cmp.Diff([]competency.PersonID{ann, ben, dan, sue}, ids(all)); diff != "" {
				t.Errorf("People (-want +got):\n%s", diff)
			}
			want := store.Member{ID: sue, Name: "Name of sue", Email: "sue@example.org", Roles: []string{"committee", "faculty"}, Since: "2025-02-01"}
			if diff := cmp.Diff(want, all[3]); diff != "" {
				t.Errorf("member (-want +got):\n%s", diff)
			}
			now, err2 := tx.People(north, "trainee", "2026-07-01")
			if diff := cmp.Diff([]competency.PersonID{ben}, ids(now)); diff != "" {
				t.Errorf("trainees of a day (-want +got):\n%s", diff)
			}
			ever, err3 := tx.People(north, "trainee", "")
			if diff := cmp.Diff([]competency.PersonID{ann, ben}, ids(ever)); diff != "" {
				t.Errorf("trainees ever (-want +got):\n%s", diff)
			}
			names, err4 := tx.Names(south)
			if diff := cmp.Diff(map[competency.PersonID]string{cara: "Name of cara", sue: "Name of sue"}, names); diff != "" {
				t.Errorf("Names (-want +got):\n%s", diff)
			}
			return errors.Join(err, err2, err3, err4)
		})
	})
}
