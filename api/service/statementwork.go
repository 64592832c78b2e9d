package service

import (
	"context"
	"time"

	"isthmus/api/lrs"
	"isthmus/api/store"
)

// Records takes statements: a learning record store.
type Records interface {
	Send(ctx context.Context, statement []byte) error
}

const (
	statementLease   = 2 * time.Minute
	statementRefused = 24 * time.Hour // how long to wait after the store refused the statement itself
)

// statementAgain is how long to wait after so many tries: 1, 2, 4 ... minutes, at most 2 hours.
func statementAgain(tries int) time.Duration { return min(2*time.Hour, time.Minute<<min(tries-1, 7)) }

// WorkOnStatements hands over one statement that is due, and says whether the store took it: while it does not, nobody need hurry. Any number of
// processes may call it: one has a statement at a time. None is ever given up: what the store refuses waits a day, everything else minutes
// at first. A statement that the store took is sent again only when the process ends between its answer and the note of it; the store then
// knows it by its id.
func (s *Service) WorkOnStatements(ctx context.Context) (bool, error) {
	if s.deps.Records == nil {
		return false, nil
	}
	programmes, err := s.deps.Store.DeliveringProgrammes(ctx)
	if err != nil || len(programmes) == 0 {
		return false, err
	}
	lease, now := s.deps.NewID(), s.deps.Clock()
	one, tries, found, err := s.deps.Store.LeaseStatement(ctx, programmes, lease, now, now.Add(statementLease))
	if err != nil || !found {
		return false, err
	}
	sending, cancel := context.WithTimeout(ctx, statementLease/2)
	defer cancel()
	if err := s.deps.Records.Send(sending, one.Text); err != nil {
		if ctx.Err() != nil {
			return false, ctx.Err() // the program ends: the lease runs out by itself
		}
		next := now.Add(statementAgain(tries))
		if lrs.Permanent(err) {
			next = now.Add(statementRefused)
		}
		return false, s.deps.Store.PostponeStatement(ctx, one, lease, err.Error(), next)
	}
	return true, s.noteSent(ctx, one, lease)
}

// noteSent ends a delivery, with the audit entry of what left the programme.
func (s *Service) noteSent(ctx context.Context, one store.Statement, lease string) error {
	doing := store.Act{Programme: one.Programme, Name: "statement.send", At: s.deps.Clock()}
	return s.deps.Store.Write(ctx, doing, func(tx *store.Tx) error {
		held, err := tx.SentStatement(one.Programme, one.ID, lease, doing.At)
		if err != nil || !held {
			return err // another process has it by now, and notes it
		}
		return tx.Audit("statement", one.ID, nil, string(one.Text))
	})
}
