package store_test

import (
	"bytes"
	"errors"
	"strings"
	"testing"
	"time"

	"isthmus/api/store"
	"isthmus/api/store/storetest"
)

// TestReportJob goes through the life of a report: one process has it at a time, another takes over when that gives no sign of life, what was
// finished is kept and found by its code, and the file goes alone.
func TestReportJob(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		order := store.Report{ID: "r1", Programme: north, By: ann, RequestID: "q", Kind: store.Portfolio, Trainee: ann, On: "2026-03-01", Total: 3, CreatedAt: start}
		write(t, s, north, func(tx *store.Tx) error {
			return errors.Join(tx.CreateReport(order), tx.Audit("report", "r1", nil, order))
		})
		lease := func(name string, now time.Time) bool {
			one, found, err := s.LeaseReport(t.Context(), name, now, now.Add(time.Minute))
			if err != nil || found && (one.ID != "r1" || one.Trainee != ann || one.State != store.ReportWaiting) {
				t.Fatalf("%s leases %+v, %v", name, one, err)
			}
			return found
		}
		if !lease("a", start) || lease("b", start) || !lease("b", start.Add(2*time.Minute)) {
			t.Fatal("a lease is held by one, until it runs out")
		}
		for name, want := range map[string]bool{"a": false, "b": true} {
			if held, err := s.KeepReport(t.Context(), "r1", name, 2, start.Add(4*time.Minute)); err != nil || held != want {
				t.Errorf("%s holds it: %v, %v", name, held, err)
			}
		}
		done := order
		done.State, done.Ready, done.Code, done.Content, done.FileHash, done.FileName = store.ReportDone, 3, "AAAAA-AAAAA-AAAAA-AAAAA", strings.Repeat("1", 64), strings.Repeat("2", 64), "a.pdf"
		done.ClosedAt = start.Add(3 * time.Minute)
		err := s.Write(t.Context(), store.Act{Programme: north, Actor: ann, Name: "report.done", At: start}, func(tx *store.Tx) error {
			return errors.Join(tx.CloseReport(done, []byte("%PDF"), 1), tx.SealReport(done))
		})
		if err != nil {
			t.Fatal(err)
		}
		read(t, s, func(tx *store.Tx) error {
			one, err := tx.ReportByID(north, "r1")
			file, missing := tx.ReportFile(north, "r1")
			found, sought := tx.ReportsByCode(done.Code)
			if err != nil || missing != nil || sought != nil || one.State != store.ReportDone || !one.HasFile || one.Revision != 2 || !bytes.Equal(file, []byte("%PDF")) || len(found) != 1 {
				t.Errorf("%+v %q %v (%v, %v, %v)", one, file, found, err, missing, sought)
			}
			return nil
		})
		if _, old, err := s.OldReport(t.Context(), done.ClosedAt); err != nil || old {
			t.Errorf("old too early: %v, %v", old, err)
		}
		if one, old, err := s.OldReport(t.Context(), done.ClosedAt.Add(time.Second)); err != nil || !old || one.ID != "r1" {
			t.Errorf("old: %+v, %v, %v", one, old, err)
		}
		write(t, s, north, func(tx *store.Tx) error {
			return errors.Join(tx.ForgetReportFile(north, "r1"), tx.Audit("report", "r1", done, nil))
		})
		read(t, s, func(tx *store.Tx) error {
			_, err := tx.ReportFile(north, "r1")
			found, _ := tx.ReportsByCode(done.Code)
			if !errors.Is(err, store.ErrNotFound) || len(found) != 1 || found[0].HasFile {
				t.Errorf("without its file: %+v, %v", found, err)
			}
			return nil
		})
	})
}
