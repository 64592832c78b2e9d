package store_test

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/competency"
	"isthmus/migrations"
)

// bypass changes rows behind the store's back, with the guards of the audit tables out of the way.
func bypass(t *testing.T, s *store.Store, statements ...string) {
	t.Helper()
	drop := []string{"DROP TRIGGER audit_entries_no_update", "DROP TRIGGER audit_entries_no_delete", "DROP TRIGGER audit_heads_no_update", "DROP TRIGGER audit_heads_no_delete"}
	if s.Dialect() == migrations.PostgreSQL {
		drop = []string{"ALTER TABLE audit_entries DISABLE TRIGGER USER", "ALTER TABLE audit_heads DISABLE TRIGGER USER"}
	}
	exec(t, s, append(drop, statements...)...)
}

// exec runs statements on the database itself.
func exec(t *testing.T, s *store.Store, statements ...string) {
	t.Helper()
	for _, statement := range statements {
		if _, err := s.DB().Exec(statement); err != nil {
			t.Fatalf("%s: %v", statement, err)
		}
	}
}

func TestVerifyAudit(t *testing.T) {
	tests := []struct {
		name    string
		broken  string // statement run behind the store's back
		seq     int64  // of the first fault in the chain of north; 0 for none
		entries int64
		what    string
	}{
		{"untouched", "", 0, 5, ""},
		{"changed entry", "UPDATE audit_entries SET object_id = 'other' WHERE programme_id = 'north' AND seq = 2", 2, 1, "changed"},
		{"changed actor", "UPDATE audit_entries SET actor_id = 'ann' WHERE programme_id = 'north' AND seq = 5", 5, 4, "changed"},
		{"changed time", "UPDATE audit_entries SET at = '2026-03-02 08:30:00.123457+00:00' WHERE programme_id = 'north' AND seq = 1", 1, 0, "changed"},
		{"changed hash", "UPDATE audit_entries SET hash = 'x' WHERE programme_id = 'north' AND seq = 3", 3, 2, "changed"},
		{"removed first", "DELETE FROM audit_entries WHERE programme_id = 'north' AND seq = 1", 1, 0, "missing"},
		{"removed middle", "DELETE FROM audit_entries WHERE programme_id = 'north' AND seq = 3", 3, 2, "missing"},
		{"removed tail", "DELETE FROM audit_entries WHERE programme_id = 'north' AND seq >= 4", 4, 3, "missing"},
		{"removed all", "DELETE FROM audit_entries WHERE programme_id = 'north'", 1, 0, "missing"},
		{"removed head", "DELETE FROM audit_heads WHERE programme_id = 'north'", 1, 5, "head"},
		{"set back head", "UPDATE audit_heads SET seq = 3 WHERE programme_id = 'north'", 4, 5, "head"},
		{"other head", "UPDATE audit_heads SET hash = 'x' WHERE programme_id = 'north'", 5, 5, "head"},
		{"moved entry", "UPDATE audit_entries SET programme_id = 'elsewhere' WHERE programme_id = 'north' AND seq = 5", 5, 4, "missing"},
		{"swapped entries", "UPDATE audit_entries SET seq = seq + 10 WHERE programme_id = 'north' AND seq IN (2, 5);" +
			"UPDATE audit_entries SET seq = 17 - seq WHERE programme_id = 'north' AND seq > 10", 2, 1, "continue"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			storetest.Each(t, func(t *testing.T, s *store.Store) {
				populate(t, s) // one entry in north
				for i := range 4 {
					err := s.Write(context.Background(), act(north), func(tx *store.Tx) error {
						return tx.Audit("thing", fmt.Sprint(i), map[string]int{"b": i, "a": 1}, nil)
					})
					if err != nil {
						t.Fatal(err)
					}
				}
				if test.broken != "" {
					bypass(t, s, strings.Split(test.broken, ";")...)
				}
				report, err := s.VerifyAudit(context.Background())
				if err != nil {
					t.Fatal(err)
				}
				checkChain(t, report, test.seq, test.entries, test.what)
			})
		})
	}
}

// checkChain looks at the chain of north; the others must be sound.
func checkChain(t *testing.T, report store.AuditReport, seq, entries int64, what string) {
	t.Helper()
	if report.Sound() != (seq == 0) {
		t.Errorf("Sound = %v with a fault at %d", report.Sound(), seq)
	}
	for _, chain := range report.Chains {
		switch {
		case chain.Programme != north:
			if chain.Fault != nil && chain.Programme != "elsewhere" {
				t.Errorf("chain of %q has a fault: %+v", chain.Programme, chain.Fault)
			}
		case seq == 0:
			if chain.Fault != nil || chain.Entries != entries || chain.Head == "" || chain.Name != "Programme north" {
				t.Errorf("chain = %+v, want %d sound entries", chain, entries)
			}
		case chain.Fault == nil:
			t.Errorf("no fault found, want one at %d", seq)
		case chain.Fault.Seq != seq || chain.Entries != entries || !strings.Contains(chain.Fault.What, what):
			t.Errorf("fault at %d (%s) after %d entries, want at %d (%s) after %d", chain.Fault.Seq, chain.Fault.What, chain.Entries, seq, what, entries)
		}
	}
}

