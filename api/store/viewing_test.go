package store_test

import (
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/competency"
)

func viewing(programme competency.ProgrammeID, id string, person competency.PersonID, at time.Time) store.Viewing {
	choice := store.ViewingChoice{Trainees: []competency.PersonID{ben}, Figures: store.FiguresCounts}
	return store.Viewing{ID: id, Programme: programme, Person: person, ViewingChoice: choice, Until: "2026-05-01", By: dan, At: at}
}

// TestViewings: the newest row of a person holds, whatever it takes away, and nobody has one to begin with.
func TestViewings(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		last := viewing(north, "v2", ann, start.Add(time.Hour))
		last.ViewingChoice, last.Until = store.ViewingChoice{Figures: store.FiguresRows}, "2026-04-01"
		for i, v := range []store.Viewing{viewing(north, "v1", ann, start), last} {
			write(t, s, north, func(tx *store.Tx) error { return tx.AddViewing(v) })
			read(t, s, func(tx *store.Tx) error {
				got, err := tx.ViewingOf(north, ann)
				if diff := cmp.Diff(&v, got); diff != "" {
					t.Errorf("after row %d: %s", i, diff)
				}
				return err
			})
		}
		read(t, s, func(tx *store.Tx) error {
			got, err := tx.ViewingOf(north, ben)
			if got != nil {
				t.Errorf("ben has %+v", got)
			}
			return err
		})
	})
}
