package store

import (
	"encoding/json"
	"time"

	"isthmus/assessment"
	"isthmus/assessment/af"
	"isthmus/competency"
)

// PlanSummary is a graded plan without its plan and grade.
type PlanSummary struct {
	ID              competency.PlanID
	Programme       competency.ProgrammeID
	Trainee         competency.PersonID
	TraineeName     string // filled when loaded
	Scenario        assessment.ScenarioID
	ScenarioVersion int
	ScenarioTitle   string // of that version; filled when loaded, empty when the version was not kept
	Attempt         int    // 1, 2, 3, ... for each trainee and scenario
	Pattern         string
	Letter          string
	Score           float64
	Unsafe          bool
	SubmittedAt     time.Time
	Sitting         SittingID // the test it answers; empty for practice
	PractisedBefore int       // earlier plans for practice; filled when loaded
}

// PlanRow is a graded plan. Plan and Grade keep their text as it was saved.
type PlanRow struct {
	PlanSummary
	Plan  json.RawMessage
	Grade json.RawMessage
}

// PlanFilter narrows a list of plans; empty fields do not.
type PlanFilter struct {
	Trainee  competency.PersonID
	Scenario assessment.ScenarioID
	Trainees []competency.PersonID // any of them; nil for everybody, empty for nobody
	Without  assessment.ScenarioID // leaves out the plans for a scenario
}

type planRow struct {
	ID              competency.PlanID
	ProgrammeID     competency.ProgrammeID
	TraineeID       competency.PersonID
	Scenario        assessment.ScenarioID
	ScenarioVersion int
	Attempt         int
	Pattern         string
	Letter          string
	Score           float64
	Unsafe          bool
	Plan            string
	Grade           string
	SubmittedAt     time.Time
	SittingID       *SittingID
}

// TableName names the table.
func (planRow) TableName() string { return "plans" }

// planWithName is a plan with its trainee's name.
type planWithName struct {
	Row             planRow `gorm:"embedded"`
	TraineeName     string
	ScenarioTitle   string
	PractisedBefore int
}

// summaryColumns are a plan's without the two large ones.
const summaryColumns = `p.id, p.programme_id, p.trainee_id, p.scenario, p.scenario_version, p.attempt, p.pattern, p.letter, p.score, p.unsafe,
	p.submitted_at, p.sitting_id, t.name AS trainee_name, (SELECT v.title FROM scenario_versions v WHERE v.programme_id = p.programme_id
	AND v.scenario = p.scenario AND v.version = p.scenario_version) AS scenario_title, (SELECT COUNT(*) FROM plans b WHERE b.programme_id = p.programme_id
	AND b.trainee_id = p.trainee_id AND b.scenario = p.scenario AND b.attempt < p.attempt AND b.sitting_id IS NULL) AS practised_before`

func (named planWithName) summary() PlanSummary {
	r := named.Row
	summary := PlanSummary{
		ID: r.ID, Programme: r.ProgrammeID, Trainee: r.TraineeID, TraineeName: named.TraineeName, Scenario: r.Scenario, ScenarioVersion: r.ScenarioVersion,
		Attempt: r.Attempt, Pattern: r.Pattern, Letter: r.Letter, Score: r.Score, Unsafe: r.Unsafe, SubmittedAt: utc(r.SubmittedAt),
		ScenarioTitle: named.ScenarioTitle, PractisedBefore: named.PractisedBefore,
	}
	if r.SittingID != nil {
		summary.Sitting = *r.SittingID
	}
	return summary
}

// graded is a plan as evidence.
func (r planRow) graded() competency.GradedPlan {
	return competency.GradedPlan{
		ID: r.ID, Scenario: string(r.Scenario), Pattern: af.Pattern(r.Pattern), Score: r.Score, Letter: r.Letter, Unsafe: r.Unsafe,
		Attempt: r.Attempt, SubmittedAt: utc(r.SubmittedAt),
	}
}

