package competency

import (
	"time"

	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
)

// SignedCase is one signed-off case as evidence.
type SignedCase struct {
	ID              CaseID       `json:"id"`
	OperatedOn      string       `json:"operated_on"`
	SubmittedAt     time.Time    `json:"submitted_at"`
	SignedAt        time.Time    `json:"signed_at"`
	Site            string       `json:"site"`
	Operation       string       `json:"operation"`
	Pattern         af.Pattern   `json:"pattern"`
	Scope           atrium.Scope `json:"scope"`
	Role            Role         `json:"role"`
	LinesComplete   bool         `json:"lines_complete"`
	BlockTested     bool         `json:"block_tested"`
	Policy          string       `json:"policy"`
	Assessor        PersonID     `json:"assessor"`
	HelpGiven       int          `json:"help_given"`
	SupervisionNext int          `json:"supervision_next"`
	LateRecall      bool         `json:"late_recall"`
	Withdrawn       bool         `json:"withdrawn"`
}

// PendingCase is a case that is no evidence yet, or no longer, with its state.
type PendingCase struct {
	ID         CaseID     `json:"id"`
	OperatedOn string     `json:"operated_on"`
	Status     CaseStatus `json:"status"`
}

// GradedPlan is one graded plan as evidence.
type GradedPlan struct {
	ID          PlanID     `json:"id"`
	Scenario    string     `json:"scenario"`
	Pattern     af.Pattern `json:"pattern"`
	Score       float64    `json:"score"`
	Letter      string     `json:"letter"`
	Unsafe      bool       `json:"unsafe"`
	Attempt     int        `json:"attempt"`
	SubmittedAt time.Time  `json:"submitted_at"`
}

// Evidence is everything on record about one trainee, in any order.
type Evidence struct {
	Cases   []SignedCase  `json:"cases"`
	Pending []PendingCase `json:"pending"`
	Plans   []GradedPlan  `json:"plans"`
	Earlier []SignedCase  `json:"earlier,omitempty"` // versions of Cases that were signed before an amendment: they counted until the next was signed

	// Gathered only for a standard that asks for them.
	FollowUps      []FollowUpOnRecord `json:"follow_ups,omitempty"`       // of the trainee's cases, every version
	FollowUpMonths []int              `json:"follow_up_months,omitempty"` // the programme's schedule: a follow-up stands for the month it is nearest to
	Ratings        []RatingComponents `json:"ratings,omitempty"`          // of the programme, one for each scale asked for
	Quizzes        []QuizResult       `json:"quizzes,omitempty"`
}

// State is a requirement's state on a date.
type State string

// The states of a requirement.
const (
	Met           State = "met"
	OnCourse      State = "on-course"
	Short         State = "short"
	Lapsed        State = "lapsed"
	NotEnoughData State = "not-enough-data"
)

// Interval is a confidence interval with its level, for example 0.90.
type Interval struct {
	Low    float64 `json:"low"`
	High   float64 `json:"high"`
	Level  float64 `json:"level"`
	Method string  `json:"method"`
}

// LeftOut is a piece of evidence that was not used, with the reason.
type LeftOut struct {
	ID     string `json:"id"`
	Kind   string `json:"kind"` // case, plan or quiz
	Reason string `json:"reason"`
}

// RequirementStanding is a trainee's state on one requirement.
type RequirementStanding struct {
	Requirement string    `json:"requirement"` // id in the standard
	Kind        string    `json:"kind"`
	Says        string    `json:"says"` // the requirement in plain words
	State       State     `json:"state"`
	Value       float64   `json:"value"`
	Target      float64   `json:"target"`
	Unit        string    `json:"unit"` // cases, share, patterns, chart, topics, phi
	N           int       `json:"n"`
	Interval    *Interval `json:"interval,omitempty"`
	Used        []string  `json:"used"`             // evidence ids
	UsedKind    string    `json:"used_kind"`        // case, plan or quiz
	Misses      []string  `json:"misses,omitempty"` // follow-up: those of Used that have none on record
	LeftOut     []LeftOut `json:"left_out"`
	Explanation string    `json:"explanation"` // one sentence: what the state rests on
	Next        string    `json:"next"`        // what would move it; empty when met
	Curve       *Chart    `json:"curve,omitempty"`

	Ratings *Dependability `json:"ratings,omitempty"` // dependability
}

// Standing is a trainee's state against a standard on a date.
type Standing struct {
	Standard        string                `json:"standard"`
	StandardVersion int                   `json:"standard_version"`
	Example         bool                  `json:"example,omitempty"` // the standard is labelled as an example
	On              string                `json:"on"`                // calendar day
	Requirements    []RequirementStanding `json:"requirements"`
	Ready           bool                  `json:"ready"`   // ready for committee review: every requirement met
	Overall         string                `json:"overall"` // in words; never 'independent'
	EvidenceHash    string                `json:"evidence_hash"`
	Caution         string                `json:"caution"`
}
