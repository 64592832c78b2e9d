package service

import (
	"context"
	"time"

	"isthmus/api/report"
	"isthmus/api/store"
)

// Verified is the answer about a code: whether it matches the record, and of when. It says nothing of what the report holds.
type Verified struct {
	Matches bool      `json:"matches"`
	MadeAt  time.Time `json:"made_at,omitzero"`
	Says    string    `json:"says"`
}

// VerifyReport is the function of that name on the service's store.
func (s *Service) VerifyReport(ctx context.Context, code, fileHash string) (Verified, error) {
	return VerifyReport(ctx, s.deps.Store, code, fileHash)
}

// VerifyReport compares a code, and the SHA-256 of the file that carries it when there is one, with what was sealed when the report was
// written. The error is strict.Faults for what is no code.
func VerifyReport(ctx context.Context, s *store.Store, code, fileHash string) (Verified, error) {
	read, ok := report.ReadCode(code)
	if !ok {
		return Verified{}, fault("code", "is four groups of five letters and digits, as they stand at the foot of every page")
	}
	var found []store.Report
	err := s.Read(ctx, func(tx *store.Tx) (err error) {
		found, err = tx.ReportsByCode(read)
		return err
	})
	if err != nil {
		return Verified{}, err
	}
	if len(found) == 0 {
		return Verified{Says: "No report with this code is on record here."}, nil
	}
	one := found[0]
	if fileHash == "" {
		return Verified{Matches: true, MadeAt: one.ClosedAt, Says: "The code matches the record of " + dayWords(one.ClosedAt) +
			". Whether the pages in front of you are those that were written, only their file can show."}, nil
	}
	for _, one := range found {
		if one.FileHash == fileHash {
			return Verified{Matches: true, MadeAt: one.ClosedAt, Says: "The code and the file match the record of " + dayWords(one.ClosedAt) + ": not a byte was changed since."}, nil
		}
	}
	return Verified{Says: "The code is on record, but this file is not the one that was written with it: it was changed, or saved anew."}, nil
}

// dayWords writes the day of an instant.
func dayWords(at time.Time) string { return at.UTC().Format("2 January 2006") }
