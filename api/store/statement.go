package store

import (
	"context"
	"time"

	"isthmus/competency"
)

// Statement is what is handed to the learning record store, as it was written once.
type Statement struct {
	Programme  competency.ProgrammeID
	ID         string
	Kind       StatementKind
	Record     string
	Text       []byte
	HappenedAt time.Time
	WrittenAt  time.Time
}

type statementRow struct {
	ProgrammeID competency.ProgrammeID `gorm:"primaryKey"`
	ID          string                 `gorm:"primaryKey"`
	Kind        StatementKind
	RecordID    string
	Statement   string
	HappenedAt  time.Time
	WrittenAt   time.Time
}

// TableName names the table.
func (statementRow) TableName() string { return "statements" }

// statementSent is the state of a delivery that is over.
const statementSent = "sent"

type deliveryRow struct {
	ProgrammeID competency.ProgrammeID `gorm:"primaryKey"`
	StatementID string                 `gorm:"primaryKey"`
	State       string
	NextAt      time.Time
	Tries       int
	Message     string
	Lease       string
	LeaseUntil  *time.Time
	SentAt      *time.Time
}

// TableName names the table.
func (deliveryRow) TableName() string { return "statement_deliveries" }

// StatementChoice is whether a programme hands its statements over.
type StatementChoice struct {
	Programme competency.ProgrammeID
	Number    int // 0: nobody has chosen, and nothing is handed over
	Deliver   bool
	By        competency.PersonID
	At        time.Time
}

type choiceRow struct {
	ProgrammeID competency.ProgrammeID `gorm:"primaryKey"`
	Number      int                    `gorm:"primaryKey;autoIncrement:false"`
	Deliver     bool
	ChosenBy    competency.PersonID
	ChosenAt    time.Time
}

// TableName names the table.
func (choiceRow) TableName() string { return "statement_choices" }

// AddStatements keeps statements for good and puts them up for delivery. The error is ErrDuplicate when a record has one already.
func (tx *Tx) AddStatements(programme competency.ProgrammeID, list []Statement) error {
	for _, s := range list {
		row := statementRow{programme, s.ID, s.Kind, s.Record, string(s.Text), utc(s.HappenedAt), utc(s.WrittenAt)}
		if err := tx.insert("add statement", programme, &row); err != nil {
			return err
		}
		delivery := deliveryRow{ProgrammeID: programme, StatementID: s.ID, State: waiting, NextAt: utc(s.WrittenAt)}
		if err := tx.insert("add delivery", programme, &delivery); err != nil {
			return err
		}
	}
	return nil
}

// StatementChoice gives what holds for a programme now.
func (tx *Tx) StatementChoice(programme competency.ProgrammeID) (StatementChoice, error) {
	var rows []choiceRow
	err := tx.db.Where("programme_id = ?", programme).Order("number DESC").Limit(1).Find(&rows).Error
	if err != nil || len(rows) == 0 {
		return StatementChoice{}, translate("statement choice", err)
	}
	r := rows[0]
	return StatementChoice{r.ProgrammeID, r.Number, r.Deliver, r.ChosenBy, utc(r.ChosenAt)}, nil
}

// AddStatementChoice keeps a choice. The error is ErrDuplicate when its number is taken.
func (tx *Tx) AddStatementChoice(c StatementChoice) error {
	return tx.insert("add statement choice", c.Programme, &choiceRow{c.Programme, c.Number, c.Deliver, c.By, utc(c.At)})
}

// StatementQueue is how far a programme's deliveries are.
type StatementQueue struct {
	Waiting int
	Stuck   int // of those waiting, tried and not taken
	Sent    int
	Oldest  time.Time // since when the oldest waits; zero: none does
	LastAt  time.Time // when the last one was taken; zero: none was
	Message string    // why the one tried most was not taken
}

