package signin

import (
	"context"
	"errors"
	"net/http"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/google/uuid"

	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/migrations"
)

func TestHashPassword(t *testing.T) {
	for _, c := range []struct {
		password string
		good     bool
	}{
		{"a narrow passage", true}, {"ein schmaler Steg über", true}, {"", false}, {"short", false}, {"fourteen chars", false},
		{strings.Repeat("a", 20), false}, {strings.Repeat("ab", 200), false},
	} {
		hash, err := HashPassword(c.password)
		if (err == nil) != c.good || !c.good && !errors.Is(err, ErrWeakPassword) {
			t.Errorf("HashPassword(%q) = %v", c.password, err)
		}
		if c.good && !strings.HasPrefix(hash, "$argon2id$v=19$m=19456,t=2,p=1$") {
			t.Errorf("HashPassword(%q) = %s", c.password, hash)
		}
	}
}

func TestMatches(t *testing.T) {
	h, err := newHasher()
	if err != nil {
		t.Fatal(err)
	}
	hash, err := HashPassword("a narrow passage")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name, password, hash string
		want                 bool
	}{
		{"right", "a narrow passage", hash, true},
		{"wrong", "another passage", hash, false},
		{"no account", "a narrow passage", "", false},
		{"empty", "", hash, false},
		{"huge", strings.Repeat("a", 1<<20), hash, false},
	} {
		if got, err := h.matches(t.Context(), c.password, c.hash); err != nil || got != c.want {
			t.Errorf("%s: %v, %v", c.name, got, err)
		}
	}
	for range cap(h.slots) {
		h.slots <- struct{}{}
	}
	over, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := h.matches(over, "a narrow passage", hash); !errors.Is(err, ErrBusy) {
		t.Errorf("all busy: %v", err)
	}
}

// TestThrottleHoldsAtOnce: of many guesses at the same moment no more than the limit reach the password.
func TestThrottleHoldsAtOnce(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		now := time.Date(2026, 6, 1, 9, 0, 0, 0, time.UTC)
		gate := newGate(t, db, now)
		var wait sync.WaitGroup
		through := make(chan error, 20)
		for range cap(through) {
			wait.Go(func() { through <- gate.throttle(t.Context(), "account x", "address y") })
		}
		wait.Wait()
		close(through)
		passed := 0
		for err := range through {
			var slow *Throttled
			switch {
			case err == nil:
				passed++
			case !errors.As(err, &slow) || slow.RetryAfter != throttleWindow:
				t.Error(err)
			}
		}
		if passed > failuresAccount {
			t.Errorf("%d attempts got through, at most %d may", passed, failuresAccount)
		}
	})
}

func newGate(t *testing.T, db *store.Store, now time.Time) *Gate {
	t.Helper()
	gate, err := NewGate(Config{
		Store: db, Clock: func() time.Time { return now }, NewID: uuid.NewString, Idle: time.Hour, SignedIn: 2 * time.Hour,
		OnError: func(http.ResponseWriter, *http.Request, error) {},
	})
	if err != nil {
		t.Fatal(err)
	}
	return gate
}

func TestNewGateNeedsEverything(t *testing.T) {
	if _, err := NewGate(Config{}); err == nil {
		t.Error("a gate without a store")
	}
}

// TestSweep deletes what is over and keeps what is not.
func TestSweep(t *testing.T) {
	db := storetest.Open(t, migrations.SQLite)
	now := time.Date(2026, 6, 1, 9, 0, 0, 0, time.UTC)
	gate := newGate(t, db, now)
	for hash, expires := range map[string]time.Time{"over": now.Add(-time.Second), "good": now.Add(time.Hour)} {
		if err := db.CommitSession(t.Context(), hash, []byte("x"), expires); err != nil {
			t.Fatal(err)
		}
	}
	if err := db.RecordFailure(t.Context(), "account x", now.AddDate(0, 0, -2)); err != nil {
		t.Fatal(err)
	}
	if err := gate.sweep(t.Context()); err != nil {
		t.Fatal(err)
	}
	left, err := db.Sessions(t.Context(), now.AddDate(-1, 0, 0))
	if err != nil || len(left) != 1 || left["good"] == nil {
		t.Errorf("sessions %v, %v", left, err)
	}
	if n, err := db.Failures(t.Context(), "account x", now.AddDate(-1, 0, 0)); err != nil || n != 0 {
		t.Errorf("%d failures, %v", n, err)
	}
}
