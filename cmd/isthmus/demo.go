package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"
	"text/tabwriter"
	"time"

	"isthmus/api/store"
	"isthmus/competency"
	"isthmus/migrations"
)

// DemoCmd serves the main job on invented data.
type DemoCmd struct {
	Data string `placeholder:"FOLDER" help:"Keep the data here between starts; a temporary folder when left out."`
}

// Help shows examples.
func (DemoCmd) Help() string {
	return `Fills a fresh SQLite database with an invented programme through the same acts people do, prints the accounts (also as
accounts.json in the folder) and serves over plain HTTP. A folder that already holds the demo is served as it is. The configured
database is left alone. The passwords are printed words: whoever reaches the address can sign in.

Examples:
  isthmus demo
  isthmus demo --data ./demo --listen 127.0.0.1:9000`
}

// The files of a demo folder. The database is filled under another name and renamed when it is whole, so that a start that was
// interrupted never leaves half a story behind.
const (
	demoDatabase = "isthmus.db"
	demoFilling  = "filling.db"
	demoAccounts = "accounts.json"
)

// Run fills the folder unless it is filled, and serves until ctx ends.
func (c DemoCmd) Run(ctx context.Context, config *Config, streams Streams) error {
	folder, err := demoFolder(c.Data)
	if err != nil {
		return err
	}
	if c.Data == "" {
		defer os.RemoveAll(folder)
	}
	book, err := openDemo(ctx, folder, wallClock())
	if err != nil {
		return fmt.Errorf("demo in %s: %w", folder, err)
	}
	settings := *config
	settings.Database, settings.Cookies = "sqlite:"+filepath.Join(folder, demoDatabase), "plain"
	logger := settings.logger(streams)
	logger.Info("starting", slog.String("version", version), slog.Any("configuration", settings))
	program, err := assemble(ctx, settings, wallClock, logger)
	if err != nil {
		return err
	}
	defer program.close()
	defer program.work(ctx)()
	return listenAndServe(ctx, settings.Listen, program.handler, logger, func(address string) {
		book.Address = "http://" + address
		if err := book.save(folder); err != nil {
			logger.Warn("accounts not saved", slog.Any("error", err))
		}
		book.print(streams, folder)
	})
}

// demoFolder makes the named folder, or a temporary one.
func demoFolder(named string) (string, error) {
	if named == "" {
		return os.MkdirTemp("", "isthmus-demo-")
	}
	return named, os.MkdirAll(named, 0o700)
}

// demoBook is what accounts.json holds: everything needed to look round.
type demoBook struct {
	About     string                 `json:"about"`
	Address   string                 `json:"address"` // where it was last served
	Programme competency.ProgrammeID `json:"programme"`
	Name      string                 `json:"programme_name"`
	Seed      uint64                 `json:"seed"`
	FilledOn  competency.Day         `json:"filled_on"`
	Accounts  []demoAccount          `json:"accounts"`
}

// demoAccount is one account of the demo. The people are invented and the password guards nothing.
type demoAccount struct {
	ID       competency.PersonID `json:"id"`
	Role     string              `json:"role"`
	Name     string              `json:"name"`
	Email    string              `json:"email"`
	Password string              `json:"password"`
	Stage    string              `json:"stage"`
}

// print tells where the demo is served and who can sign in.
func (b demoBook) print(streams Streams, folder string) {
	fmt.Fprintf(streams.Out, "Isthmus demo: %s\n%s\nData: %s\n\n", b.Address, b.About, folder)
	table := tabwriter.NewWriter(streams.Out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(table, "role\tname\te-mail\tpassword\tstage")
	for _, a := range b.Accounts {
		fmt.Fprintf(table, "%s\t%s\t%s\t%s\t%s\n", a.Role, a.Name, a.Email, a.Password, a.Stage)
	}
	table.Flush()
}

// save writes accounts.json, readable by its owner only like the database beside it.
func (b demoBook) save(folder string) error {
	data, err := json.MarshalIndent(b, "", "  ")
	if err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(folder, demoAccounts), append(data, '\n'), 0o600)
}

// openDemo gives the accounts of the folder's demo, after filling its database when there is none.
func openDemo(ctx context.Context, folder string, now time.Time) (demoBook, error) {
	_, err := os.Stat(filepath.Join(folder, demoDatabase))
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return makeDemo(ctx, folder, now)
	case err != nil:
		return demoBook{}, err
	}
	var book demoBook
	data, err := os.ReadFile(filepath.Join(folder, demoAccounts))
	if err == nil {
		err = json.Unmarshal(data, &book)
	}
	if err != nil {
		return demoBook{}, fmt.Errorf("%s is there, but its accounts cannot be read (choose another folder): %w", demoDatabase, err)
	}
	return book, migrateDemo(ctx, filepath.Join(folder, demoDatabase))
}

// migrateDemo brings a kept database to this version.
func migrateDemo(ctx context.Context, file string) error {
	s, err := store.Open(ctx, store.Config{URL: "sqlite:" + file})
	if err != nil {
		return err
	}
	_, err = migrations.Up(ctx, s.DB(), s.Dialect())
	return errors.Join(err, s.Close())
}

// makeDemo fills a new database, writes the accounts and only then gives the database its name.
func makeDemo(ctx context.Context, folder string, now time.Time) (demoBook, error) {
	filling := filepath.Join(folder, demoFilling)
	for _, leftover := range []string{filling, filling + "-wal", filling + "-shm"} {
		if err := os.Remove(leftover); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return demoBook{}, err
		}
	}
	s, err := store.Open(ctx, store.Config{URL: "sqlite:" + filling})
	if err != nil {
		return demoBook{}, err
	}
	book, err := fillDemo(ctx, s, now)
	if err := errors.Join(err, s.Close()); err != nil {
		return demoBook{}, err
	}
	if err := book.save(folder); err != nil {
		return demoBook{}, err
	}
	return book, os.Rename(filling, filepath.Join(folder, demoDatabase))
}
