package store_test

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"testing"
	"time"

	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/competency"
)

var errOwn = errors.New("fn's own error")

// programmeCount counts the programmes by reading.
func programmeCount(tb testing.TB, s *store.Store) int {
	tb.Helper()
	var list []store.Programme
	read(tb, s, func(tx *store.Tx) (err error) {
		list, err = tx.Programmes()
		return err
	})
	return len(list)
}

func TestWriteNeedsAudit(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		ctx := context.Background()
		add := func(tx *store.Tx) error {
			return tx.CreateProgramme(store.Programme{ID: "p", Name: "P", CreatedAt: start})
		}

		wantErr(t, "Write without Audit", s.Write(ctx, act(""), add), store.ErrNoAudit)
		if n := programmeCount(t, s); n != 0 {
			t.Errorf("a write without audit left %d programmes", n)
		}
		err := s.Write(ctx, act(""), func(tx *store.Tx) error {
			if err := errors.Join(add(tx), tx.Audit("programme", "p", nil, 1)); err != nil {
				t.Error(err)
			}
			return errOwn
		})
		wantErr(t, "Write whose function fails", err, errOwn)
		if n := programmeCount(t, s); n != 0 {
			t.Errorf("a failed write left %d programmes", n)
		}
		if err := s.Write(ctx, act(""), func(*store.Tx) error { return nil }); err != nil {
			t.Errorf("Write that changes nothing: %v", err)
		}
		write(t, s, "", add)
		if n := programmeCount(t, s); n != 1 {
			t.Errorf("a good write left %d programmes, want 1", n)
		}
		report, err := s.VerifyAudit(ctx)
		if err != nil || !report.Sound() || report.Chains[0].Entries != 1 {
			t.Errorf("VerifyAudit = %+v, %v; want one entry", report, err)
		}
	})
}

func TestWriteRollsBackOnPanic(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		func() {
			defer func() {
				if recover() == nil {
					t.Error("the panic was swallowed")
				}
			}()
			write(t, s, "", func(tx *store.Tx) error {
				if err := tx.CreateProgramme(store.Programme{ID: "p", Name: "P", CreatedAt: start}); err != nil {
					t.Error(err)
				}
				panic("broken")
			})
		}()
		if n := programmeCount(t, s); n != 0 {
			t.Errorf("a panic left %d programmes", n)
		}
	})
}

func TestReadRefusesWrites(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		for name, fn := range map[string]func(*store.Tx) error{
			"insert": func(tx *store.Tx) error {
				return tx.CreateProgramme(store.Programme{ID: "p", Name: "P", CreatedAt: start})
			},
			"update": func(tx *store.Tx) error { return tx.SetPassword(ann, "x") },
			"audit":  func(tx *store.Tx) error { return tx.Audit("a", "b", nil, nil) },
		} {
			if err := s.Read(context.Background(), fn); err == nil {
				t.Errorf("%s in a reading transaction gave no error", name)
			}
		}
	})
}

func TestWriteOnAnotherProgramme(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		err := tryWrite(s, north, func(tx *store.Tx) error { return tx.CreateCase(draft(south, "c", cara, start)) })
		if err == nil {
			t.Error("a write on another programme than the act's gave no error")
		}
	})
}

// TestWritersTakeTurns lets several writers number their plans at the same time: every number is given once, and the chain is sound.
func TestWritersTakeTurns(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		const writers, each = 4, 10
		var group sync.WaitGroup
		for w := range writers {
			group.Go(func() {
				for i := range each {
					err := tryWrite(s, north, func(tx *store.Tx) error {
						attempt, err := tx.NextAttempt(north, ann, "scenario")
						if err != nil {
							return err
						}
						return tx.SavePlan(plan(north, fmt.Sprintf("plan-%d-%d", w, i), ann, "scenario", attempt, start))
					})
					if err != nil {
						t.Errorf("writer %d: %v", w, err)
						return
					}
				}
			})
		}
		group.Wait()
		read(t, s, func(tx *store.Tx) error {
			next, err := tx.NextAttempt(north, ann, "scenario")
			if next != writers*each+1 {
				t.Errorf("NextAttempt = %d, want %d", next, writers*each+1)
			}
			return err
		})
		report, err := s.VerifyAudit(context.Background())
		if err != nil || !report.Sound() {
			t.Errorf("VerifyAudit after writers at once: %+v, %v", report, err)
		}
	})
}

// TestReadersPassWaitingWrites lets more writes wait for one than there are connections: reading goes on.
func TestReadersPassWaitingWrites(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		var group sync.WaitGroup
		add := func(id competency.CaseID, first func()) {
			group.Go(func() {
				err := tryWrite(s, north, func(tx *store.Tx) error {
					first()
					return tx.CreateCase(draft(north, id, ann, start))
				})
				if err != nil {
					t.Error(err)
				}
			})
		}
		hold, holding := make(chan struct{}), make(chan struct{})
		add("first", func() { close(holding); <-hold })
		<-holding
		for i := range 40 {
			add(competency.CaseID(fmt.Sprintf("c%d", i)), func() {})
		}
		ctx, cancel := context.WithTimeout(context.Background(), 3*time.Second)
		defer cancel()
		for range 20 {
			err := s.Read(ctx, func(tx *store.Tx) error {
				_, err := tx.CaseByID(north, "first")
				return err
			})
			wantErr(t, "a read beside waiting writes", err, store.ErrNotFound)
		}
		close(hold)
		group.Wait()
	})
}

// TestReadSeesOneMoment writes in the middle of a read: the read must not see it.
func TestReadSeesOneMoment(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		read(t, s, func(tx *store.Tx) error {
			before, err := tx.Programmes()
			if err != nil {
				return err
			}
			write(t, s, "", func(tx *store.Tx) error {
				return tx.CreateProgramme(store.Programme{ID: "third", Name: "Third", CreatedAt: start})
			})
			after, err := tx.Programmes()
			if len(after) != len(before) {
				t.Errorf("a read saw %d programmes, then %d", len(before), len(after))
			}
			return err
		})
	})
}

func TestEndedContext(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		ctx, cancel := context.WithCancel(context.Background())
		cancel()
		for name, err := range map[string]error{
			"Read":  s.Read(ctx, func(*store.Tx) error { return nil }),
			"Write": s.Write(ctx, act(""), func(*store.Tx) error { return nil }),
			"Ping":  s.Ping(ctx),
		} {
			wantErr(t, name+" with an ended context", err, context.Canceled)
		}
	})
}

func TestReferences(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		unknown := draft(north, "c", ann, start)
		unknown.Record.Supervisor = "nobody"
		for name, fn := range map[string]func(*store.Tx) error{
			"unknown supervisor": func(tx *store.Tx) error { return tx.CreateCase(unknown) },
			"unknown trainee":    func(tx *store.Tx) error { return tx.CreateCase(draft(north, "c", "nobody", start)) },
			"unknown member": func(tx *store.Tx) error {
				return tx.AddMembership(store.Membership{Programme: north, Person: "nobody", Role: "trainee", From: "2026-01-01"})
			},
			"act on no case": func(tx *store.Tx) error {
				return tx.AddCaseAct(north, "none", store.Done{Kind: "submit", By: ann, At: start})
			},
			"version of no case": func(tx *store.Tx) error { return tx.AddCaseVersion(submitted(draft(north, "none", ann, start), start)) },
			"signature on no case": func(tx *store.Tx) error {
				return tx.AddSignOff(north, signature("s", competency.Case{ID: "none", Version: 1}, start))
			},
		} {
			wantErr(t, name, tryWrite(s, north, fn), store.ErrReference)
		}
	})
}
