package service

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"isthmus/api/mail"
	"isthmus/api/store"
	"isthmus/competency"
)

// Mail hands a message to a mail server.
type Mail interface {
	Send(ctx context.Context, m mail.Message) error
}

const (
	digestLease = 2 * time.Minute
	digestTries = 8
)

// digestAgain is how long to wait after so many tries: 1, 2, 4 ... minutes, at most 2 hours.
func digestAgain(tries int) time.Duration { return min(2*time.Hour, time.Minute<<min(tries-1, 7)) }

// WorkOnDigests sends one digest that is due, and says whether there was one. Any number of processes may call it: one has a digest at a time.
// The mail says what waits at the moment it is sent, also when it is tried again. One that the server took is never sent again, unless the
// process ends between its answer and the note of it.
func (s *Service) WorkOnDigests(ctx context.Context) (bool, error) {
	if s.deps.Mail == nil {
		return false, nil
	}
	lease, now := s.deps.NewID(), s.deps.Clock()
	d, found, err := s.deps.Store.LeaseDigest(ctx, lease, now, now.Add(digestLease))
	if err != nil || !found {
		return false, err
	}
	slot, due := d.Choices.Due(d.LastSlot, now)
	if !due { // the hours are quiet by now
		d.NextAt = d.Choices.Next(d.LastSlot, now)
		_, err = s.deps.Store.SettleDigest(ctx, lease, d, true)
		return true, err
	}
	if d.Slot != slot {
		d.Slot, d.Tries = slot, 0
	}
	d.Tries++ // noted before the try: one that ends the process counts too
	if kept, err := s.deps.Store.SettleDigest(ctx, lease, d, false); err != nil || !kept {
		return true, err
	}
	text, err := s.digestText(ctx, d.Person)
	if err != nil {
		return true, err
	}
	if text == "" {
		d = d.Done("", now)
	} else {
		d = s.sendDigest(ctx, d, text, now)
	}
	_, err = s.deps.Store.SettleDigest(ctx, lease, d, true)
	return true, err
}

// sendDigest sends a mail, and notes what became of it.
func (s *Service) sendDigest(ctx context.Context, d store.Digest, text string, now time.Time) store.Digest {
	address, err := s.addressOf(ctx, d.Person)
	if err == nil {
		ctx, cancel := context.WithTimeout(ctx, digestLease/2)
		defer cancel()
		err = s.deps.Mail.Send(ctx, mail.Message{
			To: address, At: now, Subject: "Isthmus: what waits for you", ID: "digest-" + string(d.Person) + "-" + string(d.Slot),
			Text: text + "\n" + s.deps.URL + "/\n\nTurn this mail off, or choose other hours: " + s.stopLink(d) + "\n", Unsubscribe: s.stopLink(d),
		})
	}
	switch {
	case err == nil:
		return d.Done("", now)
	case !mail.Permanent(err) && d.Tries < digestTries:
		d.Message, d.NextAt = err.Error(), now.Add(digestAgain(d.Tries))
		return d
	}
	return d.Done("given up after "+oneOrMany(d.Tries, "one try", "%d tries")+": "+err.Error(), now)
}

// stopLink turns the digest off; the token stands in the fragment, which no server sees.
func (s *Service) stopLink(d store.Digest) string { return s.deps.URL + "/unsubscribe#" + d.Token }

func (s *Service) addressOf(ctx context.Context, person competency.PersonID) (address string, err error) {
	err = s.deps.Store.Read(ctx, func(tx *store.Tx) error {
		p, err := tx.PersonByID(person)
		address = p.Email
		return err
	})
	return address, err
}

// digestText says in counts what waits for a person in each of their programmes: nothing of a case, and no name. Empty when nothing waits.
func (s *Service) digestText(ctx context.Context, person competency.PersonID) (string, error) {
	var memberships []store.Membership
	err := s.deps.Store.Read(ctx, func(tx *store.Tx) (err error) {
		memberships, err = tx.Memberships(person)
		return err
	})
	if err != nil {
		return "", err
	}
	var b strings.Builder
	var told competency.ProgrammeID
	for _, m := range memberships { // by programme
		if m.Programme == told {
			continue
		}
		told = m.Programme
		lines, err := s.waitingLines(ctx, Actor{Person: person}, m.Programme)
		if errors.Is(err, ErrNotFound) {
			continue // no member any more
		}
		if err != nil {
			return "", err
		}
		if len(lines) > 0 {
			fmt.Fprintf(&b, "%s\n", m.ProgrammeName)
			for _, line := range lines {
				fmt.Fprintf(&b, "- %s\n", line)
			}
		}
	}
	return b.String(), nil
}

// waitingLines are what waits for a person in one programme.
func (s *Service) waitingLines(ctx context.Context, actor Actor, programme competency.ProgrammeID) ([]string, error) {
	reminders, err := s.Reminders(ctx, actor, programme)
	if err != nil && !errors.Is(err, ErrForbidden) {
		return nil, err
	}
	var lines []string
	for _, r := range reminders.Items {
		lines = append(lines, r.Says)
	}
	due, err := s.DueFollowUps(ctx, actor, programme, competency.DueLate, store.Page{Limit: 200})
	if err != nil && !errors.Is(err, ErrForbidden) {
		return nil, err
	}
	if n := len(due.Items); n > 0 {
		more := ""
		if due.Next != "" {
			more = " or more"
		}
		lines = append(lines, oneOrMany(n, "A follow-up is late.", "%d"+more+" follow-ups are late."))
	}
	return lines, nil
}
