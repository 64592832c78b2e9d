package store_test

import (
	"testing"

	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/competency"
)

// standardMove moves ann to version 1.
func standardMove(programme competency.ProgrammeID, number int, from competency.Day) store.StandardMove {
	return store.StandardMove{Programme: programme, Trainee: ann, Number: number, Version: 1, From: from, Reason: "Asked for it.", MovedBy: dan, MovedAt: start}
}

func TestStandardMoves(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		write(t, s, north, func(tx *store.Tx) error {
			if err := tx.AddStandard(store.Standard{Programme: north, Version: 1, InForceFrom: "2026-01-01", YAML: "x", CreatedBy: dan, CreatedAt: start}); err != nil {
				return err
			}
			for _, move := range []store.StandardMove{standardMove(north, 1, "2026-05-01"), standardMove(north, 2, "2026-04-01"), standardMove(north, 3, "2026-05-01")} {
				if err := tx.AddStandardMove(move); err != nil {
					return err
				}
			}
			other := standardMove(north, 1, "2026-03-05")
			other.Trainee = ben
			return tx.AddStandardMove(other)
		})
		read(t, s, func(tx *store.Tx) error {
			moves, err := tx.StandardMoves(north, ann)
			if err != nil || len(moves) != 3 || moves[0].Number != 2 || moves[1].Number != 1 || moves[2] != standardMove(north, 3, "2026-05-01") {
				t.Errorf("ann's moves %+v, %v", moves, err)
			}
			all, err := tx.StandardMoves(north, "")
			if err != nil || len(all) != 4 || all[3].Trainee != ben {
				t.Errorf("all moves %+v, %v", all, err)
			}
			return nil
		})
		wantErr(t, "the same number", tryWrite(s, north, func(tx *store.Tx) error { return tx.AddStandardMove(standardMove(north, 3, "2026-06-01")) }), store.ErrDuplicate)
		unknown := standardMove(north, 4, "2026-06-01")
		unknown.Version = 7
		wantErr(t, "a version that is not there", tryWrite(s, north, func(tx *store.Tx) error { return tx.AddStandardMove(unknown) }), store.ErrReference)
	})
}
