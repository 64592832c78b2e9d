package store_test

import (
	"context"
	"errors"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"isthmus/api/store"
	"isthmus/api/store/storetest"
)

func TestSession(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		ctx, later := context.Background(), start.Add(time.Hour)
		must := func(err error) {
			t.Helper()
			if err != nil {
				t.Fatal(err)
			}
		}
		must(s.CommitSession(ctx, "h1", []byte("one"), start))
		must(s.CommitSession(ctx, "h1", []byte{0, 255, 1}, later))
		must(s.CommitSession(ctx, "h2", []byte("two"), later))
		data, found, err := s.FindSession(ctx, "h1", start)
		if !found || err != nil || string(data) != "\x00\xff\x01" {
			t.Errorf("FindSession = %q, %v, %v", data, found, err)
		}
		if _, found, _ := s.FindSession(ctx, "h1", later); found {
			t.Error("a session is found at the moment it ends")
		}
		if all, err := s.Sessions(ctx, start); len(all) != 2 || err != nil {
			t.Errorf("Sessions = %v, %v", all, err)
		}
		must(s.DeleteSession(ctx, "h2"))
		must(s.DeleteSession(ctx, "h2"))
		if _, found, err := s.FindSession(ctx, "h2", start); found || err != nil {
			t.Errorf("a deleted session is found, or %v", err)
		}
		must(s.DropExpiredSessions(ctx, later))
		if all, err := s.Sessions(ctx, start); len(all) != 0 || err != nil {
			t.Errorf("Sessions after dropping = %v, %v", all, err)
		}
	})
}

func TestToken(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		first := store.Token{ID: "t1", Person: ann, Name: "laptop", Hash: "h1", CreatedAt: start, ExpiresAt: start.Add(time.Hour)}
		second := store.Token{ID: "t2", Person: ann, Name: "script", Hash: "h2", CreatedAt: start.Add(time.Second), ExpiresAt: start.Add(time.Hour)}
		write(t, s, "", func(tx *store.Tx) error { return errors.Join(tx.CreateToken(first), tx.CreateToken(second)) })
		err := tryWrite(s, "", func(tx *store.Tx) error { return tx.RevokeToken(ben, "t1") })
		wantErr(t, "revoking another's token", err, store.ErrNotFound)
		revoke := act("")
		revoke.At = start.Add(time.Minute)
		for range 2 {
			err = s.Write(context.Background(), revoke, func(tx *store.Tx) error {
				return errors.Join(tx.RevokeToken(ann, "t1"), tx.Audit("token", "t1", 1, 2))
			})
			if err != nil {
				t.Fatal(err)
			}
			revoke.At = revoke.At.Add(time.Hour)
		}
		first.RevokedAt = start.Add(time.Minute)
		read(t, s, func(tx *store.Tx) error {
			list, err := tx.Tokens(ann)
			if diff := cmp.Diff([]store.Token{second, first}, list); diff != "" {
				t.Errorf("Tokens (-want +got):\n%s", diff)
			}
			got, err2 := tx.TokenByHash("h1")
			if got != first {
				t.Errorf("TokenByHash = %+v, want %+v", got, first)
			}
			_, missing := tx.TokenByHash("h3")
			wantErr(t, "unknown hash", missing, store.ErrNotFound)
			return errors.Join(err, err2)
		})
		same := second
		same.ID = "t3"
		err = tryWrite(s, "", func(tx *store.Tx) error { return tx.CreateToken(same) })
		wantErr(t, "same hash", err, store.ErrDuplicate)
	})
}

func TestThrottle(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		ctx := context.Background()
		for i := range 4 {
			if err := s.RecordFailure(ctx, "account", start.Add(time.Duration(i)*time.Minute)); err != nil {
				t.Fatal(err)
			}
		}
		if err := s.RecordFailure(ctx, "address", start); err != nil {
			t.Fatal(err)
		}
		count := func(target string, since time.Time, want int) {
			t.Helper()
			if n, err := s.Failures(ctx, target, since); n != want || err != nil {
				t.Errorf("Failures(%s) = %d, %v, want %d", target, n, err, want)
			}
		}
		count("account", start, 4)
		count("account", start.Add(time.Minute), 3)
		if err := s.DropOldFailures(ctx, start.Add(2*time.Minute)); err != nil {
			t.Fatal(err)
		}
		count("account", start, 2)
		count("address", start, 0)
		if err := s.ClearFailures(ctx, "account"); err != nil {
			t.Fatal(err)
		}
		count("account", start, 0)
	})
}
