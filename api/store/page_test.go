package store_test

import (
	"fmt"
	"testing"
	"time"

	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/competency"
)

// TestPagingIsStable walks two lists page by page while rows are added: every row of the beginning comes once, in order, and no added
// one comes at all. Several rows share one time.
func TestPagingIsStable(t *testing.T) {
	const rows = 23
	at := func(i int) time.Time { return start.Add(time.Duration(i/4) * time.Minute) }
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		add := func(i int) {
			write(t, s, north, func(tx *store.Tx) error {
				if err := tx.SavePlan(plan(north, fmt.Sprintf("p%03d", i), ann, "one", i+1, at(i))); err != nil {
					return err
				}
				return tx.CreateCase(draft(north, competency.CaseID(fmt.Sprintf("c%03d", i)), ann, at(i)))
			})
		}
		for i := range rows {
			add(i)
		}
		var plans, cases []string
		planCursor, caseCursor, more := "", "", rows
		for pages := 0; pages == 0 || planCursor != "" || caseCursor != ""; pages++ {
			if pages > rows {
				t.Fatal("the pages never end")
			}
			read(t, s, func(tx *store.Tx) error {
				list, next, err := tx.Plans(north, store.PlanFilter{}, store.Page{Limit: 5, After: planCursor})
				for _, p := range list {
					plans = append(plans, string(p.ID))
				}
				planCursor = next
				return err
			})
			read(t, s, func(tx *store.Tx) error {
				list, next, err := tx.Cases(north, store.CaseFilter{Trainee: ann}, store.Page{Limit: 5, After: caseCursor})
				for _, c := range list {
					cases = append(cases, string(c.ID))
				}
				caseCursor = next
				return err
			})
			add(more)
			more++
		}
		for i := range rows {
			n := rows - 1 - i
			if i >= len(plans) || i >= len(cases) || plans[i] != fmt.Sprintf("p%03d", n) || cases[i] != fmt.Sprintf("c%03d", n) {
				t.Fatalf("walk gave plans %v and cases %v, want %d of each, newest first", plans, cases, rows)
			}
		}
		if len(plans) != rows || len(cases) != rows {
			t.Errorf("walk gave %d plans and %d cases, want %d", len(plans), len(cases), rows)
		}
	})
}

func TestPageSize(t *testing.T) {
	s := storetest.Open(t, "sqlite")
	populate(t, s)
	write(t, s, north, func(tx *store.Tx) error {
		for i := range 210 {
			if err := tx.SavePlan(plan(north, fmt.Sprintf("p%03d", i), ann, "one", i+1, start)); err != nil {
				return err
			}
		}
		return nil
	})
	for limit, want := range map[int]int{0: 50, -3: 50, 1: 1, 200: 200, 5000: 200} {
		read(t, s, func(tx *store.Tx) error {
			list, next, err := tx.Plans(north, store.PlanFilter{}, store.Page{Limit: limit})
			if len(list) != want || next == "" {
				t.Errorf("limit %d gave %d items and the cursor %q, want %d and one", limit, len(list), next, want)
			}
			return err
		})
	}
}

func TestWrongCursor(t *testing.T) {
	s := storetest.Open(t, "sqlite")
	for _, cursor := range []string{"?", "x", "MTIz", "YWJjIGlk", "MTIzIA", "2"} { // "123", "abc id", "123 " in base64
		read(t, s, func(tx *store.Tx) error {
			_, _, err := tx.Plans(north, store.PlanFilter{}, store.Page{After: cursor})
			wantErr(t, "Plans after "+cursor, err, store.ErrCursor)
			_, _, err = tx.Cases(north, store.CaseFilter{}, store.Page{After: cursor})
			wantErr(t, "Cases after "+cursor, err, store.ErrCursor)
			return nil
		})
	}
}
