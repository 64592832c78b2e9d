package store_test

import (
	"errors"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/competency"
)

func TestCaseRoundTrip(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		first := draft(north, "c1", ann, start)
		bare := draft(north, "c2", ann, start)
		bare.Record = competency.Record{}
		write(t, s, north, func(tx *store.Tx) error { return errors.Join(tx.CreateCase(first), tx.CreateCase(bare)) })
		read(t, s, func(tx *store.Tx) error {
			for _, want := range []competency.Case{first, bare} {
				got, err := tx.CaseByID(north, want.ID)
				if diff := cmp.Diff(want, got); diff != "" || err != nil {
					t.Errorf("CaseByID (-want +got), %v:\n%s", err, diff)
				}
			}
			return nil
		})
		second := submitted(first, start.Add(time.Hour))
		write(t, s, north, func(tx *store.Tx) error { return errors.Join(tx.SaveCase(second, 1), tx.AddCaseVersion(second)) })
		read(t, s, func(tx *store.Tx) error {
			got, err := tx.CaseByID(north, "c1")
			if diff := cmp.Diff(second, got); diff != "" {
				t.Errorf("CaseByID after submission (-want +got):\n%s", diff)
			}
			versions, err2 := tx.CaseVersions(north, "c1")
			want := []store.CaseVersion{{Case: "c1", Version: 1, Record: second.Record, Computed: *second.Computed, ContentHash: "content-hash", SubmittedAt: second.SubmittedAt}}
			if diff := cmp.Diff(want, versions); diff != "" {
				t.Errorf("CaseVersions (-want +got):\n%s", diff)
			}
			return errors.Join(err, err2)
		})
		err := tryWrite(s, north, func(tx *store.Tx) error { return tx.CreateCase(first) })
		wantErr(t, "same id", err, store.ErrDuplicate)
		err = tryWrite(s, north, func(tx *store.Tx) error { return tx.AddCaseVersion(second) })
		wantErr(t, "same version", err, store.ErrDuplicate)
		err = tryWrite(s, north, func(tx *store.Tx) error { return tx.AddCaseVersion(bare) })
		if err == nil {
			t.Error("a version of a case that was never submitted was added")
		}
	})
}

func TestSaveCaseStale(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		c := draft(north, "c1", ann, start)
		write(t, s, north, func(tx *store.Tx) error { return tx.CreateCase(c) })
		save := func(revision, expected int, id competency.CaseID) error {
			changed := c
			changed.ID, changed.Revision, changed.Record.Note = id, revision, "changed"
			changed.Record.Supervisor, changed.Trainee, changed.CreatedAt = "", ben, start.Add(time.Hour)
			return tryWrite(s, north, func(tx *store.Tx) error { return tx.SaveCase(changed, expected) })
		}
		if err := save(2, 1, "c1"); err != nil {
			t.Fatal(err)
		}
		wantErr(t, "an old revision", save(2, 1, "c1"), store.ErrStale)
		wantErr(t, "a future revision", save(9, 8, "c1"), store.ErrStale)
		wantErr(t, "an unknown case", save(2, 1, "c9"), store.ErrNotFound)
		read(t, s, func(tx *store.Tx) error {
			got, err := tx.CaseByID(north, "c1")
			if got.Trainee != ann || !got.CreatedAt.Equal(start) || got.Record.Supervisor != "" || got.Record.Note != "changed" || got.Revision != 2 {
				t.Errorf("saved case = %+v", got)
			}
			return err
		})
	})
}

func TestCaseActs(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		acts := []store.Done{
			{Kind: "create", By: ann, ByName: "Name of ann", At: start},
			{Kind: "submit", By: ann, ByName: "Name of ann", At: start, Version: 1},
			{Kind: "return", By: sue, ByName: "Name of sue", At: start.Add(time.Minute), Reason: "Which energy?", Version: 1},
		}
		write(t, s, north, func(tx *store.Tx) error {
			err := tx.CreateCase(draft(north, "c1", ann, start))
			for _, a := range acts {
				err = errors.Join(err, tx.AddCaseAct(north, "c1", a))
			}
			return err
		})
		read(t, s, func(tx *store.Tx) error {
			got, err := tx.CaseActs(north, "c1")
			if diff := cmp.Diff(acts, got); diff != "" {
				t.Errorf("CaseActs (-want +got):\n%s", diff)
			}
			return err
		})
	})
}

func TestSignOff(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		var c competency.Case
		write(t, s, north, func(tx *store.Tx) (err error) {
			c, err = addSigned(tx, north, "c1", ann, start)
			return err
		})
		read(t, s, func(tx *store.Tx) error {
			got, err := tx.SignOffs(north, "c1")
			if diff := cmp.Diff([]competency.SignOff{signature("s-c1", c, start.Add(2*time.Hour))}, got); diff != "" {
				t.Errorf("SignOffs (-want +got):\n%s", diff)
			}
			return err
		})
		err := tryWrite(s, north, func(tx *store.Tx) error { return tx.AddSignOff(north, signature("again", c, start)) })
		wantErr(t, "a second signature", err, store.ErrDuplicate)
		c.Version = 2
		err = tryWrite(s, north, func(tx *store.Tx) error { return tx.AddSignOff(north, signature("other", c, start)) })
		wantErr(t, "a signature on a version that is not there", err, store.ErrReference)
	})
}

func TestCases(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		write(t, s, north, func(tx *store.Tx) error {
			other := draft(north, "c3", ben, start.Add(3*time.Minute))
			other.Record.Supervisor = dan
			err := errors.Join(tx.CreateCase(draft(north, "c1", ann, start)), tx.CreateCase(draft(north, "c2", ann, start)), tx.CreateCase(other))
			if err != nil {
				return err
			}
			_, err = addSigned(tx, north, "c4", ben, start.Add(4*time.Minute))
			return errors.Join(err, tx.SaveCase(submitted(draft(north, "c2", ann, start), start), 1))
		})
		read(t, s, func(tx *store.Tx) error {
			for _, c := range []struct {
				filter store.CaseFilter
				want   []competency.CaseID
			}{
				{store.CaseFilter{}, []competency.CaseID{"c4", "c3", "c2", "c1"}},
				{store.CaseFilter{Trainee: ann}, []competency.CaseID{"c2", "c1"}},
				{store.CaseFilter{Supervisor: sue}, []competency.CaseID{"c4", "c2", "c1"}},
				{store.CaseFilter{Status: competency.CaseDraft}, []competency.CaseID{"c3", "c1"}},
				{store.CaseFilter{Supervisor: sue, DraftsOf: sue}, []competency.CaseID{"c4", "c2"}},
				{store.CaseFilter{DraftsOf: ben}, []competency.CaseID{"c4", "c3", "c2"}},
				{store.CaseFilter{OwnOrSupervised: sue}, []competency.CaseID{"c4", "c2"}},
				{store.CaseFilter{OwnOrSupervised: ann}, []competency.CaseID{"c2", "c1"}},
				{store.CaseFilter{OwnOrSupervised: dan}, nil},
			} {
				list, _, err := tx.Cases(north, c.filter, store.Page{})
				var ids []competency.CaseID
				for _, found := range list {
					ids = append(ids, found.ID)
				}
				if !slices.Equal(ids, c.want) || err != nil {
					t.Errorf("Cases(%+v) = %v, %v, want %v", c.filter, ids, err, c.want)
				}
			}
			trainees, err := tx.TraineesOf(north, sue)
			if !slices.Equal(trainees, []competency.PersonID{ann, ben}) {
				t.Errorf("TraineesOf = %v", trainees)
			}
			return err
		})
	})
}
