package service

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"isthmus/api/store"
	"isthmus/assessment"
	"isthmus/assessment/strict"
	"isthmus/competency"
	"isthmus/competency/casefile"
)

// How an import is worked off.
const (
	importLease = 30 * time.Second // without a sign of life for this long anybody may take it over
	importTries = 5                // how often it is begun before it is given up
	importStep  = 250              // rows between two signs of life
)

// errLeaseLost says that the import was undone, or that somebody else works on it by now.
var errLeaseLost = errors.New("the import is no longer ours to work on")

// WorkOnImports works off one waiting import of any programme, if there is one that nobody works on; it reports whether there was. Any
// number of processes may call it. All cases are saved in one transaction or none. The error is of the database: the import then waits
// to be taken up again.
func (s *Service) WorkOnImports(ctx context.Context) (bool, error) {
	lease, now := s.deps.NewID(), s.deps.Clock()
	i, data, found, err := s.deps.Store.LeaseImport(ctx, lease, now, now.Add(importLease))
	if err != nil || !found {
		return false, err
	}
	var entries []casefile.Entry
	if err := json.Unmarshal(data, &entries); err != nil {
		return true, s.failImport(ctx, i, "what was read of the file cannot be read again")
	}
	if i.Tries > importTries {
		return true, s.failImport(ctx, i, "it was begun several times and never came to an end: split the file")
	}
	err = s.workOff(ctx, i, lease, entries)
	var faults strict.Faults
	switch {
	case err == nil, errors.Is(err, errLeaseLost):
		return true, nil
	case errors.As(err, &faults), errors.Is(err, ErrForbidden), errors.Is(err, ErrNotFound), errors.Is(err, ErrTestOpen), errors.Is(err, ErrDuplicate):
		return true, s.failImport(ctx, i, whyFailed(err))
	}
	return true, fmt.Errorf("import %s: %w", i.ID, err)
}

// whyFailed says in one line why nothing was imported.
func whyFailed(err error) string {
	if errors.Is(err, ErrNotFound) {
		return "who imported it is no member of the programme any more"
	}
	var faults strict.Faults
	if errors.As(err, &faults) && len(faults.List) > 0 {
		return fmt.Sprintf("%s: %s", faults.List[0].Field, faults.List[0].Message)
	}
	return err.Error()
}

// workOff computes an import's cases, then saves them all.
func (s *Service) workOff(ctx context.Context, i store.Import, lease string, entries []casefile.Entry) error {
	actor := Actor{Person: i.By, RequestID: i.RequestID}
	var settings competency.Settings
	var policy assessment.Policy
	var notes keptNotes
	err := s.read(ctx, actor, i.Programme, func(h *scene) (err error) {
		settings = h.programme.Settings
		if notes, err = h.keptNotesOf(i); err != nil {
			return err
		}
		policy, err = h.policy()
		return err
	})
	if err != nil {
		return err
	}
	imported, err := s.importedCases(ctx, i, lease, entries, settings, policy, notes)
	if err != nil {
		return err
	}
	return s.write(ctx, actor, i.Programme, "import.commit", func(h *scene) error {
		if held, err := h.tx.HoldsLease(i.Programme, i.ID, lease); err != nil || !held {
			return errors.Join(err, lost(held))
		}
		before, err := h.tx.ImportByID(i.Programme, i.ID)
		if err != nil {
			return err
		}
		if err := h.recheck(i, entries); err != nil {
			return err
		}
		if err := h.tx.AddImportedCases(i.Programme, i.ID, imported); err != nil {
			return err
		}
		if err := h.saveKeptNotes(notes, imported); err != nil {
			return err
		}
		_, err = h.closeImport(before, store.ImportDone, i.Total, "")
		return err
	})
}

// lost is errLeaseLost unless the lease is held.
func lost(held bool) error {
	if held {
		return nil
	}
	return errLeaseLost
}

// recheck looks again, inside the transaction, for what may have changed since the file was read: roles and memberships.
func (h *scene) recheck(i store.Import, entries []casefile.Entry) error {
	basis, err := h.importBasis(headerHash(nil), i.Submit)
	if err != nil {
		return err
	}
	var faults strict.Faults
	for _, entry := range entries {
		basis.check(entry, func(field, message string) { faults.Add(fmt.Sprintf("row %d, %s", entry.Row, field), "%s", message) })
	}
	return faults.Err()
}

// importedCases makes the cases of an import, giving a sign of life as it goes.
func (s *Service) importedCases(ctx context.Context, i store.Import, lease string, entries []casefile.Entry, settings competency.Settings, policy assessment.Policy, notes keptNotes) ([]store.ImportedCase, error) {
	quick := s.remembering()
	now := s.deps.Clock()
	imported := make([]store.ImportedCase, len(entries))
	for n, entry := range entries {
		if n%importStep == 0 {
			kept, err := s.deps.Store.KeepLease(ctx, i.ID, lease, n, s.deps.Clock().Add(importLease))
			if err != nil || !kept {
				return nil, errors.Join(err, lost(kept))
			}
		}
		c, err := competency.NewCase(competency.CaseID(s.deps.NewID()), i.Programme, entry.Trainee, entry.Record, settings, now, notes.of(entry.Record.Note)...)
		if err != nil {
			return nil, under(fmt.Sprintf("row %d", entry.Row), err)
		}
		if i.Submit {
			computed, err := quick.compute(c.Record, settings.RoleRule, policy)
			if err != nil {
				return nil, under(fmt.Sprintf("row %d", entry.Row), err)
			}
			if c, err = competency.Submit(c, computed, settings, now, notes.of(c.Record.Note)...); err != nil {
				return nil, under(fmt.Sprintf("row %d", entry.Row), err)
			}
		}
		imported[n] = store.ImportedCase{Case: c, Row: entry.Row}
	}
	return imported, nil
}

// failImport closes an import of which nothing was saved. An import that is not waiting any more stays as it is.
func (s *Service) failImport(ctx context.Context, i store.Import, why string) error {
	doing := store.Act{Programme: i.Programme, Actor: i.By, Name: "import.fail", RequestID: i.RequestID, At: s.deps.Clock()}
	err := s.deps.Store.Write(ctx, doing, func(tx *store.Tx) error {
		before, err := tx.ImportByID(i.Programme, i.ID)
		if err != nil || before.State != store.ImportWaiting {
			return err
		}
		after := before
		after.State, after.Message, after.ClosedAt = store.ImportFailed, why, doing.At
		if err := tx.CloseImport(after, before.Revision); err != nil {
			return err
		}
		after.Revision++
		return tx.Audit("import", string(i.ID), before, after)
	})
	if errors.Is(err, ErrStale) {
		return nil
	}
	return err
}
