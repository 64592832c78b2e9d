package store

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"strconv"
	"time"

	"gorm.io/gorm/clause"

	"isthmus/competency"
	"isthmus/migrations"
)

// AuditEntry is one entry of a programme's chain.
type AuditEntry struct {
	Programme  competency.ProgrammeID `json:"programme"`
	Seq        int64                  `json:"seq"` // 1, 2, 3, ... without a gap
	At         time.Time              `json:"at"`
	Actor      competency.PersonID    `json:"actor"`
	ActorName  string                 `json:"actor_name"` // as it is now; no part of the hash
	Act        string                 `json:"act"`
	Object     string                 `json:"object"`
	ObjectID   string                 `json:"object_id"`
	BeforeHash string                 `json:"before_hash"` // SHA-256 in hexadecimal; empty when there was nothing before
	AfterHash  string                 `json:"after_hash"`
	RequestID  string                 `json:"request_id"`
	PrevHash   string                 `json:"prev_hash"` // empty for the first
	Hash       string                 `json:"hash"`
}

type auditRow struct {
	ProgrammeID competency.ProgrammeID `gorm:"primaryKey"`
	Seq         int64                  `gorm:"primaryKey;autoIncrement:false"`
	At          time.Time
	ActorID     competency.PersonID
	Act         string
	Object      string
	ObjectID    string
	BeforeHash  string
	AfterHash   string
	RequestID   string
	PrevHash    string
	Hash        string
}

// TableName names the table.
func (auditRow) TableName() string { return "audit_entries" }

type auditHeadRow struct {
	ProgrammeID competency.ProgrammeID `gorm:"primaryKey"`
	Seq         int64
	Hash        string
}

// TableName names the table.
func (auditHeadRow) TableName() string { return "audit_heads" }

// LastChange is the hash of a programme's last entry but those of an act that changes nothing, a reading that is put on record: it is another
// one after every other write. Empty before the first.
func (tx *Tx) LastChange(programme competency.ProgrammeID, reading string) (string, error) {
	var hashes []string
	err := tx.db.Model(&auditRow{}).Where("programme_id = ? AND act <> ?", programme, reading).Order("seq DESC").Limit(1).Pluck("hash", &hashes).Error
	if err != nil || len(hashes) == 0 {
		return "", translate("last change", err)
	}
	return hashes[0], nil
}

// Audit appends an entry to the chain of the act's programme: what was done to which object. before and after are hashed as JSON
// (Go's: fields in their order, map keys sorted); nil means nothing.
func (tx *Tx) Audit(object, id string, before, after any) error {
	return tx.AuditAll([]AuditChange{{Object: object, ID: id, Before: before, After: after}})
}

// AuditChange is what an act did to one object; nil means nothing.
type AuditChange struct {
	Object, ID    string
	Before, After any
}

// AuditAll appends an entry for every change, in their order, as Audit does.
func (tx *Tx) AuditAll(changes []AuditChange) error {
	if tx.act == nil {
		return errReadOnly
	}
	rows := make([]auditRow, len(changes))
	head := tx.head
	for i, change := range changes {
		beforeHash, err := hashOf(change.Before)
		if err != nil {
			return fmt.Errorf("audit %s %s: %w", change.Object, change.ID, err)
		}
		afterHash, err := hashOf(change.After)
		if err != nil {
			return fmt.Errorf("audit %s %s: %w", change.Object, change.ID, err)
		}
		row := auditRow{
			ProgrammeID: tx.act.Programme, Seq: head.Seq + 1, At: tx.act.At, ActorID: tx.act.Actor, Act: tx.act.Name, Object: change.Object, ObjectID: change.ID,
			BeforeHash: beforeHash, AfterHash: afterHash, RequestID: tx.act.RequestID, PrevHash: head.Hash,
		}
		row.Hash = row.chainHash()
		head.Seq, head.Hash, rows[i] = row.Seq, row.Hash, row
	}
	if len(rows) == 0 {
		return nil
	}
	if err := translate("audit", tx.db.CreateInBatches(rows, importBatch).Error); err != nil {
		return err
	}
	tx.head, tx.audited = head, true
	return nil
}

