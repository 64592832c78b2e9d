package store

import (
	"time"

	"isthmus/competency"
)

// signedCaseRow is a signed version of a case with its signature and the case's state now.
type signedCaseRow struct {
	Version         caseVersionRow `gorm:"embedded"`
	TraineeID       competency.PersonID
	Status          competency.CaseStatus
	SignedAt        time.Time
	Role            competency.Role
	AssessorID      competency.PersonID
	HelpGiven       int
	SupervisionNext int
	LateRecall      bool
}

// EvidenceFor gathers everything on record about one trainee, in three queries.
func (tx *Tx) EvidenceFor(programme competency.ProgrammeID, trainee competency.PersonID) (competency.Evidence, error) {
	all, err := tx.evidence(programme, trainee)
	return all[trainee], err
}

// EvidenceForAll gathers everything on record about every trainee of a programme, in three queries.
func (tx *Tx) EvidenceForAll(programme competency.ProgrammeID) (map[competency.PersonID]competency.Evidence, error) {
	return tx.evidence(programme, "")
}

// evidence gathers by trainee; an empty trainee means all of them. Lists are in order of time.
func (tx *Tx) evidence(programme competency.ProgrammeID, trainee competency.PersonID) (map[competency.PersonID]competency.Evidence, error) {
	all := map[competency.PersonID]competency.Evidence{}
	if err := tx.addSigned(all, programme, trainee); err != nil {
		return nil, translate("signed cases", err)
	}
	if err := tx.addPending(all, programme, trainee); err != nil {
		return nil, translate("pending cases", err)
	}
	if err := tx.addPlans(all, programme, trainee); err != nil {
		return nil, translate("graded plans", err)
	}
	return all, nil
}

// addSigned adds every signed version, those of withdrawn cases too: the one signed last of each case to its cases, others to the earlier ones.
func (tx *Tx) addSigned(all map[competency.PersonID]competency.Evidence, programme competency.ProgrammeID, trainee competency.PersonID) error {
	query := tx.db.Table("sign_offs AS s").
		Select(`c.trainee_id, c.status, v.case_id, v.operated_on, v.submitted_at, v.site, v.operation, v.pattern, v.scope, v.policy,
			v.lines_complete, v.block_tested, s.signed_at, s.role, s.assessor_id, s.help_given, s.supervision_next, s.late_recall`).
		Joins("JOIN case_versions v ON v.programme_id = s.programme_id AND v.case_id = s.case_id AND v.version = s.case_version").
		Joins("JOIN cases c ON c.programme_id = s.programme_id AND c.id = s.case_id").
		Where("s.programme_id = ?", programme).Order("s.signed_at, s.case_version, s.id")
	if trainee != "" {
		query = query.Where("c.trainee_id = ?", trainee)
	}
	var rows []signedCaseRow
	err := query.Find(&rows).Error
	last := make(map[competency.CaseID]int, len(rows))
	for i, r := range rows {
		last[r.Version.CaseID] = i
	}
	for i, r := range rows {
		v := r.Version
		evidence := all[r.TraineeID]
		signed := competency.SignedCase{
			ID: v.CaseID, OperatedOn: v.OperatedOn, SubmittedAt: utc(v.SubmittedAt), SignedAt: utc(r.SignedAt), Site: v.Site, Operation: v.Operation,
			Pattern: v.Pattern, Scope: v.Scope, Role: r.Role, LinesComplete: v.LinesComplete, BlockTested: v.BlockTested, Policy: v.Policy,
			Assessor: r.AssessorID, HelpGiven: r.HelpGiven, SupervisionNext: r.SupervisionNext, LateRecall: r.LateRecall,
			Withdrawn: r.Status == competency.CaseWithdrawn,
		}
		if last[v.CaseID] == i {
			evidence.Cases = append(evidence.Cases, signed)
		} else {
			evidence.Earlier = append(evidence.Earlier, signed)
		}
		all[r.TraineeID] = evidence
	}
	return err
}

// addPending adds the cases without a signature.
func (tx *Tx) addPending(all map[competency.PersonID]competency.Evidence, programme competency.ProgrammeID, trainee competency.PersonID) error {
	query := tx.db.Table("cases AS c").Select("c.id, c.trainee_id, c.operated_on, c.status").
		Where("c.programme_id = ?", programme).Order("c.created_at, c.id").
		Where("NOT EXISTS (SELECT 1 FROM sign_offs s WHERE s.programme_id = c.programme_id AND s.case_id = c.id)")
	if trainee != "" {
		query = query.Where("c.trainee_id = ?", trainee)
	}
	var rows []caseRow
	err := query.Find(&rows).Error
	for _, r := range rows {
		evidence := all[r.TraineeID]
		evidence.Pending = append(evidence.Pending, competency.PendingCase{ID: r.ID, OperatedOn: r.OperatedOn, Status: r.Status})
		all[r.TraineeID] = evidence
	}
	return err
}

// addPlans adds the graded plans.
func (tx *Tx) addPlans(all map[competency.PersonID]competency.Evidence, programme competency.ProgrammeID, trainee competency.PersonID) error {
	query := tx.db.Select("id, trainee_id, scenario, pattern, score, letter, unsafe, attempt, submitted_at").
		Where("programme_id = ?", programme).Order("submitted_at, id")
	if trainee != "" {
		query = query.Where("trainee_id = ?", trainee)
	}
	var rows []planRow
	err := query.Find(&rows).Error
	for _, r := range rows {
		evidence := all[r.TraineeID]
		evidence.Plans = append(evidence.Plans, r.graded())
		all[r.TraineeID] = evidence
	}
	return err
}
