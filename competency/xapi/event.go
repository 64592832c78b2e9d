package xapi

import (
	"math"
	"strconv"
	"time"

	"isthmus/competency"
)

// The kinds of event, as they are part of a statement's id.
const (
	KindPlan     = "plan"
	KindQuiz     = "quiz"
	KindSignOff  = "sign-off"
	KindDecision = "decision"
	KindVoid     = "void"
)

// Plan is a graded plan.
type Plan struct {
	ID              competency.PlanID
	Trainee         competency.PersonID
	Scenario        string
	ScenarioVersion int
	Attempt         int
	Test            bool // under test conditions, not in practice
	Score           float64
	Letter          string
	Unsafe          bool
	At              time.Time
}

// Plan says that a trainee scored in a scenario. Its success is told only where it is none: an unsafe plan. A programme's own pass mark
// belongs to its standard.
func (p Place) Plan(e Plan) Statement {
	done := true
	result := &Result{
		Completion: &done,
		Score:      &Score{Scaled: min(1, max(0, math.Round(e.Score*100)/10000)), Raw: e.Score, Min: 0, Max: 100},
		Extensions: map[string]any{p.extension("letter"): e.Letter, p.extension("unsafe"): e.Unsafe},
	}
	if e.Unsafe {
		result.Success = new(bool)
	}
	return Statement{
		ID: p.id(KindPlan, string(e.ID)), Actor: p.agent(e.Trainee), Verb: Verb{verbScored, english("scored")},
		Object: p.activity(typeSimulation, "Planning scenario", "A lesion set planned for a made-up patient and graded by what it would block.",
			"programmes", string(p.Programme), "scenarios", e.Scenario, strconv.Itoa(e.ScenarioVersion)),
		Result: result, Context: p.context(nil, map[string]any{"attempt": e.Attempt, "test": e.Test}), Timestamp: stamp(e.At),
	}
}

// Quiz is a quiz that was handed in, or ended by its time.
type Quiz struct {
	ID      competency.QuizID
	Trainee competency.PersonID
	Mode    string  // practice, daily or test
	Score   float64 // points
	Max     int     // points there were
	Cut     float64 // per cent; a test's only
	At      time.Time
}

// Quiz says that a trainee scored in a quiz. Only a test has a success, at its own cut.
func (p Place) Quiz(e Quiz) Statement {
	done, share := true, min(1, max(-1, e.Score/float64(max(e.Max, 1))))
	result := &Result{Completion: &done, Score: &Score{Scaled: math.Round(share*1e4) / 1e4, Raw: e.Score, Min: min(0, e.Score), Max: float64(e.Max)}}
	about := map[string]any{"mode": e.Mode}
	if e.Mode == "test" {
		passed := 100*share >= e.Cut-1e-9
		result.Success, about["cut-percent"] = &passed, e.Cut
	}
	return Statement{
		ID: p.id(KindQuiz, string(e.ID)), Actor: p.agent(e.Trainee), Verb: Verb{verbScored, english("scored")},
		Object: p.activity(typeAssessment, "Quiz", "Questions about atrial fibrillation and its surgical ablation.", "programmes", string(p.Programme), "quizzes", e.Mode),
		Result: result, Context: p.context(nil, about), Timestamp: stamp(e.At),
	}
}

// SignOff is a signature on an operation. It carries nothing of the operation but what was said of the trainee.
type SignOff struct {
	ID              competency.SignOffID
	Trainee         competency.PersonID
	Assessor        competency.PersonID
	Role            competency.Role
	HelpGiven       int // 1 to 5, looking back
	SupervisionNext int // 1 to 5, looking ahead
	LateRecall      bool
	At              time.Time // of the signature: the day of the operation stays here
}

// SignOff says that a trainee completed an operation, as their assessor signed it. The operation is named by the statement's own id, so that
// nobody can look it up by a case number.
func (p Place) SignOff(e SignOff) Statement {
	done, id, assessor := true, p.id(KindSignOff, string(e.ID)), p.agent(e.Assessor)
	return Statement{
		ID: id, Actor: p.agent(e.Trainee), Verb: Verb{verbCompleted, english("completed")},
		Object: p.activity(typePerformance, "Operation", "An operation for atrial fibrillation, signed off by the supervisor.", "operations", id),
		Result: &Result{Completion: &done, Extensions: map[string]any{
			p.extension("role"): e.Role, p.extension("help-given"): e.HelpGiven, p.extension("supervision-next"): e.SupervisionNext, p.extension("late-recall"): e.LateRecall,
		}},
		Context: p.context(&assessor, nil), Timestamp: stamp(e.At),
	}
}

// Decision is what the programme decided about a trainee.
type Decision struct {
	ID       competency.DecisionID
	Trainee  competency.PersonID
	Signer   competency.PersonID
	Outcome  competency.Outcome
	Standard int // version of the standard that judged
	At       time.Time
}

// Decision says that a trainee received a decision. ADL's vocabulary has no verb for it (passed and failed are about a mark reached), so the
// verb is our own; the outcome is never told as success or failure.
func (p Place) Decision(e Decision) Statement {
	signer := p.agent(e.Signer)
	return Statement{
		ID: p.id(KindDecision, string(e.ID)), Actor: p.agent(e.Trainee), Verb: Verb{p.iri("verbs", "received-decision"), english("received a decision on")},
		Object: p.activity(typeObjective, "Standard for independence", "The programme's thresholds for operating independently, one version of them.",
			"programmes", string(p.Programme), "standards", strconv.Itoa(e.Standard)),
		Result: &Result{Extensions: map[string]any{p.extension("outcome"): e.Outcome}}, Context: p.context(&signer, nil), Timestamp: stamp(e.At),
	}
}

// Void is a signature that does not count any more: its case was signed again, or withdrawn.
type Void struct {
	SignOff competency.SignOffID
	By      competency.PersonID
	At      time.Time
}

// Void takes a statement on a signature back (Data 2.3.2). A voiding statement cannot be voided.
func (p Place) Void(e Void) Statement {
	return Statement{
		ID: p.id(KindVoid, string(e.SignOff)), Actor: p.agent(e.By), Verb: Verb{verbVoided, english("voided")},
		Object: Object{ObjectType: "StatementRef", ID: p.id(KindSignOff, string(e.SignOff))}, Timestamp: stamp(e.At),
	}
}
