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
