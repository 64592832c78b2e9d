package store

import (
	"encoding/json"
	"fmt"
	"time"

	"isthmus/competency"
)

// Decision is a recorded outcome with all it rests on, frozen: the evidence and the standard's text give the standing again at any time.
type Decision struct {
	Programme competency.ProgrammeID
	competency.Decision
	Evidence competency.Evidence
	Standard string               // the standard as YAML
	Response *competency.Response // nil: the trainee has not answered
}

type decisionRow struct {
	ProgrammeID competency.ProgrammeID `gorm:"primaryKey"`
	ID          competency.DecisionID  `gorm:"primaryKey"`
	MeetingID   competency.MeetingID
	TraineeID   competency.PersonID
	Outcome     competency.Outcome
	FollowsID   *competency.DecisionID
	Content     string
	Evidence    string
	Standard    string
	SignedAt    time.Time
}

// TableName names the table.
func (decisionRow) TableName() string { return "decisions" }

type responseRow struct {
	ProgrammeID competency.ProgrammeID `gorm:"primaryKey"`
	DecisionID  competency.DecisionID  `gorm:"primaryKey"`
	Text        string
	RespondedAt time.Time
}

// TableName names the table.
func (responseRow) TableName() string { return "decision_responses" }

// decisionObject is what a decision is called in the audit trail; its entry is the seal.
const decisionObject = "decision"

// seal lists everything of a decision as it lies in the database. Its order never changes.
func (r decisionRow) seal() []string {
	follows := ""
	if r.FollowsID != nil {
		follows = string(*r.FollowsID)
	}
	return []string{
		string(r.ProgrammeID), string(r.ID), string(r.MeetingID), string(r.TraineeID), string(r.Outcome), follows, r.Content, r.Evidence, r.Standard,
		utc(r.SignedAt).Format(time.RFC3339Nano),
	}
}

func (r decisionRow) decision() (Decision, error) {
	d := Decision{Programme: r.ProgrammeID, Standard: r.Standard}
	if err := json.Unmarshal([]byte(r.Content), &d.Decision); err != nil {
		return d, fmt.Errorf("decision %s: %w", r.ID, err)
	}
	if err := json.Unmarshal([]byte(r.Evidence), &d.Evidence); err != nil {
		return d, fmt.Errorf("evidence of decision %s: %w", r.ID, err)
	}
	return d, nil
}

// AddDecision keeps a decision for good and seals it by an entry of the audit trail. The error is ErrDuplicate when the meeting decided about the
// trainee, or another decision follows the same one; ErrReference when the meeting does not have the trainee.
func (tx *Tx) AddDecision(d Decision) error {
	content, err := json.Marshal(d.Decision)
	if err != nil {
		return fmt.Errorf("decision %s: %w", d.ID, err)
	}
	evidence, err := json.Marshal(d.Evidence)
	if err != nil {
		return fmt.Errorf("evidence of decision %s: %w", d.ID, err)
	}
	row := decisionRow{d.Programme, d.ID, d.Meeting, d.Trainee, d.Outcome, nil, string(content), string(evidence), d.Standard, utc(d.SignedAt)}
	if d.Follows != "" {
		row.FollowsID = &d.Follows
	}
	if err := tx.insert("add decision", d.Programme, &row); err != nil {
		return err
	}
	var kept decisionRow
	if err := tx.take("seal", &kept, "programme_id = ? AND id = ?", d.Programme, d.ID); err != nil {
		return err
	}
	return tx.Audit(decisionObject, string(d.ID), nil, kept.seal())
}

// AddResponse keeps the trainee's answer. The error is ErrDuplicate when there is one.
func (tx *Tx) AddResponse(programme competency.ProgrammeID, id competency.DecisionID, r competency.Response) error {
	return tx.insert("add response", programme, &responseRow{programme, id, r.Text, utc(r.RespondedAt)})
}

// DecisionByID loads a decision. The error is ErrNotFound.
func (tx *Tx) DecisionByID(programme competency.ProgrammeID, id competency.DecisionID) (Decision, error) {
	var row decisionRow
	if err := tx.take("decision", &row, "programme_id = ? AND id = ?", programme, id); err != nil {
		return Decision{}, err
	}
	list, err := tx.withResponses([]decisionRow{row})
	if err != nil {
		return Decision{}, err
	}
	return list[0], nil
}

// DecisionFilter narrows a list of decisions; a zero field lets all pass.
type DecisionFilter struct {
	Meeting competency.MeetingID
	Trainee competency.PersonID
}

// Decisions lists a programme's decisions, newest first.
func (tx *Tx) Decisions(programme competency.ProgrammeID, filter DecisionFilter) ([]Decision, error) {
	query := tx.db.Where("programme_id = ?", programme)
	if filter.Meeting != "" {
		query = query.Where("meeting_id = ?", filter.Meeting)
	}
	if filter.Trainee != "" {
		query = query.Where("trainee_id = ?", filter.Trainee)
	}
	var rows []decisionRow
	if err := query.Order("signed_at DESC, id DESC").Find(&rows).Error; err != nil {
		return nil, translate("decisions", err)
	}
	return tx.withResponses(rows)
}

// withResponses reads decisions of one programme with the answers to them.
func (tx *Tx) withResponses(rows []decisionRow) ([]Decision, error) {
	list, at, ids := make([]Decision, len(rows)), map[competency.DecisionID]int{}, make([]competency.DecisionID, len(rows))
	for i, row := range rows {
		var err error
		if list[i], err = row.decision(); err != nil {
			return nil, err
		}
		at[row.ID], ids[i] = i, row.ID
	}
	if len(rows) == 0 {
		return list, nil
	}
	var responses []responseRow
	if err := tx.db.Where("programme_id = ? AND decision_id IN ?", rows[0].ProgrammeID, ids).Find(&responses).Error; err != nil {
		return nil, translate("responses", err)
	}
	for _, r := range responses {
		list[at[r.DecisionID]].Response = &competency.Response{Text: r.Text, RespondedAt: utc(r.RespondedAt)}
	}
	return list, nil
}

// verifyDecisions checks every decision of a programme against its seal and its own signature's hash.
func (tx *Tx) verifyDecisions(chain *ChainReport) error {
	seals, err := tx.entriesOf(chain.Programme, decisionObject)
	if err != nil {
		return err
	}
	var rows []decisionRow
	if err := tx.db.Where("programme_id = ?", chain.Programme).Order("id").Find(&rows).Error; err != nil {
		return translate("decisions", err)
	}
	for _, row := range rows {
		entry, known := seals[string(row.ID)]
		delete(seals, string(row.ID))
		now, err := hashOf(row.seal())
		if err != nil {
			return err
		}
		d, broken := row.decision()
		switch {
		case !known:
			chain.Decisions.fault(row.ID, "no act left it")
		case entry.AfterHash != now || broken != nil || !d.Holds() || d.Standing.EvidenceHash != competency.EvidenceHash(d.Evidence):
			chain.Decisions.fault(row.ID, "it was changed after it was signed")
		default:
			chain.Decisions.Sound++
		}
	}
	for id := range seals {
		chain.Decisions.fault(competency.DecisionID(id), "it was removed")
	}
	return nil
}

// DecisionReport is the outcome for the decisions of one programme.
type DecisionReport struct {
	Sound  int
	Faults []DecisionFault
}

// DecisionFault is a decision that is not as it was when it was signed.
type DecisionFault struct {
	Decision competency.DecisionID
	What     string
}

func (r *DecisionReport) fault(id competency.DecisionID, what string) {
	r.Faults = append(r.Faults, DecisionFault{id, what})
}
