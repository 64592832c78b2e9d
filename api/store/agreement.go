package store

import (
	"encoding/json"
	"fmt"
	"time"

	"isthmus/competency"
)

// Accounted gives both accounts of every signed case of a trainee that was not withdrawn, the version signed last of each.
func (tx *Tx) Accounted(programme competency.ProgrammeID, trainee competency.PersonID) ([]competency.Accounted, error) {
	return tx.accounted(programme, "c.trainee_id = ?", trainee)
}

// AccountedForAll gives both accounts of every signed case of the programme, as Accounted does for one trainee.
func (tx *Tx) AccountedForAll(programme competency.ProgrammeID) ([]competency.Accounted, error) {
	return tx.accounted(programme, "1 = 1")
}

func (tx *Tx) accounted(programme competency.ProgrammeID, whose string, of ...any) ([]competency.Accounted, error) {
	var rows []struct {
		CaseID      competency.CaseID
		TraineeID   competency.PersonID
		SignedAt    time.Time
		Record      string
		Statement   string
		Role        competency.Role
		RoleClaimed competency.Role
	}
	err := tx.db.Table("sign_offs AS s").Select("s.case_id, c.trainee_id, s.signed_at, v.record, s.statement, s.role, s.role_claimed").
		Joins("JOIN case_versions v ON v.programme_id = s.programme_id AND v.case_id = s.case_id AND v.version = s.case_version").
		Joins("JOIN cases c ON c.programme_id = s.programme_id AND c.id = s.case_id").
		Where("s.programme_id = ? AND c.status <> ?", programme, competency.CaseWithdrawn).Where(whose, of...).
		Where("NOT EXISTS (SELECT 1 FROM sign_offs n WHERE n.programme_id = s.programme_id AND n.case_id = s.case_id AND n.case_version > s.case_version)").
		Order("s.signed_at, s.id").Find(&rows).Error
	if err != nil {
		return nil, translate("accounts", err)
	}
	list := make([]competency.Accounted, len(rows))
	for i, row := range rows {
		var record competency.Record
		var statement competency.Statement
		if err := json.Unmarshal([]byte(row.Record), &record); err != nil {
			return nil, fmt.Errorf("record of case %s: %w", row.CaseID, err)
		}
		if err := json.Unmarshal([]byte(row.Statement), &statement); err != nil {
			return nil, fmt.Errorf("statement on case %s: %w", row.CaseID, err)
		}
		list[i] = competency.Accounted{
			Case: row.CaseID, Trainee: row.TraineeID, OperatedOn: record.OperatedOn, Operation: record.Operation, SignedAt: utc(row.SignedAt),
			Steps: competency.Accounts(record, statement), RoleClaimed: row.RoleClaimed, RoleSeen: row.Role, EventsAgreed: statement.ComplicationsAgreed,
		}
	}
	return list, nil
}
