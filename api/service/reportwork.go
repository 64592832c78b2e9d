package service

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"time"

	"isthmus/api/report"
	"isthmus/api/store"
	"isthmus/assessment/strict"
)

// How a report is worked off.
const (
	reportLease = 60 * time.Second // without a sign of life for this long anybody may take it over
	reportTries = 3                // how often it is begun before it is given up
)

// written is a report's file with what its code stands for.
type written struct {
	data              []byte
	name              string
	standard          string
	contentHash, code string
}

// WorkOnReports writes one waiting report of any programme, if there is one that nobody works on, or else drops one file whose days are over;
// it reports whether there was anything. Any number of processes may call it. The error is of the database: the report then waits to be
// taken up again.
func (s *Service) WorkOnReports(ctx context.Context) (bool, error) {
	lease, now := s.deps.NewID(), s.deps.Clock()
	one, found, err := s.deps.Store.LeaseReport(ctx, lease, now, now.Add(reportLease))
	if err != nil {
		return false, err
	}
	if !found {
		return s.forgetReport(ctx, now)
	}
	made, err := s.writeReport(ctx, one, lease)
	after := one
	var faults strict.Faults
	switch {
	case errors.Is(err, errLeaseLost):
		return true, nil
	case errors.As(err, &faults), errors.Is(err, ErrForbidden), errors.Is(err, ErrNotFound), errors.Is(err, ErrTestOpen), errors.Is(err, ErrNoStandard):
		after.State, after.Ready, after.Message = store.ReportFailed, 0, whyNoReport(err)
	case err != nil:
		return true, fmt.Errorf("report %s: %w", one.ID, err)
	default:
		sum := sha256.Sum256(made.data)
		after.State, after.Ready, after.Standard, after.Code, after.Content = store.ReportDone, one.Total, made.standard, made.code, made.contentHash
		after.FileHash, after.FileName = hex.EncodeToString(sum[:]), made.name
	}
	return true, s.endReport(ctx, one, after, made.data, lease)
}

// whyNoReport says in one line why a report was not written.
func whyNoReport(err error) string {
	if errors.Is(err, ErrNotFound) {
		return "who asked for it is no member of the programme any more"
	}
	return whyFailed(err)
}

// progressSteps is how often a report says how far it is: each time is a write to the disk, which is most of the work of a short report. A slow one
// says so more often: it would lose its lease.
const progressSteps = 10

// writeReport writes a report as the person who asked for it, with what that person may read now.
func (s *Service) writeReport(ctx context.Context, one store.Report, lease string) (written, error) {
	if one.Tries > reportTries {
		return written{}, fault("kind", "it was begun several times and never came to an end")
	}
	said := s.deps.Clock()
	ready := func(n int) error {
		now, step := s.deps.Clock(), n >= one.Total || n*progressSteps/one.Total > (n-1)*progressSteps/one.Total
		if !step && now.Sub(said) < reportLease/2 {
			return nil
		}
		said = now
		held, err := s.deps.Store.KeepReport(ctx, one.ID, lease, min(n, one.Total), now.Add(reportLease))
		return errors.Join(err, lost(held || err != nil))
	}
	var made written
	err := s.read(ctx, Actor{Person: one.By, RequestID: one.RequestID}, one.Programme, func(h *scene) error {
		if err := h.mayReport(one.Kind, one.Trainee); err != nil {
			return err
		}
		var err error
		switch one.Kind {
		case store.Portfolio:
			made, err = h.portfolio(one)
		case store.MeetingPack:
			made, err = h.pack(one, ready)
		default:
			made, err = h.tables(one, ready)
		}
		return err
	})
	return made, err
}

// painted paints and seals a document.
func (h *scene) painted(doc report.Document, name string) (written, error) {
	hash, code, err := doc.Seal(string(h.programme.ID))
	if err != nil {
		return written{}, err
	}
	data, err := report.PDF(doc, code)
	return written{data: data, name: name, standard: doc.Standard, contentHash: hash, code: code}, err
}

// endReport saves what came of it, unless it is no longer ours.
func (s *Service) endReport(ctx context.Context, one, after store.Report, file []byte, lease string) error {
	doing := store.Act{Programme: one.Programme, Actor: one.By, Name: "report." + string(after.State), RequestID: one.RequestID, At: s.deps.Clock()}
	err := s.deps.Store.Write(ctx, doing, func(tx *store.Tx) error {
		held, err := tx.HoldsReport(one.Programme, one.ID, lease)
		if err != nil || !held {
			return errors.Join(err, lost(held))
		}
		after.ClosedAt = doing.At
		if err := tx.CloseReport(after, file, one.Revision); err != nil {
			return err
		}
		if after.State == store.ReportDone {
			return tx.SealReport(after)
		}
		return tx.Audit("report", string(one.ID), one, after)
	})
	if errors.Is(err, errLeaseLost) || errors.Is(err, ErrStale) {
		return nil
	}
	return err
}

// forgetReport drops one file whose days are over; it reports whether there was one.
func (s *Service) forgetReport(ctx context.Context, now time.Time) (bool, error) {
	one, found, err := s.deps.Store.OldReport(ctx, now.AddDate(0, 0, -reportDays))
	if err != nil || !found {
		return false, err
	}
	doing := store.Act{Programme: one.Programme, Actor: one.By, Name: "report.forget", RequestID: one.RequestID, At: now}
	err = s.deps.Store.Write(ctx, doing, func(tx *store.Tx) error {
		if err := tx.ForgetReportFile(one.Programme, one.ID); err != nil {
			return err
		}
		return tx.Audit("report", string(one.ID), one, nil)
	})
	if errors.Is(err, ErrNotFound) { // somebody else was quicker
		return false, nil
	}
	return err == nil, err
}
