package main

import (
	"context"
	"fmt"
	"text/tabwriter"

	"isthmus/api/store"
	"isthmus/migrations"
)

// MigrateCmd brings the database to this version of the program, or back.
type MigrateCmd struct {
	Up     MigrateUpCmd     `cmd:"" help:"Apply every migration the database lacks."`
	Down   MigrateDownCmd   `cmd:"" help:"Take migrations back. The data in the tables they made is lost."`
	Status MigrateStatusCmd `cmd:"" help:"List the migrations and whether the database has them."`
}

// MigrateUpCmd applies every migration the database lacks.
type MigrateUpCmd struct{}

// Help shows examples.
func (MigrateUpCmd) Help() string {
	return "Examples:\n  isthmus migrate up\n  isthmus migrate up --database sqlite:/var/lib/isthmus/isthmus.db"
}

// Run applies them and says which.
func (MigrateUpCmd) Run(ctx context.Context, config *Config, streams Streams) error {
	return onDatabase(ctx, *config, func(s *store.Store) error {
		applied, err := migrations.Up(ctx, s.DB(), s.Dialect())
		if err == nil && len(applied) == 0 {
			fmt.Fprintln(streams.Out, "The database is at this version.")
		}
		return sayMigrations(streams, "applied", applied, err)
	})
}

// MigrateDownCmd takes migrations back.
type MigrateDownCmd struct {
	To          int64 `required:"" help:"Take back every migration above this number; 0 leaves an empty database."`
	LoseTheData bool  `help:"Confirm that the data in the tables taken back is to be lost."`
}

// Help shows an example.
func (MigrateDownCmd) Help() string { return "Example:\n  isthmus migrate down --to 4 --lose-the-data" }

// Run takes them back, newest first, and says which.
func (c MigrateDownCmd) Run(ctx context.Context, config *Config, streams Streams) error {
	if !c.LoseTheData {
		return fmt.Errorf("taking migrations back loses data: add --lose-the-data to confirm")
	}
	return onDatabase(ctx, *config, func(s *store.Store) error {
		taken, err := migrations.Down(ctx, s.DB(), s.Dialect(), c.To)
		if err == nil && len(taken) == 0 {
			fmt.Fprintf(streams.Out, "The database has no migration above %d.\n", c.To)
		}
		return sayMigrations(streams, "taken back", taken, err)
	})
}

// MigrateStatusCmd lists the migrations.
type MigrateStatusCmd struct{}

// Help shows an example.
func (MigrateStatusCmd) Help() string { return "Example:\n  isthmus migrate status" }

// Run lists every migration with the time it was applied.
func (MigrateStatusCmd) Run(ctx context.Context, config *Config, streams Streams) error {
	return onDatabase(ctx, *config, func(s *store.Store) error {
		list, err := migrations.Status(ctx, s.DB(), s.Dialect())
		if err != nil {
			return err
		}
		table := tabwriter.NewWriter(streams.Out, 0, 0, 2, ' ', 0)
		fmt.Fprintln(table, "number\tname\tapplied")
		for _, m := range list {
			applied := "no"
			if m.Applied {
				applied = m.AppliedAt.Format("2006-01-02 15:04:05 UTC")
			}
			fmt.Fprintf(table, "%d\t%s\t%s\n", m.Version, m.Name, applied)
		}
		return table.Flush()
	})
}

// onDatabase does something with the configured database as it is, and closes it.
func onDatabase(ctx context.Context, config Config, do func(*store.Store) error) error {
	s, err := openDatabase(ctx, config)
	if err != nil {
		return err
	}
	defer s.Close()
	return do(s)
}

func sayMigrations(streams Streams, done string, list []migrations.Migration, err error) error {
	for _, m := range list {
		fmt.Fprintf(streams.Out, "%s %d %s\n", done, m.Version, m.Name)
	}
	return err
}