// TestVerifyAuditCoversEveryColumn changes each column of each entry in turn, and puts it back.
func TestVerifyAuditCoversEveryColumn(t *testing.T) {
	columns := []string{"at", "actor_id", "act", "object", "object_id", "before_hash", "after_hash", "request_id", "prev_hash", "hash"}
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		for range 2 {
			write(t, s, north, func(tx *store.Tx) error { return tx.Audit("thing", "1", 1, 2) })
		}
		bypass(t, s, "CREATE TABLE kept AS SELECT * FROM audit_entries")
		for _, column := range columns {
			for seq := int64(1); seq <= 5; seq++ {
				value := "'changed'"
				if column == "at" {
					value = "'2020-01-01 00:00:00+00:00'"
				}
				where := fmt.Sprintf(" WHERE programme_id = 'north' AND seq = %d", seq)
				exec(t, s, "UPDATE audit_entries SET "+column+" = "+value+where)
				report, err := s.VerifyAudit(context.Background())
				if err != nil {
					t.Fatal(err)
				}
				what := "changed"
				if column == "prev_hash" {
					what = "continue"
				}
				checkChain(t, report, seq, seq-1, what)
				exec(t, s, "DELETE FROM audit_entries"+where, "INSERT INTO audit_entries SELECT * FROM kept"+where)
			}
		}
		report, err := s.VerifyAudit(context.Background())
		if err != nil || !report.Sound() {
			t.Errorf("with everything put back: %+v, %v", report, err)
		}
	})
}

func TestVerifyAuditInBatches(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		write(t, s, south, func(tx *store.Tx) error {
			for i := range 2500 {
				if err := tx.Audit("thing", fmt.Sprint(i), nil, i); err != nil {
					return err
				}
			}
			return nil
		})
		report, err := s.VerifyAudit(context.Background())
		if err != nil || !report.Sound() {
			t.Fatalf("VerifyAudit = %+v, %v", report, err)
		}
		for _, chain := range report.Chains {
			if chain.Programme == south && chain.Entries != 2502 {
				t.Errorf("%d entries, want 2502", chain.Entries)
			}
		}
	})
}

func TestAuditEntries(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		ctx := context.Background()
		doing := store.Act{Programme: north, Actor: sue, Name: "case.sign-off", RequestID: "r-9", At: start}
		err := s.Write(ctx, doing, func(tx *store.Tx) error { return tx.Audit("case", "c-1", nil, map[string]int{"revision": 2}) })
		if err != nil {
			t.Fatal(err)
		}
		read(t, s, func(tx *store.Tx) error {
			entries, next, err := tx.AuditEntries(north, store.Page{Limit: 1})
			if err != nil || len(entries) != 1 || next == "" {
				t.Fatalf("AuditEntries = %v, %q, %v", entries, next, err)
			}
			got := entries[0]
			const afterHash = "3b23faf0f40b160965c92927d2c09de991a25486c3d3d27063cd72874c158027" // printf '{"revision":2}' | sha256sum
			want := store.AuditEntry{
				Programme: north, Seq: 2, At: start, Actor: sue, ActorName: "Name of sue", Act: "case.sign-off", Object: "case", ObjectID: "c-1",
				AfterHash: afterHash, RequestID: "r-9", PrevHash: got.PrevHash, Hash: got.Hash,
			}
			if got != want || len(got.Hash) != 64 || len(got.PrevHash) != 64 {
				t.Errorf("entry = %+v, want %+v", got, want)
			}
			older, next, err := tx.AuditEntries(north, store.Page{After: next})
			if err != nil || len(older) != 1 || next != "" || older[0].Hash != got.PrevHash {
				t.Errorf("older entries = %v, %q, %v", older, next, err)
			}
			for _, cursor := range []string{"x", "-1", "0", "1.5"} {
				_, _, err := tx.AuditEntries(north, store.Page{After: cursor})
				wantErr(t, "cursor "+cursor, err, store.ErrCursor)
			}
			return nil
		})
	})
}

// TestLastChange: every write of a programme moves it, and no other programme's; a reading on record does not.
func TestLastChange(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		head := func(programme competency.ProgrammeID) (hash string) {
			read(t, s, func(tx *store.Tx) (err error) {
				hash, err = tx.LastChange(programme, "thing.read")
				return err
			})
			return hash
		}
		if head(north) != "" {
			t.Error("a programme without an entry has a head")
		}
		seen := map[string]bool{}
		for i := range 3 {
			write(t, s, north, func(tx *store.Tx) error { return tx.Audit("thing", fmt.Sprint(i), nil, i) })
			if now := head(north); now == "" || seen[now] {
				t.Errorf("after %d writes the head is %q again", i+1, now)
			} else {
				seen[now] = true
			}
		}
		if head(south) != "" {
			t.Error("another programme's head moved")
		}
		before := head(north)
		act := store.Act{Programme: north, Name: "thing.read", At: start}
		if err := s.Write(t.Context(), act, func(tx *store.Tx) error { return tx.Audit("thing", "1", nil, nil) }); err != nil {
			t.Fatal(err)
		}
		if now := head(north); now != before {
			t.Errorf("a reading moved it from %q to %q", before, now)
		}
	})
}
