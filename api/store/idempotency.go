package store

import (
	"time"

	"isthmus/competency"
)

// IdempotencyRow is what a create did under a key.
type IdempotencyRow struct {
	Operation   string // for example case.create
	RequestHash string // of what was asked
	ObjectID    string // what came of it
}

type idempotencyRow struct {
	ProgrammeID competency.ProgrammeID `gorm:"primaryKey"`
	PersonID    competency.PersonID    `gorm:"primaryKey"`
	RequestKey  string                 `gorm:"primaryKey"`
	Operation   string
	RequestHash string
	ObjectID    string
	CreatedAt   time.Time `gorm:"autoCreateTime:false"`
}

// TableName names the table.
func (idempotencyRow) TableName() string { return "idempotency_keys" }

// IdempotencyKey finds what a person's earlier create in a programme did under a key; false when there was none.
func (tx *Tx) IdempotencyKey(programme competency.ProgrammeID, person competency.PersonID, key string) (IdempotencyRow, bool, error) {
	var rows []idempotencyRow
	err := tx.db.Where("programme_id = ? AND person_id = ? AND request_key = ?", programme, person, key).Limit(1).Find(&rows).Error
	if err != nil || len(rows) == 0 {
		return IdempotencyRow{}, false, translate("idempotency key", err)
	}
	return IdempotencyRow{rows[0].Operation, rows[0].RequestHash, rows[0].ObjectID}, true, nil
}

// SaveIdempotencyKey keeps what a create did under a key. The error is ErrDuplicate when the person used the key before.
func (tx *Tx) SaveIdempotencyKey(programme competency.ProgrammeID, person competency.PersonID, key string, did IdempotencyRow) error {
	if err := tx.mayWrite(programme); err != nil {
		return err
	}
	row := idempotencyRow{programme, person, key, did.Operation, did.RequestHash, did.ObjectID, tx.act.At}
	return tx.insert("idempotency key", programme, &row)
}
