package store_test

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/competency"
	"isthmus/migrations"
)

// toldID is the statement of told.
const toldID = "0198c0de-0000-5000-8000-000000000001"

// told is a statement on a plan.
func told(programme competency.ProgrammeID) []store.Statement {
	return []store.Statement{{Programme: programme, ID: toldID, Kind: store.StatementPlan, Record: "p9", Text: []byte(`{"id":"1"}`), HappenedAt: start, WrittenAt: start}}
}

// addTold adds a statement and the choice to hand it over.
func addTold(tx *store.Tx, programme competency.ProgrammeID) error {
	return errors.Join(tx.AddStatements(programme, told(programme)),
		tx.AddStatementChoice(store.StatementChoice{Programme: programme, Number: 1, Deliver: true, By: dan, At: start}))
}

// TestDelivery: a lease is one process's, a failed try waits, what is sent stays so.
func TestDelivery(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		write(t, s, north, func(tx *store.Tx) error { return addTold(tx, north) })
		programmes, err := s.DeliveringProgrammes(t.Context())
		if err != nil || !slices.Equal(programmes, []competency.ProgrammeID{north}) {
			t.Fatalf("delivering %v, %v", programmes, err)
		}
		lease := func(by string, now time.Time) (store.Statement, int, bool) {
			t.Helper()
			one, tries, found, err := s.LeaseStatement(t.Context(), programmes, by, now, now.Add(time.Minute))
			if err != nil {
				t.Fatal(err)
			}
			return one, tries, found
		}
		sent := func(by string) (held bool) {
			t.Helper()
			write(t, s, north, func(tx *store.Tx) (err error) {
				held, err = tx.SentStatement(north, toldID, by, start)
				return err
			})
			return held
		}
		if _, _, found := lease("early", start.Add(-time.Second)); found {
			t.Error("leased before it is due")
		}
		one, tries, found := lease("a", start)
		if !found || tries != 1 || one.ID != toldID || string(one.Text) != `{"id":"1"}` {
			t.Fatalf("%+v, try %d, %v", one, tries, found)
		}
		if _, _, found := lease("b", start.Add(time.Second)); found {
			t.Error("two hold one lease")
		}
		if err := s.PostponeStatement(t.Context(), one, "b", "not mine", start); err != nil {
			t.Fatal(err)
		}
		if err := s.PostponeStatement(t.Context(), one, "a", "not now", start.Add(time.Hour)); err != nil {
			t.Fatal(err)
		}
		var queue store.StatementQueue
		read := func() {
			t.Helper()
			err := s.Read(t.Context(), func(tx *store.Tx) (err error) {
				queue, err = tx.StatementQueue(north)
				return err
			})
			if err != nil {
				t.Fatal(err)
			}
		}
		if read(); queue.Waiting != 1 || queue.Stuck != 1 || queue.Sent != 0 || queue.Message != "not now" || !queue.Oldest.Equal(start) {
			t.Errorf("%+v", queue)
		}
		if _, _, found := lease("c", start.Add(30*time.Minute)); found {
			t.Error("leased before its time")
		}
		_, tries, found = lease("d", start.Add(time.Hour))
		if !found || tries != 2 {
			t.Errorf("try %d, %v", tries, found)
		}
		if _, tries, found = lease("e", start.Add(2*time.Hour)); !found || tries != 3 {
			t.Errorf("a lease that ran out: try %d, %v", tries, found)
		}
		if sent("d") {
			t.Error("sent under a lost lease")
		}
		if !sent("e") || sent("e") {
			t.Error("not sent once")
		}
		if read(); queue.Waiting != 0 || queue.Sent != 1 || !queue.LastAt.Equal(start) || queue.Message != "" {
			t.Errorf("%+v", queue)
		}
		if _, _, found := lease("f", start.Add(100*time.Hour)); found {
			t.Error("sent twice")
		}
		refuse(t, s, "statement_deliveries", []string{"UPDATE statement_deliveries SET state = 'waiting', sent_at = NULL", "DELETE FROM statement_deliveries"})
		write(t, s, north, func(tx *store.Tx) error {
			return tx.AddStatementChoice(store.StatementChoice{Programme: north, Number: 2, By: dan, At: start})
		})
		if programmes, err = s.DeliveringProgrammes(t.Context()); err != nil || len(programmes) != 0 {
			t.Errorf("turned off: %v, %v", programmes, err)
		}
	})
}

// TestSources: every page of every size gives each record once, oldest first, also where many are of one instant; what has a statement is not untold.
func TestSources(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		write(t, s, north, func(tx *store.Tx) error {
			_, err := addSigned(tx, north, "c1", ann, start)
			err = errors.Join(err, addDecided(tx, north), addTold(tx, north))
			for i := range 7 {
				at := start.Add(time.Duration(i/3) * time.Second) // three of one instant
				err = errors.Join(err, tx.SavePlan(plan(north, fmt.Sprintf("p%d", 3+i), ann, "one", i+1, at)))
			}
			return err
		})
		pages := func(size int) (keys []string) {
			t.Helper()
			page := store.Page{Limit: size}
			for {
				var list []store.StatementSource
				var next string
				err := s.Read(t.Context(), func(tx *store.Tx) (err error) {
					list, next, err = tx.StatementSources(north, page)
					return err
				})
				if err != nil || len(list) > size {
					t.Fatal(len(list), err)
				}
				for _, one := range list {
					keys = append(keys, one.At.Format(time.RFC3339Nano)+" "+string(one.Kind)+"/"+one.ID)
				}
				if page.After = next; next == "" {
					return keys
				}
			}
		}
		whole := pages(200)
		if len(whole) != 9 || !slices.IsSorted(whole) {
			t.Errorf("%d records: %s", len(whole), strings.Join(whole, "\n"))
		}
		for size := 1; size <= 10; size++ {
			if got := pages(size); !slices.Equal(got, whole) {
				t.Errorf("pages of %d: %v", size, got)
			}
		}
		var untold []store.StatementSource
		err := s.Read(t.Context(), func(tx *store.Tx) (err error) {
			untold, err = tx.UntoldSources(north, 100)
			return err
		})
		if err != nil || len(untold) != 8 || slices.ContainsFunc(untold, func(one store.StatementSource) bool { return one.ID == "p9" }) {
			t.Errorf("%d untold, %v: p9 has a statement", len(untold), err)
		}
	})
}

// BenchmarkUntold looks for records without a statement where 10,000 have theirs: what every process does again and again.
func BenchmarkUntold(b *testing.B) {
	s := storetest.Open(b, migrations.SQLite)
	populate(b, s)
	write(b, s, north, func(tx *store.Tx) error {
		statements := make([]store.Statement, 10_000)
		var err error
		for i := range statements {
			id := fmt.Sprintf("p%d", i)
			err = errors.Join(err, tx.SavePlan(plan(north, id, ann, "one", i+1, start)))
			statements[i] = store.Statement{Programme: north, ID: fmt.Sprintf("0198c0de-0000-5000-8000-%012d", i), Kind: store.StatementPlan, Record: id, Text: []byte("{}"), HappenedAt: start, WrittenAt: start}
		}
		return errors.Join(err, tx.AddStatements(north, statements))
	})
	for b.Loop() {
		err := s.Read(b.Context(), func(tx *store.Tx) error {
			list, err := tx.UntoldSources(north, 200)
			if len(list) != 0 {
				b.Fatal(len(list))
			}
			return err
		})
		if err != nil {
			b.Fatal(err)
		}
	}
}
