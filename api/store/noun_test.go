package store_test

import (
	"context"
	"errors"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/competency"
)

func TestProgramme(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		settings := competency.Defaults()
		settings.Sites = []string{"Zürich", "Main"}
		inZone := start.In(time.FixedZone("away", 7200)).Add(345 * time.Nanosecond)
		want := store.Programme{ID: "p", Name: "Fictional", Settings: settings, CreatedAt: start}
		write(t, s, "", func(tx *store.Tx) error {
			return tx.CreateProgramme(store.Programme{ID: "p", Name: "Fictional", Settings: settings, CreatedAt: inZone})
		})
		read(t, s, func(tx *store.Tx) error {
			got, err := tx.ProgrammeByID("p")
			if diff := cmp.Diff(want, got); diff != "" {
				t.Errorf("ProgrammeByID (-want +got):\n%s", diff)
			}
			_, missing := tx.ProgrammeByID("q")
			wantErr(t, "unknown programme", missing, store.ErrNotFound)
			return err
		})
		err := tryWrite(s, "", func(tx *store.Tx) error { return tx.CreateProgramme(want) })
		wantErr(t, "same id again", err, store.ErrDuplicate)
	})
}

func TestPerson(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		write(t, s, "", func(tx *store.Tx) error {
			return tx.CreatePerson(store.Person{ID: "eve", Email: " Eve@Example.ORG ", Name: "Eve", PasswordHash: "one", CreatedAt: start})
		})
		write(t, s, "", func(tx *store.Tx) error { return tx.SetPassword("eve", "two") })
		read(t, s, func(tx *store.Tx) error {
			want := store.Person{ID: "eve", Email: "eve@example.org", Name: "Eve", PasswordHash: "two", Epoch: 2, CreatedAt: start}
			byEmail, err := tx.PersonByEmail("EVE@example.org")
			byID, err2 := tx.PersonByID("eve")
			if byEmail != want || byID != want {
				t.Errorf("PersonByEmail = %+v, PersonByID = %+v, want %+v", byEmail, byID, want)
			}
			accounts, err3 := tx.Accounts()
			if len(accounts) != 6 || accounts[0].ID != ann || accounts[4].ID != "eve" {
				t.Errorf("Accounts = %v", accounts)
			}
			_, missing := tx.PersonByEmail("nobody@example.org")
			wantErr(t, "unknown address", missing, store.ErrNotFound)
			return errors.Join(err, err2, err3)
		})
		err := tryWrite(s, "", func(tx *store.Tx) error {
			return tx.CreatePerson(store.Person{ID: "other", Email: "eve@EXAMPLE.org", Name: "Other", CreatedAt: start})
		})
		wantErr(t, "same address", err, store.ErrDuplicate)
		err = tryWrite(s, "", func(tx *store.Tx) error { return tx.SetPassword("nobody", "x") })
		wantErr(t, "password of nobody", err, store.ErrNotFound)
	})
}

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

func TestSession(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		ctx, later := context.Background(), start.Add(time.Hour)
		must := func(err error) {
			t.Helper()
			if err != nil {
				t.Fatal(err)
			}
		}
		must(s.CommitSession(ctx, "h1", []byte("one"), start))
		must(s.CommitSession(ctx, "h1", []byte{0, 255, 1}, later))
		must(s.CommitSession(ctx, "h2", []byte("two"), later))
		data, found, err := s.FindSession(ctx, "h1", start)
		if !found || err != nil || string(data) != "\x00\xff\x01" {
			t.Errorf("FindSession = %q, %v, %v", data, found, err)
		}
		if _, found, _ := s.FindSession(ctx, "h1", later); found {
			t.Error("a session is found at the moment it ends")
		}
		if all, err := s.Sessions(ctx, start); len(all) != 2 || err != nil {
			t.Errorf("Sessions = %v, %v", all, err)
		}
		must(s.DeleteSession(ctx, "h2"))
		must(s.DeleteSession(ctx, "h2"))
		if _, found, err := s.FindSession(ctx, "h2", start); found || err != nil {
			t.Errorf("a deleted session is found, or %v", err)
		}
		must(s.DropExpiredSessions(ctx, later))
		if all, err := s.Sessions(ctx, start); len(all) != 0 || err != nil {
			t.Errorf("Sessions after dropping = %v, %v", all, err)
		}
	})
}

func TestToken(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		first := store.Token{ID: "t1", Person: ann, Name: "laptop", Hash: "h1", CreatedAt: start, ExpiresAt: start.Add(time.Hour)}
		second := store.Token{ID: "t2", Person: ann, Name: "script", Hash: "h2", CreatedAt: start.Add(time.Second), ExpiresAt: start.Add(time.Hour)}
		write(t, s, "", func(tx *store.Tx) error { return errors.Join(tx.CreateToken(first), tx.CreateToken(second)) })
		err := tryWrite(s, "", func(tx *store.Tx) error { return tx.RevokeToken(ben, "t1") })
		wantErr(t, "revoking another's token", err, store.ErrNotFound)
		revoke := act("")
		revoke.At = start.Add(time.Minute)
		for range 2 {
			err = s.Write(context.Background(), revoke, func(tx *store.Tx) error {
				return errors.Join(tx.RevokeToken(ann, "t1"), tx.Audit("token", "t1", 1, 2))
			})
			if err != nil {
				t.Fatal(err)
			}
			revoke.At = revoke.At.Add(time.Hour)
		}
		first.RevokedAt = start.Add(time.Minute)
		read(t, s, func(tx *store.Tx) error {
			list, err := tx.Tokens(ann)
			if diff := cmp.Diff([]store.Token{second, first}, list); diff != "" {
				t.Errorf("Tokens (-want +got):\n%s", diff)
			}
			got, err2 := tx.TokenByHash("h1")
			if got != first {
				t.Errorf("TokenByHash = %+v, want %+v", got, first)
			}
			_, missing := tx.TokenByHash("h3")
			wantErr(t, "unknown hash", missing, store.ErrNotFound)
			return errors.Join(err, err2)
		})
		same := second
		same.ID = "t3"
		err = tryWrite(s, "", func(tx *store.Tx) error { return tx.CreateToken(same) })
		wantErr(t, "same hash", err, store.ErrDuplicate)
	})
}

func TestThrottle(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		ctx := context.Background()
		for i := range 4 {
			if err := s.RecordFailure(ctx, "account", start.Add(time.Duration(i)*time.Minute)); err != nil {
				t.Fatal(err)
			}
		}
		if err := s.RecordFailure(ctx, "address", start); err != nil {
			t.Fatal(err)
		}
		count := func(target string, since time.Time, want int) {
			t.Helper()
			if n, err := s.Failures(ctx, target, since); n != want || err != nil {
				t.Errorf("Failures(%s) = %d, %v, want %d", target, n, err, want)
			}
		}
		count("account", start, 4)
		count("account", start.Add(time.Minute), 3)
		if err := s.DropOldFailures(ctx, start.Add(2*time.Minute)); err != nil {
			t.Fatal(err)
		}
		count("account", start, 2)
		count("address", start, 0)
		if err := s.ClearFailures(ctx, "account"); err != nil {
			t.Fatal(err)
		}
		count("account", start, 0)
	})
}

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
			want.TraineeName = "Name of ann"
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