// takeTurn waits until no other write of the act's programme is running and loads the head of its chain. On SQLite the transaction
// itself is the turn.
func (tx *Tx) takeTurn(dialect migrations.Dialect) error {
	first := auditHeadRow{ProgrammeID: tx.act.Programme}
	for range 2 {
		query := tx.db.Where("programme_id = ?", tx.act.Programme).Limit(1)
		if dialect == migrations.PostgreSQL {
			query = query.Clauses(clause.Locking{Strength: clause.LockingStrengthUpdate})
		}
		found := query.Find(&tx.head)
		if found.Error != nil {
			return translate("audit head", found.Error)
		}
		if found.RowsAffected == 1 {
			return nil
		}
		if err := tx.db.Clauses(clause.OnConflict{DoNothing: true}).Create(&first).Error; err != nil {
			return translate("audit head", err)
		}
	}
	return fmt.Errorf("audit head of %q cannot be made", tx.act.Programme)
}

// saveHead keeps the head of the chain, once a transaction.
func (tx *Tx) saveHead() error {
	if !tx.audited {
		return nil
	}
	changed := tx.db.Model(&auditHeadRow{}).Where("programme_id = ?", tx.act.Programme).
		Updates(map[string]any{"seq": tx.head.Seq, "hash": tx.head.Hash})
	return translate("audit head", changed.Error)
}

// chainHash is the SHA-256, in hexadecimal, of the entry's JSON without its own hash.
func (r auditRow) chainHash() string {
	text, err := json.Marshal([]string{
		string(r.ProgrammeID), strconv.FormatInt(r.Seq, 10), r.At.UTC().Format("2006-01-02T15:04:05.000000Z"), string(r.ActorID), r.Act,
		r.Object, r.ObjectID, r.BeforeHash, r.AfterHash, r.RequestID, r.PrevHash,
	})
	if err != nil {
		panic("store: strings that are no JSON: " + err.Error())
	}
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:])
}

// hashOf is the SHA-256, in hexadecimal, of a value's JSON; empty for nil.
func hashOf(value any) (string, error) {
	if value == nil {
		return "", nil
	}
	text, err := json.Marshal(value)
	if err != nil {
		return "", err
	}
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:]), nil
}

// auditEntryRow is an entry with its actor's name.
type auditEntryRow struct {
	Row       auditRow `gorm:"embedded"`
	ActorName *string
}

// AuditEntries lists a programme's chain, newest first. The empty programme is the platform's own chain.
func (tx *Tx) AuditEntries(programme competency.ProgrammeID, page Page) ([]AuditEntry, string, error) {
	query := tx.db.Table("audit_entries AS e").Select("e.*, p.name AS actor_name").Joins("LEFT JOIN people p ON p.id = e.actor_id").
		Where("e.programme_id = ?", programme)
	if page.After != "" {
		seq, err := strconv.ParseInt(page.After, 10, 64)
		if err != nil || seq < 1 {
			return nil, "", ErrCursor
		}
		query = query.Where("e.seq < ?", seq)
	}
	var rows []auditEntryRow
	if err := query.Order("e.seq DESC").Limit(page.size() + 1).Find(&rows).Error; err != nil {
		return nil, "", translate("audit entries", err)
	}
	return pageOf(rows, page, auditEntryRow.entry, func(r auditEntryRow) string { return strconv.FormatInt(r.Row.Seq, 10) })
}

// LastEntry is the newest entry about an object. The error is ErrNotFound when there is none.
func (tx *Tx) LastEntry(programme competency.ProgrammeID, object, id string) (AuditEntry, error) {
	var row auditEntryRow
	err := tx.db.Table("audit_entries AS e").Select("e.*, p.name AS actor_name").Joins("LEFT JOIN people p ON p.id = e.actor_id").
		Where("e.programme_id = ? AND e.object = ? AND e.object_id = ?", programme, object, id).Order("e.seq DESC").Take(&row).Error
	return row.entry(), translate("audit entry", err)
}

func (named auditEntryRow) entry() AuditEntry {
	r := named.Row
	entry := AuditEntry{
		Programme: r.ProgrammeID, Seq: r.Seq, At: utc(r.At), Actor: r.ActorID, Act: r.Act, Object: r.Object, ObjectID: r.ObjectID,
		BeforeHash: r.BeforeHash, AfterHash: r.AfterHash, RequestID: r.RequestID, PrevHash: r.PrevHash, Hash: r.Hash,
	}
	if named.ActorName != nil {
		entry.ActorName = *named.ActorName
	}
	return entry
}
