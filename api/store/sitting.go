package store

import (
	"encoding/json"
	"fmt"
	"time"

	"isthmus/assessment"
	"isthmus/competency"
)

// SittingID names a sitting.
type SittingID string

// Sitting is a trainee's test on one version of a scenario, with what was saved of the plan so far.
type Sitting struct {
	ID              SittingID
	Programme       competency.ProgrammeID
	Trainee         competency.PersonID
	TraineeName     string // filled when loaded
	Scenario        assessment.ScenarioID
	ScenarioVersion int
	Attempt         int
	PractisedBefore int               // plans for practice before it; filled when loaded
	PlanID          competency.PlanID // the graded plan; filled when loaded, empty while there is none
	ScopePolicy     int               // version of the programme's scope policy at the start; 0: the one that comes with the program
	assessment.Sitting
}

// SittingFilter narrows a list of sittings; empty fields do not.
type SittingFilter struct {
	Trainee  competency.PersonID
	Scenario assessment.ScenarioID
	Status   assessment.SittingStatus
	Trainees []competency.PersonID // any of them; nil for everybody, empty for nobody
}

type sittingRow struct {
	ID              SittingID
	ProgrammeID     competency.ProgrammeID
	TraineeID       competency.PersonID
	Scenario        assessment.ScenarioID
	ScenarioVersion int
	Attempt         int
	ScopePolicy     int
	StartedAt       time.Time
	EndsAt          *time.Time
	Status          assessment.SittingStatus
	Plan            string
	Faults          *string
	SavedAt         *time.Time
	ClosedAt        *time.Time
	Revision        int
}

// TableName names the table.
func (sittingRow) TableName() string { return "sittings" }

// fromSitting is the row of a sitting.
func fromSitting(s Sitting) (sittingRow, error) {
	row := sittingRow{
		ID: s.ID, ProgrammeID: s.Programme, TraineeID: s.Trainee, Scenario: s.Scenario, ScenarioVersion: s.ScenarioVersion, Attempt: s.Attempt,
		ScopePolicy: s.ScopePolicy, StartedAt: utc(s.StartedAt), EndsAt: utcOrNil(s.EndsAt), Status: s.Status, SavedAt: utcOrNil(s.SavedAt),
		ClosedAt: utcOrNil(s.ClosedAt), Revision: s.Revision,
	}
	plan, err := json.Marshal(s.Plan)
	if err != nil {
		return row, fmt.Errorf("plan of sitting %s: %w", s.ID, err)
	}
	row.Plan = string(plan)
	if len(s.Faults) == 0 {
		return row, nil
	}
	faults, err := json.Marshal(s.Faults)
	if err != nil {
		return row, fmt.Errorf("faults of sitting %s: %w", s.ID, err)
	}
	text := string(faults)
	row.Faults = &text
	return row, nil
}

// namedSitting is a sitting with what other tables know of it.
type namedSitting struct {
	Row             sittingRow `gorm:"embedded"`
	TraineeName     string
	PlanID          *competency.PlanID
	PractisedBefore int
}

func (n namedSitting) sitting() (Sitting, error) {
	r := n.Row
	s := Sitting{
		ID: r.ID, Programme: r.ProgrammeID, Trainee: r.TraineeID, TraineeName: n.TraineeName, Scenario: r.Scenario, ScenarioVersion: r.ScenarioVersion,
		Attempt: r.Attempt, PractisedBefore: n.PractisedBefore, ScopePolicy: r.ScopePolicy,
		Sitting: assessment.Sitting{
			StartedAt: utc(r.StartedAt), EndsAt: timeOrZero(r.EndsAt), Status: r.Status, SavedAt: timeOrZero(r.SavedAt),
			ClosedAt: timeOrZero(r.ClosedAt), Revision: r.Revision,
		},
	}
	if n.PlanID != nil {
		s.PlanID = *n.PlanID
	}
	if err := json.Unmarshal([]byte(r.Plan), &s.Plan); err != nil {
		return s, fmt.Errorf("plan of sitting %s: %w", r.ID, err)
	}
	if r.Faults == nil {
		return s, nil
	}
	if err := json.Unmarshal([]byte(*r.Faults), &s.Faults); err != nil {
		return s, fmt.Errorf("faults of sitting %s: %w", r.ID, err)
	}
	return s, nil
}

// CreateSitting adds a sitting. The error is ErrDuplicate when the trainee has one open, had one for the same version of the scenario,
// or its attempt number is taken.
func (tx *Tx) CreateSitting(s Sitting) error {
	row, err := fromSitting(s)
	if err != nil {
		return err
	}
	return tx.insert("create sitting", s.Programme, &row)
}

// SaveSitting replaces what can change of an open sitting whose stored revision is expected; s carries the new one. The error is
// ErrStale when the revision is another by now, ErrNotFound when the programme has no such sitting.
func (tx *Tx) SaveSitting(s Sitting, expected int) error {
	if err := tx.mayWrite(s.Programme); err != nil {
		return err
	}
	row, err := fromSitting(s)
	if err != nil {
		return err
	}
	changed := tx.db.Model(&sittingRow{}).Where("programme_id = ? AND id = ? AND revision = ?", s.Programme, s.ID, expected).
		Select("Status", "Plan", "Faults", "SavedAt", "ClosedAt", "Revision").Updates(&row)
	return replaced("save sitting", changed, func() error {
		_, err := tx.SittingByID(s.Programme, s.ID)
		return err
	})
}
