package store_test

import (
	"errors"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"isthmus/api/store"
	"isthmus/api/store/storetest"
)

// kept is an override of ann's in her case c1.
func kept(id, kind string, at time.Time) store.Override {
	return store.Override{ID: id, Programme: north, Object: "case", ObjectID: "c1", Field: "record.note", Kind: kind, Reason: "a word of anatomy", By: ann, At: at}
}

func TestOverrides(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		write(t, s, north, func(tx *store.Tx) error {
			return errors.Join(tx.AddOverride(kept("o1", "name", start)), tx.AddOverride(kept("o2", "date", start.Add(time.Hour))), tx.AddOverride(kept("o3", "name", start)))
		})
		write(t, s, north, func(tx *store.Tx) error { return tx.AddOverrideReview(north, "o1", dan, start.Add(2*time.Hour)) })
		wantErr(t, "a second review", tryWrite(s, north, func(tx *store.Tx) error { return tx.AddOverrideReview(north, "o1", dan, start) }), store.ErrDuplicate)
		read(t, s, func(tx *store.Tx) error {
			kinds, err := tx.OverrideKinds(north, "case", "c1", "record.note")
			if diff := cmp.Diff([]string{"date", "name"}, kinds); diff != "" || err != nil {
				t.Errorf("kinds: %v %s", err, diff)
			}
			if none, err := tx.OverrideKinds(north, "case", "c1", "reason"); len(none) != 0 || err != nil {
				t.Errorf("kinds of another field: %v, %v", none, err)
			}
			seen := kept("o1", "name", start)
			seen.ByName, seen.SeenBy, seen.SeenByName, seen.SeenAt = "Name of ann", dan, "Name of dan", start.Add(2*time.Hour)
			one, err := tx.OverrideByID(north, "o1")
			if diff := cmp.Diff(seen, one); diff != "" || err != nil {
				t.Errorf("one: %v %s", err, diff)
			}
			var ids []string
			for page := (store.Page{Limit: 1}); ; {
				list, next, err := tx.Overrides(north, false, page)
				if err != nil {
					return err
				}
				for _, o := range list {
					ids = append(ids, o.ID)
				}
				if page.After = next; next == "" {
					break
				}
			}
			if diff := cmp.Diff([]string{"o2", "o3", "o1"}, ids); diff != "" {
				t.Errorf("newest first: %s", diff)
			}
			waiting, _, err := tx.Overrides(north, true, store.Page{})
			if len(waiting) != 2 || waiting[0].SeenBy != "" || !waiting[0].SeenAt.IsZero() {
				t.Errorf("waiting: %+v", waiting)
			}
			return err
		})
	})
}