// StatementQueue counts a programme's deliveries.
func (tx *Tx) StatementQueue(programme competency.ProgrammeID) (StatementQueue, error) {
	var q StatementQueue
	var counts []struct {
		State string
		Tried bool
		N     int
	}
	err := tx.db.Table("statement_deliveries").Select("state, tries > 0 AND message <> '' AS tried, COUNT(*) AS n").
		Where("programme_id = ?", programme).Group("1, 2").Find(&counts).Error
	if err != nil {
		return q, translate("deliveries", err)
	}
	for _, c := range counts {
		switch {
		case c.State == statementSent:
			q.Sent += c.N
		case c.Tried:
			q.Stuck += c.N
			q.Waiting += c.N
		default:
			q.Waiting += c.N
		}
	}
	for _, find := range []struct {
		state, order string
		take         func(deliveryRow)
	}{
		{waiting, "tries DESC, statement_id", func(r deliveryRow) { q.Message = r.Message }},
		{statementSent, "sent_at DESC, statement_id", func(r deliveryRow) { q.LastAt = timeOrZero(r.SentAt) }},
	} {
		var rows []deliveryRow
		if err := tx.db.Where("programme_id = ? AND state = ?", programme, find.state).Order(find.order).Limit(1).Find(&rows).Error; err != nil {
			return q, translate("deliveries", err)
		}
		if len(rows) > 0 {
			find.take(rows[0])
		}
	}
	var oldest []time.Time
	err = tx.db.Table("statements AS s").Joins("JOIN statement_deliveries d ON d.programme_id = s.programme_id AND d.statement_id = s.id").
		Where("s.programme_id = ? AND d.state = ?", programme, waiting).Order("s.written_at, s.id").Limit(1).Pluck("s.written_at", &oldest).Error
	if len(oldest) > 0 {
		q.Oldest = utc(oldest[0])
	}
	return q, translate("deliveries", err)
}

// SentStatement notes that the store has a statement, which ends its delivery. False when the lease is lost.
func (tx *Tx) SentStatement(programme competency.ProgrammeID, id, lease string, at time.Time) (bool, error) {
	if err := tx.mayWrite(programme); err != nil {
		return false, err
	}
	changed := tx.db.Model(&deliveryRow{}).Where("programme_id = ? AND statement_id = ? AND state = ? AND lease = ?", programme, id, waiting, lease).
		Updates(map[string]any{"state": statementSent, "sent_at": utc(at), "message": "", "lease": "", "lease_until": nil})
	return changed.RowsAffected == 1, translate("sent statement", changed.Error)
}

// Leases and failed tries are kept in short statements of their own and without audit: they say who works, not what was done.

// DeliveringProgrammes lists the programmes that hand their statements over.
func (s *Store) DeliveringProgrammes(ctx context.Context) ([]competency.ProgrammeID, error) {
	var programmes []competency.ProgrammeID
	err := s.db.WithContext(ctx).Table("statement_choices AS c").
		Where("c.deliver = ? AND NOT EXISTS (SELECT 1 FROM statement_choices n WHERE n.programme_id = c.programme_id AND n.number > c.number)", true).
		Order("c.programme_id").Pluck("c.programme_id", &programmes).Error
	return programmes, translate("delivering programmes", err)
}

// LeaseStatement takes a statement of one of the programmes that is due until a time, with the try it begins; false when there is none.
func (s *Store) LeaseStatement(ctx context.Context, programmes []competency.ProgrammeID, lease string, now, until time.Time) (Statement, int, bool, error) {
	const free = "state = ? AND next_at <= ? AND (lease_until IS NULL OR lease_until < ?)"
	db := s.db.WithContext(ctx)
	var due []deliveryRow
	err := db.Where("programme_id IN ?", programmes).Where(free, waiting, utc(now), utc(now)).Order("next_at, statement_id").Limit(1).Find(&due).Error
	if err != nil || len(due) == 0 {
		return Statement{}, 0, false, translate("statements due", err)
	}
	took := false
	err = s.retry(ctx, func() error {
		changed := db.Model(&deliveryRow{}).Where("programme_id = ? AND statement_id = ?", due[0].ProgrammeID, due[0].StatementID).Where(free, waiting, utc(now), utc(now)).
			Updates(map[string]any{"lease": lease, "lease_until": utc(until), "tries": due[0].Tries + 1})
		took = changed.RowsAffected == 1
		return translate("lease statement", changed.Error)
	})
	if err != nil || !took {
		return Statement{}, 0, false, err
	}
	var row statementRow
	if err := db.Where("programme_id = ? AND id = ?", due[0].ProgrammeID, due[0].StatementID).Take(&row).Error; err != nil {
		return Statement{}, 0, false, translate("leased statement", err)
	}
	return Statement{row.ProgrammeID, row.ID, row.Kind, row.RecordID, []byte(row.Statement), utc(row.HappenedAt), utc(row.WrittenAt)}, due[0].Tries + 1, true, nil
}

// PostponeStatement ends a lease without success: why, and when to try again.
func (s *Store) PostponeStatement(ctx context.Context, one Statement, lease, message string, next time.Time) error {
	return s.retry(ctx, func() error {
		return translate("postpone statement", s.db.WithContext(ctx).Model(&deliveryRow{}).
			Where("programme_id = ? AND statement_id = ? AND state = ? AND lease = ?", one.Programme, one.ID, waiting, lease).
			Updates(map[string]any{"message": message, "next_at": utc(next), "lease": "", "lease_until": nil}).Error)
	})
}
