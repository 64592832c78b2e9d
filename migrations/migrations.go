// Package migrations holds the schema: numbered SQL templates, rendered for SQLite and PostgreSQL, and the acts that bring a database
// to a version. It knows no row struct and no noun of the domain.
package migrations

import (
	"context"
	"database/sql"
	"fmt"
	"path/filepath"
	"strings"
	"time"

	"github.com/pressly/goose/v3"
	"github.com/pressly/goose/v3/lock"
)

// Dialect names a kind of database.
type Dialect string

// The databases the program runs on.
const (
	SQLite     Dialect = "sqlite"
	PostgreSQL Dialect = "postgres"
)

// Migration is one numbered change of the schema.
type Migration struct {
	Version   int64
	Name      string    // what it is about, for example "cases"
	Applied   bool      // whether the database has it
	AppliedAt time.Time // zero when not applied
}

// Up applies every migration the database lacks, each in its own transaction, and returns those it applied. On PostgreSQL other
// processes that migrate at the same time wait their turn.
func Up(ctx context.Context, db *sql.DB, dialect Dialect) ([]Migration, error) {
	provider, err := open(db, dialect)
	if err != nil {
		return nil, err
	}
	results, err := provider.Up(ctx)
	return done(results, true), failed("up", err)
}

// Down takes back every applied migration above version to, newest first; 0 leaves an empty database. It returns those it took back.
// All data in the tables they made is lost.
func Down(ctx context.Context, db *sql.DB, dialect Dialect, to int64) ([]Migration, error) {
	provider, err := open(db, dialect)
	if err != nil {
		return nil, err
	}
	results, err := provider.DownTo(ctx, to)
	return done(results, false), failed("down", err)
}

// Status lists every migration in order, applied or not.
func Status(ctx context.Context, db *sql.DB, dialect Dialect) ([]Migration, error) {
	provider, err := open(db, dialect)
	if err != nil {
		return nil, err
	}
	states, err := provider.Status(ctx)
	if err != nil {
		return nil, failed("status", err)
	}
	list := make([]Migration, len(states))
	for i, state := range states {
		list[i] = migration(state.Source)
		list[i].Applied = state.State == goose.StateApplied
		if list[i].Applied {
			list[i].AppliedAt = state.AppliedAt.UTC()
		}
	}
	return list, nil
}

// Pending counts the migrations the database lacks; it is negative when the database is of a newer program. It waits for no lock, so a
// readiness check may ask often. Numbers are unbroken, so the difference of the newest ones is the count.
func Pending(ctx context.Context, db *sql.DB, dialect Dialect) (int, error) {
	provider, err := open(db, dialect)
	if err != nil {
		return 0, err
	}
	current, target, err := provider.GetVersions(ctx)
	return int(target - current), failed("check", err)
}

// open prepares goose for one database, without its global registry.
func open(db *sql.DB, dialect Dialect) (*goose.Provider, error) {
	rendered, err := render(dialect)
	if err != nil {
		return nil, err
	}
	options := []goose.ProviderOption{goose.WithDisableGlobalRegistry(true)}
	kind := goose.DialectSQLite3
	if dialect == PostgreSQL {
		kind = goose.DialectPostgres
		// Replicas that start together: one migrates, the others look once a second for up to two minutes.
		locker, err := lock.NewPostgresSessionLocker(lock.WithLockTimeout(1, 120))
		if err != nil {
			return nil, fmt.Errorf("migrations: %w", err)
		}
		options = append(options, goose.WithSessionLocker(locker))
	}
	provider, err := goose.NewProvider(kind, db, rendered, options...)
	if err != nil {
		return nil, fmt.Errorf("migrations: %w", err)
	}
	return provider, nil
}

// migration reads number and name from a file name such as 00005_cases.sql.
func migration(source *goose.Source) Migration {
	_, name, _ := strings.Cut(strings.TrimSuffix(filepath.Base(source.Path), ".sql"), "_")
	return Migration{Version: source.Version, Name: name}
}

// done turns goose's results into migrations.
func done(results []*goose.MigrationResult, applied bool) []Migration {
	list := make([]Migration, 0, len(results))
	for _, result := range results {
		m := migration(result.Source)
		m.Applied = applied
		list = append(list, m)
	}
	return list
}

// failed says which act failed.
func failed(act string, err error) error {
	if err == nil {
		return nil
	}
	return fmt.Errorf("migrate %s: %w", act, err)
}
