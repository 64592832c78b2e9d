package service

import (
	"context"
	"errors"
	"time"

	"isthmus/api/signin"
	"isthmus/api/store"
	"isthmus/competency"
)

// DigestView is what a person chose about the mail that says what waits for them.
type DigestView struct {
	Choices competency.DigestChoices `json:"choices"`
	Offered bool                     `json:"offered"` // the program can send mail
	NextAt  time.Time                `json:"next_at,omitzero"`
	LastDay competency.Day           `json:"last_day,omitempty"` // the newest day whose digest was sent, given up, or not needed
	Message string                   `json:"message,omitempty"`  // why the last mail did not go
}

// Digest is what the actor chose; what holds by default for who never did.
func (s *Service) Digest(ctx context.Context, actor Actor) (DigestView, error) {
	view := DigestView{Choices: competency.DefaultDigest(), Offered: s.deps.Mail != nil}
	err := s.deps.Store.Read(ctx, func(tx *store.Tx) error {
		d, err := tx.DigestOf(actor.Person)
		if errors.Is(err, ErrNotFound) {
			return nil
		}
		view.Choices, view.NextAt, view.LastDay, view.Message = d.Choices, d.NextAt, d.LastSlot, d.Message
		return err
	})
	return view, err
}

// ChooseDigest keeps when the actor wants the digest. The first one is that of the next hour chosen. The error is strict.Faults.
func (s *Service) ChooseDigest(ctx context.Context, actor Actor, choices competency.DigestChoices) (DigestView, error) {
	if err := choices.Validate().Err(); err != nil {
		return DigestView{}, under("choices", err)
	}
	if err := s.saveDigest(ctx, actor.Person, actor.RequestID, "digest.choose", choices); err != nil {
		return DigestView{}, err
	}
	return s.Digest(ctx, actor)
}

// StopDigest turns off the digest a token from a mail belongs to. The error is ErrNotFound for a token that is none.
func (s *Service) StopDigest(ctx context.Context, requestID, token string) error {
	var d store.Digest
	err := s.deps.Store.Read(ctx, func(tx *store.Tx) (err error) {
		d, err = tx.DigestByToken(token)
		return err
	})
	if err != nil || d.Choices.Rhythm == competency.RhythmOff {
		return err
	}
	d.Choices.Rhythm = competency.RhythmOff
	return s.saveDigest(ctx, d.Person, requestID, "digest.stop", d.Choices)
}

// saveDigest keeps choices with their audit entry.
func (s *Service) saveDigest(ctx context.Context, person competency.PersonID, requestID, name string, choices competency.DigestChoices) error {
	secret, _, err := signin.NewSecret()
	if err != nil {
		return err
	}
	now := s.deps.Clock()
	act := store.Act{Actor: person, Name: name, RequestID: requestID, At: now}
	return s.deps.Store.Write(ctx, act, func(tx *store.Tx) error {
		before, err := tx.DigestOf(person)
		if err != nil && !errors.Is(err, ErrNotFound) {
			return err
		}
		d := store.Digest{Person: person, Choices: choices, Token: before.Token, LastSlot: choices.Slot(now)}
		if d.Token == "" {
			d.Token = secret
		}
		d.NextAt = choices.Next(d.LastSlot, now)
		if err := tx.SaveDigest(d); err != nil {
			return err
		}
		return tx.Audit("digest", string(person), before.Choices, choices)
	})
}
