package store

import (
	"encoding/json"
	"fmt"
	"time"

	"gorm.io/gorm"

	"isthmus/competency"
)

type signOffRow struct {
	ID              competency.SignOffID
	ProgrammeID     competency.ProgrammeID
	CaseID          competency.CaseID
	CaseVersion     int
	ContentHash     string
	AssessorID      competency.PersonID
	AssessorName    string
	Meaning         string
	Statement       string
	Role            competency.Role
	RoleReason      string
	RoleClaimed     competency.Role
	HelpGiven       int
	SupervisionNext int
	AgeDays         int
	LateRecall      bool
	SignedAt        time.Time
	ProvedAt        *time.Time
}

// TableName names the table.
func (signOffRow) TableName() string { return "sign_offs" }

// AddSignOff keeps a signature for good. The error is ErrDuplicate when that version of the case is signed already, ErrReference when
// the programme has no such version.
func (tx *Tx) AddSignOff(programme competency.ProgrammeID, s competency.SignOff) error {
	statement, err := json.Marshal(s.Statement)
	if err != nil {
		return fmt.Errorf("statement on case %s: %w", s.Case, err)
	}
	row := signOffRow{
		ID: s.ID, ProgrammeID: programme, CaseID: s.Case, CaseVersion: s.CaseVersion, ContentHash: s.ContentHash, AssessorID: s.Assessor,
		AssessorName: s.AssessorName, Meaning: s.Meaning, Statement: string(statement), Role: s.Role, RoleReason: s.RoleReason,
		RoleClaimed: s.RoleClaimed, HelpGiven: s.Statement.HelpGiven, SupervisionNext: s.Statement.SupervisionNext, AgeDays: s.AgeDays,
		LateRecall: s.LateRecall, SignedAt: utc(s.SignedAt), ProvedAt: utcOrNil(s.ProvedAt),
	}
	if err := tx.insert("sign off", programme, &row); err != nil {
		return err
	}
	return tx.sealSignOff(row)
}

// SignOffs lists the signatures on a case, first version first.
func (tx *Tx) SignOffs(programme competency.ProgrammeID, id competency.CaseID) ([]competency.SignOff, error) {
	return tx.signOffs(tx.db.Where("programme_id = ? AND case_id = ?", programme, id))
}

// SignOffsFor lists the signatures on all cases of a trainee, those of a case first version first.
func (tx *Tx) SignOffsFor(programme competency.ProgrammeID, trainee competency.PersonID) (map[competency.CaseID][]competency.SignOff, error) {
	all, err := tx.signOffs(tx.db.Where("programme_id = ? AND case_id IN (SELECT id FROM cases WHERE programme_id = ? AND trainee_id = ?)", programme, programme, trainee))
	if err != nil {
		return nil, err
	}
	by := map[competency.CaseID][]competency.SignOff{}
	for _, one := range all {
		by[one.Case] = append(by[one.Case], one)
	}
	return by, nil
}

// signOffs reads the signatures that a query finds, by version.
func (tx *Tx) signOffs(query *gorm.DB) ([]competency.SignOff, error) {
	var rows []signOffRow
	if err := query.Order("case_version, id").Find(&rows).Error; err != nil {
		return nil, translate("sign-offs", err)
	}
	list := make([]competency.SignOff, len(rows))
	for i, r := range rows {
		list[i] = competency.SignOff{
			ID: r.ID, Case: r.CaseID, CaseVersion: r.CaseVersion, ContentHash: r.ContentHash, Assessor: r.AssessorID, AssessorName: r.AssessorName,
			Meaning: r.Meaning, Role: r.Role, RoleReason: r.RoleReason, RoleClaimed: r.RoleClaimed, AgeDays: r.AgeDays, LateRecall: r.LateRecall,
			SignedAt: utc(r.SignedAt), ProvedAt: timeOrZero(r.ProvedAt),
		}
		if err := json.Unmarshal([]byte(r.Statement), &list[i].Statement); err != nil {
			return nil, fmt.Errorf("statement on case %s: %w", r.CaseID, err)
		}
	}
	return list, nil
}
