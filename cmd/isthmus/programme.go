package main

import (
	"context"
	"fmt"
	"strings"
	"text/tabwriter"
	"unicode"
	"unicode/utf8"

	"isthmus/api/store"
	"isthmus/competency"
)

// ProgrammeCmd adds and lists training programmes.
type ProgrammeCmd struct {
	Add  ProgrammeAddCmd  `cmd:"" help:"Add a programme with the example standard, which it must replace by its own."`
	List ProgrammeListCmd `cmd:"" help:"List the programmes."`
}

// ProgrammeAddCmd adds a programme.
type ProgrammeAddCmd struct {
	Name           string   `arg:"" help:"Name of the programme."`
	Site           []string `sep:"none" help:"A site its members operate at; repeat for each." default:"Main site"`
	DatePrecision  string   `enum:"day,week,month" default:"month" help:"How exactly operation dates are kept: day, week or month."`
	LateRecallDays int      `default:"14" help:"A sign-off later than this is marked as late recall."`
	SigningMinutes int      `default:"15" help:"A password given longer ago than this does not carry a signature: it is asked for again."`
}

// Help shows an example.
func (ProgrammeAddCmd) Help() string {
	return `The programme is a wall: its members see nothing of another's. Prints its id.

Example:
  isthmus programme add "Surgery of the atria" --site "North theatre" --site "South theatre" --date-precision week`
}

// Run adds the programme with the example standard in force.
func (c ProgrammeAddCmd) Run(ctx context.Context, config *Config, streams Streams) error {
	name, err := plainName("the name of a programme", c.Name)
	if err != nil {
		return err
	}
	settings := competency.Defaults()
	settings.Sites, settings.DatePrecision, settings.LateRecallDays = c.Site, competency.Precision(c.DatePrecision), c.LateRecallDays
	settings.SigningMinutes = c.SigningMinutes
	if err := settings.Validate().Err(); err != nil {
		return sayFaults(streams.Err, err)
	}
	now := wallClock()
	programme := store.Programme{ID: competency.ProgrammeID(newID()), Name: name, Settings: settings, CreatedAt: now}
	standard := store.Standard{
		Programme: programme.ID, Version: competency.ExampleStandard().Version, InForceFrom: competency.DayOf(now), YAML: string(competency.ExampleStandardYAML()), CreatedAt: now,
	}
	act := store.Act{Programme: programme.ID, Name: "programme.add", RequestID: "command line", At: now}
	return onCurrent(ctx, *config, func(s *store.Store) error {
		err := s.Write(ctx, act, func(tx *store.Tx) error {
			if err := tx.CreateProgramme(programme); err != nil {
				return err
			}
			if err := tx.AddStandard(standard); err != nil {
				return err
			}
			if err := tx.Audit("programme", string(programme.ID), nil, programme); err != nil {
				return err
			}
			return tx.Audit("standard", fmt.Sprint(standard.Version), nil, standard)
		})
		if err == nil {
			fmt.Fprintln(streams.Out, programme.ID)
		}
		return err
	})
}

// plainName takes a name as people and tables can show it: 1 to 120 characters on one line, without spaces at the ends.
func plainName(what, text string) (string, error) {
	name := strings.TrimSpace(text)
	if name == "" || utf8.RuneCountInString(name) > 120 || strings.ContainsFunc(name, unicode.IsControl) {
		return "", fmt.Errorf("%s must be 1 to 120 characters on one line", what)
	}
	return name, nil
}

// ProgrammeListCmd lists the programmes.
type ProgrammeListCmd struct{}

// Help shows an example.
func (ProgrammeListCmd) Help() string { return "Example:\n  isthmus programme list" }

// Run lists ids and names.
func (ProgrammeListCmd) Run(ctx context.Context, config *Config, streams Streams) error {
	return onCurrent(ctx, *config, func(s *store.Store) error {
		return s.Read(ctx, func(tx *store.Tx) error {
			programmes, err := tx.Programmes()
			if err != nil {
				return err
			}
			table := tabwriter.NewWriter(streams.Out, 0, 0, 2, ' ', 0)
			fmt.Fprintln(table, "id\tname\tsince")
			for _, p := range programmes {
				fmt.Fprintf(table, "%s\t%s\t%s\n", p.ID, p.Name, competency.DayOf(p.CreatedAt))
			}
			return table.Flush()
		})
	})
}

// onCurrent does something with the configured database, which must be at this version, and closes it.
func onCurrent(ctx context.Context, config Config, do func(*store.Store) error) error {
	s, err := openCurrent(ctx, config)
	if err != nil {
		return err
	}
	defer s.Close()
	return do(s)
}
