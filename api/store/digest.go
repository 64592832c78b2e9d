package store

import (
	"context"
	"encoding/json"
	"fmt"
	"time"

	"isthmus/competency"
)

// Digest is when a person wants to be told by mail what waits for them, and how the last mail went.
type Digest struct {
	Person   competency.PersonID
	Choices  competency.DigestChoices
	Token    string         // turns the digest off, nothing else
	LastSlot competency.Day // the newest day whose digest was sent, given up, or not needed
	NextAt   time.Time      // when to look again; zero: never
	Slot     competency.Day // the day whose mail is being tried; empty: none
	Tries    int            // of that mail
	Message  string         // why the last mail did not go, as the mail server said it
}

// Done is the digest after its slot: sent, not needed, or given up with the reason.
func (d Digest) Done(message string, now time.Time) Digest {
	d.LastSlot, d.Slot, d.Tries, d.Message = d.Slot, "", 0, message
	d.NextAt = d.Choices.Next(d.LastSlot, now)
	return d
}

type digestRow struct {
	PersonID   competency.PersonID `gorm:"primaryKey"`
	Choices    string
	Token      string
	LastSlot   competency.Day
	NextAt     *time.Time
	Slot       competency.Day
	Tries      int
	Message    string
	Lease      string
	LeaseUntil *time.Time
}

// TableName names the table.
func (digestRow) TableName() string { return "digests" }

func (r digestRow) digest() (Digest, error) {
	d := Digest{Person: r.PersonID, Token: r.Token, LastSlot: r.LastSlot, NextAt: timeOrZero(r.NextAt), Slot: r.Slot, Tries: r.Tries, Message: r.Message}
	if err := json.Unmarshal([]byte(r.Choices), &d.Choices); err != nil {
		return d, fmt.Errorf("digest of %s: %w", r.PersonID, err)
	}
	return d, nil
}

// DigestOf loads a person's digest. The error is ErrNotFound for who never chose.
func (tx *Tx) DigestOf(person competency.PersonID) (Digest, error) {
	var row digestRow
	if err := tx.take("digest", &row, "person_id = ?", person); err != nil {
		return Digest{}, err
	}
	return row.digest()
}

// DigestByToken loads the digest a token turns off. The error is ErrNotFound.
func (tx *Tx) DigestByToken(token string) (Digest, error) {
	var row digestRow
	if err := tx.take("digest", &row, "token = ?", token); err != nil {
		return Digest{}, err
	}
	return row.digest()
}

// SaveDigest keeps what a person chose, in place of what they chose before; a mail that is being tried is given up.
func (tx *Tx) SaveDigest(d Digest) error {
	if err := tx.mayWrite(""); err != nil {
		return err
	}
	choices, err := json.Marshal(d.Choices)
	if err != nil {
		return fmt.Errorf("digest of %s: %w", d.Person, err)
	}
	row := digestRow{PersonID: d.Person, Choices: string(choices), Token: d.Token, LastSlot: d.LastSlot, NextAt: utcOrNil(d.NextAt), Message: d.Message}
	return translate("save digest", tx.db.Save(&row).Error)
}

// Leases and what becomes of a mail are kept in short statements of their own and without audit: they say who works, not what was done.

// LeaseDigest takes a digest that is due until a time; false when there is none.
func (s *Store) LeaseDigest(ctx context.Context, lease string, now, until time.Time) (Digest, bool, error) {
	const free = "next_at IS NOT NULL AND next_at <= ? AND (lease_until IS NULL OR lease_until < ?)"
	var rows []digestRow
	db := s.db.WithContext(ctx)
	err := db.Where(free, utc(now), utc(now)).Order("next_at, person_id").Limit(1).Find(&rows).Error
	if err != nil || len(rows) == 0 {
		return Digest{}, false, translate("digests due", err)
	}
	took := false
	err = s.retry(ctx, func() error {
		changed := db.Model(&digestRow{}).Where("person_id = ?", rows[0].PersonID).Where(free, utc(now), utc(now)).
			Updates(map[string]any{"lease": lease, "lease_until": utc(until)})
		took = changed.RowsAffected == 1
		return translate("lease digest", changed.Error)
	})
	if err != nil || !took {
		return Digest{}, false, err
	}
	var row digestRow
	if err := db.Where("person_id = ? AND lease = ?", rows[0].PersonID, lease).Take(&row).Error; err != nil {
		return Digest{}, false, translate("leased digest", err)
	}
	d, err := row.digest()
	return d, err == nil, err
}

// SettleDigest keeps what became of a digest; with release it ends the lease. False when the lease is lost, or the person chose anew meanwhile.
func (s *Store) SettleDigest(ctx context.Context, lease string, d Digest, release bool) (bool, error) {
	changes := map[string]any{"last_slot": d.LastSlot, "next_at": utcOrNil(d.NextAt), "slot": d.Slot, "tries": d.Tries, "message": d.Message}
	if release {
		changes["lease"], changes["lease_until"] = "", nil
	}
	kept := false
	err := s.retry(ctx, func() error {
		changed := s.db.WithContext(ctx).Model(&digestRow{}).Where("person_id = ? AND lease = ?", d.Person, lease).Updates(changes)
		kept = changed.RowsAffected == 1
		return translate("settle digest", changed.Error)
	})
	return kept, err
}
