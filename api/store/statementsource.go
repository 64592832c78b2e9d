package store

import (
	"cmp"
	"encoding/json"
	"fmt"
	"slices"
	"time"

	"gorm.io/gorm"

	"isthmus/assessment"
	"isthmus/competency"
)

// StatementKind is a kind of record that is told in a statement.
type StatementKind string

// The kinds. A void is a signature that counts no more: its case was signed again in a later version, or withdrawn.
const (
	StatementPlan     StatementKind = "plan"
	StatementQuiz     StatementKind = "quiz"
	StatementSignOff  StatementKind = "sign-off"
	StatementDecision StatementKind = "decision"
	StatementVoid     StatementKind = "void"
)

// StatementSource is a record to be told in a statement. None of it ever changes.
type StatementSource struct {
	Kind    StatementKind
	ID      string // of the plan, the quiz, the sign-off or the decision
	At      time.Time
	Trainee competency.PersonID
	By      competency.PersonID // assessor, signer, or who took a signature back

	Scenario        assessment.ScenarioID
	ScenarioVersion int
	Attempt         int
	Test            bool
	Score           float64 // of a quiz in points
	Letter          string
	Unsafe          bool

	Mode string // of a quiz
	Max  int    // its points
	Cut  float64

	Role            competency.Role
	HelpGiven       int
	SupervisionNext int
	LateRecall      bool

	Outcome  competency.Outcome
	Standard int // version
}

// sourceRow is a row of any kind.
type sourceRow struct {
	StatementSource `gorm:"embedded"`
	TraineeID       competency.PersonID
	ByID            competency.PersonID
	SittingID       *SittingID
	Content         string // of a decision
}

func (r sourceRow) source(kind StatementKind) (StatementSource, error) {
	s := r.StatementSource
	s.Kind, s.At, s.Trainee, s.By, s.Test = kind, utc(s.At), r.TraineeID, r.ByID, r.SittingID != nil
	if r.Content != "" {
		var d competency.Decision
		if err := json.Unmarshal([]byte(r.Content), &d); err != nil {
			return s, fmt.Errorf("decision %s: %w", s.ID, err)
		}
		s.By, s.Standard = d.Signer, d.Standing.StandardVersion
	}
	return s, nil
}

// sourceQuery is where the records of a kind are found: x.id is the record's, at the column of its time.
type sourceQuery struct {
	kind               StatementKind
	from, columns, and string
	at                 string
}

// later says that a version of a case was signed after that of s.
const later = "EXISTS (SELECT 1 FROM sign_offs l WHERE l.programme_id = x.programme_id AND l.case_id = x.case_id AND l.case_version > x.case_version)"

// sourceQueries are all places. A signature is taken back by the next one on its case, or by the withdrawal of the case, never twice.
var sourceQueries = []sourceQuery{
	{StatementPlan, "plans AS x", "x.trainee_id, x.scenario, x.scenario_version, x.attempt, x.sitting_id, x.score, x.letter, x.unsafe", "", "x.submitted_at"},
	{StatementQuiz, "quiz_attempts AS x", "x.trainee_id, x.mode, x.score, x.max, x.cut", "x.status <> 'open'", "x.submitted_at"},
	{StatementSignOff, "sign_offs AS x JOIN cases c ON c.programme_id = x.programme_id AND c.id = x.case_id",
		"c.trainee_id, x.assessor_id AS by_id, x.role, x.help_given, x.supervision_next, x.late_recall", "", "x.signed_at"},
	{StatementDecision, "decisions AS x", "x.trainee_id, x.outcome, x.content", "", "x.signed_at"},
	{StatementVoid, "sign_offs AS x JOIN sign_offs n ON n.programme_id = x.programme_id AND n.case_id = x.case_id AND n.case_version > x.case_version", "n.assessor_id AS by_id",
		`NOT EXISTS (SELECT 1 FROM sign_offs b WHERE b.programme_id = x.programme_id AND b.case_id = x.case_id AND b.case_version > x.case_version
			AND b.case_version < n.case_version)`, "n.signed_at"},
	{StatementVoid, "sign_offs AS x JOIN cases c ON c.programme_id = x.programme_id AND c.id = x.case_id AND c.status = 'withdrawn' " +
		"JOIN case_acts a ON a.programme_id = x.programme_id AND a.case_id = x.case_id AND a.kind = 'withdraw'", "a.by_id", "NOT " + later, "a.at"},
}

// sources gathers records of all kinds, in the order of time, so many of each at most.
func (tx *Tx) sources(programme competency.ProgrammeID, limit int, narrow func(*gorm.DB, sourceQuery) *gorm.DB) ([]StatementSource, error) {
	var all []StatementSource
	for _, q := range sourceQueries {
		query := tx.db.Table(q.from).Select("x.id, "+q.at+" AS at, "+q.columns).Where("x.programme_id = ?", programme)
		if q.and != "" {
			query = query.Where(q.and)
		}
		var rows []sourceRow
		if err := narrow(query, q).Order(q.at + ", x.id").Limit(limit).Find(&rows).Error; err != nil {
			return nil, translate("sources of statements", err)
		}
		for _, row := range rows {
			source, err := row.source(q.kind)
			if err != nil {
				return nil, err
			}
			all = append(all, source)
		}
	}
	slices.SortFunc(all, func(a, b StatementSource) int { return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.key(), b.key())) })
	return all, nil
}

// key orders records of one instant.
func (s StatementSource) key() string { return string(s.Kind) + "/" + s.ID }

// StatementSources lists what a programme has to tell, oldest first. The error is ErrCursor.
func (tx *Tx) StatementSources(programme competency.ProgrammeID, page Page) ([]StatementSource, string, error) {
	var at time.Time
	var key string
	if page.After != "" {
		var err error
		if at, key, err = readCursor(page.After); err != nil {
			return nil, "", err
		}
	}
	all, err := tx.sources(programme, page.size()+1, func(query *gorm.DB, q sourceQuery) *gorm.DB {
		if page.After == "" {
			return query
		}
		return query.Where("("+q.at+", '"+string(q.kind)+"/' || x.id) > (?, ?)", at, key)
	})
	if err != nil {
		return nil, "", err
	}
	return pageOf(all, page, func(s StatementSource) StatementSource { return s }, func(s StatementSource) string { return cursorAt(s.At, s.key()) })
}

// UntoldSources lists records without a statement, so many of each kind at most.
func (tx *Tx) UntoldSources(programme competency.ProgrammeID, limit int) ([]StatementSource, error) {
	return tx.sources(programme, limit, func(query *gorm.DB, q sourceQuery) *gorm.DB {
		return query.Where("NOT EXISTS (SELECT 1 FROM statements t WHERE t.programme_id = x.programme_id AND t.kind = ? AND t.record_id = x.id)", q.kind)
	})
}
