// Package storetest gives tests an empty, migrated store of their own on each database. It is imported by tests only.
package storetest

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"isthmus/api/store"
	"isthmus/migrations"
)

// Dialects are the databases every store test runs on.
var Dialects = []migrations.Dialect{migrations.SQLite, migrations.PostgreSQL}

// Each runs the same test on every database, each time on an empty store.
func Each(t *testing.T, test func(t *testing.T, s *store.Store)) {
	t.Helper()
	for _, dialect := range Dialects {
		t.Run(string(dialect), func(t *testing.T) { test(t, Open(t, dialect)) })
	}
}

// Open gives an empty, migrated store that is closed and removed when the test ends.
func Open(tb testing.TB, dialect migrations.Dialect) *store.Store {
	tb.Helper()
	return connect(tb, URL(tb, dialect))
}

// URL gives the address of an empty, migrated database that is removed when the test ends.
func URL(tb testing.TB, dialect migrations.Dialect) string {
	tb.Helper()
	if dialect == migrations.PostgreSQL {
		return postgresDatabase(tb, true)
	}
	pattern, err := sqlitePattern()
	if err != nil {
		tb.Fatal(err)
	}
	file := filepath.Join(tb.TempDir(), "isthmus.db")
	if err := os.WriteFile(file, pattern, 0o600); err != nil {
		tb.Fatal(err)
	}
	return "sqlite:" + file
}

// EmptyURL gives the address of a database without any table.
func EmptyURL(tb testing.TB, dialect migrations.Dialect) string {
	tb.Helper()
	if dialect == migrations.PostgreSQL {
		return postgresDatabase(tb, false)
	}
	return "sqlite:" + filepath.Join(tb.TempDir(), "isthmus.db")
}

// connect opens the store at an address until the test ends.
func connect(tb testing.TB, address string) *store.Store {
	tb.Helper()
	s, err := store.Open(context.Background(), store.Config{URL: address})
	if err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(func() {
		if err := s.Close(); err != nil {
			tb.Error(err)
		}
	})
	return s
}

// sqlitePattern is a migrated SQLite file, made once in a process: copying it is faster than migrating again.
var sqlitePattern = sync.OnceValues(func() ([]byte, error) {
	dir, err := os.MkdirTemp("", "isthmus-sqlite-")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	file := filepath.Join(dir, "pattern.db")
	if err := migrate("sqlite:" + file); err != nil {
		return nil, err
	}
	return os.ReadFile(file)
})

// migrate brings the database at an address to the newest version.
func migrate(address string) error {
	ctx := context.Background()
	s, err := store.Open(ctx, store.Config{URL: address})
	if err != nil {
		return err
	}
	_, err = migrations.Up(ctx, s.DB(), s.Dialect())
	if closing := s.Close(); err == nil {
		err = closing
	}
	if err != nil {
		return fmt.Errorf("storetest: %w", err)
	}
	return nil
}
