package main

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"os"

	"isthmus/api/service"
	"isthmus/api/store"
)

// ReportCmd works on reports.
type ReportCmd struct {
	Verify ReportVerifyCmd `cmd:"" help:"Compare the code of a report, and its file, with the record."`
}

// ReportVerifyCmd verifies a report.
type ReportVerifyCmd struct {
	Code string `arg:"" help:"The code at the foot of every page, or on the sheet about the tables."`
	File string `arg:"" optional:"" type:"existingfile" help:"The file that carries the code: a byte changed since it was written is found."`
}

// Help shows an example.
func (ReportVerifyCmd) Help() string {
	return `A report's code stands for every word of it and for its programme; it is sealed in the audit trail when the report is written. Says whether
the code is on record, of which day, and with a file whether that is the one that was written. Exit code 1 when it does not match.

Example:
  isthmus report verify 7K2PD-0QX4M-9A1CE-RT5VB portfolio-2026-03-31.pdf`
}

// Run verifies and prints a line.
func (c ReportVerifyCmd) Run(ctx context.Context, config *Config, streams Streams) error {
	hash := ""
	if c.File != "" {
		data, err := os.ReadFile(c.File)
		if err != nil {
			return err
		}
		sum := sha256.Sum256(data)
		hash = hex.EncodeToString(sum[:])
	}
	return onCurrent(ctx, *config, func(s *store.Store) error {
		checked, err := service.VerifyReport(ctx, s, c.Code, hash)
		if err != nil {
			return err
		}
		fmt.Fprintln(streams.Out, checked.Says)
		if !checked.Matches {
			return fmt.Errorf("the report does not match the record")
		}
		return nil
	})
}