// SavePlan keeps a graded plan for good. The error is ErrDuplicate when its id or its attempt is taken, or its test has a plan
// already.
func (tx *Tx) SavePlan(p PlanRow) error {
	row := planRow{
		ID: p.ID, ProgrammeID: p.Programme, TraineeID: p.Trainee, Scenario: p.Scenario, ScenarioVersion: p.ScenarioVersion, Attempt: p.Attempt,
		Pattern: p.Pattern, Letter: p.Letter, Score: p.Score, Unsafe: p.Unsafe, Plan: string(p.Plan), Grade: string(p.Grade), SubmittedAt: utc(p.SubmittedAt),
	}
	if p.Sitting != "" {
		row.SittingID = &p.Sitting
	}
	return tx.insert("save plan", p.Programme, &row)
}

// PlanByID loads a plan of a programme. The error is ErrNotFound.
func (tx *Tx) PlanByID(programme competency.ProgrammeID, id competency.PlanID) (PlanRow, error) {
	var row planWithName
	err := tx.db.Table("plans AS p").Select(summaryColumns+", p.plan, p.grade").Joins("JOIN people t ON t.id = p.trainee_id").
		Where("p.programme_id = ? AND p.id = ?", programme, id).Take(&row).Error
	if err != nil {
		return PlanRow{}, translate("plan", err)
	}
	return PlanRow{PlanSummary: row.summary(), Plan: json.RawMessage(row.Row.Plan), Grade: json.RawMessage(row.Row.Grade)}, nil
}

// Plans lists a programme's plans, newest first.
func (tx *Tx) Plans(programme competency.ProgrammeID, filter PlanFilter, page Page) ([]PlanSummary, string, error) {
	query := tx.db.Table("plans AS p").Select(summaryColumns).Joins("JOIN people t ON t.id = p.trainee_id").Where("p.programme_id = ?", programme)
	if filter.Trainee != "" {
		query = query.Where("p.trainee_id = ?", filter.Trainee)
	}
	if filter.Scenario != "" {
		query = query.Where("p.scenario = ?", filter.Scenario)
	}
	if filter.Trainees != nil {
		query = query.Where("p.trainee_id IN ?", filter.Trainees)
	}
	if filter.Without != "" {
		query = query.Where("p.scenario <> ?", filter.Without)
	}
	query, err := newestFirst(query, "p.submitted_at", "p.id", page)
	if err != nil {
		return nil, "", err
	}
	var rows []planWithName
	if err := query.Find(&rows).Error; err != nil {
		return nil, "", translate("plans", err)
	}
	return pageOf(rows, page, planWithName.summary, func(r planWithName) string { return cursorAt(r.Row.SubmittedAt, string(r.Row.ID)) })
}

// Attempts is what a trainee has made of one scenario.
type Attempts struct {
	N          int
	BestScore  float64
	BestLetter string // of the best plan: highest score, safe before unsafe, then earliest
}

// AttemptsBy gives a trainee's attempts by scenario, for those there are any of.
func (tx *Tx) AttemptsBy(programme competency.ProgrammeID, trainee competency.PersonID) (map[assessment.ScenarioID]Attempts, error) {
	var rows []planRow
	err := tx.db.Select("scenario, letter, score, unsafe").Where("programme_id = ? AND trainee_id = ?", programme, trainee).
		Order("score DESC, unsafe, attempt").Find(&rows).Error
	attempts := map[assessment.ScenarioID]Attempts{}
	for _, row := range rows {
		made, seen := attempts[row.Scenario]
		if !seen {
			made.BestScore, made.BestLetter = row.Score, row.Letter
		}
		made.N++
		attempts[row.Scenario] = made
	}
	return attempts, translate("attempts", err)
}

// NextAttempt is the number of a trainee's next attempt at a scenario, for practice or as a test: inside a Write it is still free at the
// end.
func (tx *Tx) NextAttempt(programme competency.ProgrammeID, trainee competency.PersonID, scenario assessment.ScenarioID) (int, error) {
	last := 0
	for _, table := range []any{&planRow{}, &sittingRow{}} {
		var highest int
		err := tx.db.Model(table).Select("COALESCE(MAX(attempt), 0)").
			Where("programme_id = ? AND trainee_id = ? AND scenario = ?", programme, trainee, scenario).Scan(&highest).Error
		if err != nil {
			return 0, translate("next attempt", err)
		}
		last = max(last, highest)
	}
	return last + 1, nil
}
