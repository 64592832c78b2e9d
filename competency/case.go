// Package competency holds the vocabulary of cases, sign-offs, standards and standing, and judges them. It is pure: no clock, no
// database, no browser.
package competency

import (
	"time"

	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
)

// Typed ids, uuid v7 in text form, so that two ids cannot swap places.
type (
	CaseID      string
	PersonID    string
	ProgrammeID string
	SignOffID   string
	PlanID      string
)

// CaseStatus is where a case stands in its life.
type CaseStatus string

// The states of a case: draft -> submitted -> signed-off, or returned -> submitted; withdrawn keeps the record.
const (
	CaseDraft     CaseStatus = "draft"
	CaseSubmitted CaseStatus = "submitted"
	CaseReturned  CaseStatus = "returned"
	CaseSignedOff CaseStatus = "signed-off"
	CaseWithdrawn CaseStatus = "withdrawn"
)

// Performer says who performed a step.
type Performer string

// The performers, from most to least the trainee's own.
const (
	ByTrainee         Performer = "trainee"
	ByTraineeWithHelp Performer = "trainee-with-help"
	BySupervisor      Performer = "supervisor"
)

// StepAppendage is the step id of handling the left appendage; every lesion's step carries its lesion id, a drawn one "drawn-1", "drawn-2" in order.
const StepAppendage = "left-appendage"

// Step is one part of an operation and who performed it.
type Step struct {
	Step        string    `json:"step" yaml:"step"`
	PerformedBy Performer `json:"performed_by" yaml:"performed_by"`
}

// Record is what the trainee enters of one operation. It carries no patient identity.
type Record struct {
	Supervisor       PersonID           `json:"supervisor"`
	Site             string             `json:"site"`
	OperatedOn       string             `json:"operated_on"` // at the programme's precision: 2026-03-14, 2026-W11 or 2026-03
	AF               af.History         `json:"af"`
	LeftAtriumBand   string             `json:"left_atrium_band"` // under-40, 40-44, 45-49, 50-54, 55-60, over-60 (mm)
	Operation        string             `json:"operation"`        // as assessment.Operation.Primary
	Approach         string             `json:"approach"`
	Urgency          string             `json:"urgency"`
	OnBypass         bool               `json:"on_bypass"`
	LeftAtriumOpened bool               `json:"left_atrium_opened"`
	Lesions          []atrium.Lesion    `json:"lesions"`
	Appendage        AppendageDelivered `json:"left_appendage"`
	Steps            []Step             `json:"steps"`
	Events           []string           `json:"events"` // up to 30 days: none is an empty list; bleeding-reoperation, pacemaker, stroke, phrenic-palsy, death, other
	Note             string             `json:"note,omitempty"`
}

// AppendageDelivered is what was done with the left appendage, and the result.
type AppendageDelivered struct {
	State  atrium.AppendageState `json:"state"`
	Method string                `json:"method,omitempty"`
	Result string                `json:"result,omitempty"` // closed, residual-flow, stump, not-checked
}

// Computed is what the program derives from a record; none of it is ever typed.
type Computed struct {
	Pattern       af.Pattern   `json:"pattern"`
	PatternRule   string       `json:"pattern_rule"`
	Scope         atrium.Scope `json:"scope"`
	CircuitsLeft  int          `json:"circuits_left"`  // of 78 mm or more, both chambers
	LinesComplete bool         `json:"lines_complete"` // no gap and no free end
	BlockTested   bool         `json:"block_tested"`   // every vein isolation tested
	Role          Role         `json:"role"`
	RoleReason    string       `json:"role_reason"`
	Policy        string       `json:"policy"`              // target, minimum, below, beyond, not-applicable: the scope against the programme's policy
	PolicyID      string       `json:"policy_id,omitempty"` // the scope policy used, beside its version; absent in cases from before programmes had their own
	PolicyVersion int          `json:"policy_version"`
	Model         string       `json:"model"`
}

// Role is the trainee's role by the programme's rule.
type Role string

// The roles.
const (
	RolePrimary   Role = "primary"
	RoleAssistant Role = "assistant"
	RoleObserver  Role = "observer"
)

// RoleRule is the programme's definition of the primary surgeon, as data.
type RoleRule struct {
	Version      int      `json:"version" yaml:"version"`
	KeySteps     []string `json:"key_steps" yaml:"key_steps"`           // lesion ids; those that were done must be the trainee's
	ShareOfSteps float64  `json:"share_of_steps" yaml:"share_of_steps"` // at least this share of all steps performed by the trainee
	HelpCounts   bool     `json:"help_counts" yaml:"help_counts"`       // whether trainee-with-help counts as performed
}

// Case is one operation a trainee took part in, at one version of its record.
type Case struct {
	ID          CaseID      `json:"id"`
	Programme   ProgrammeID `json:"programme"`
	Trainee     PersonID    `json:"trainee"`
	Version     int         `json:"version"` // 0 while never submitted
	Status      CaseStatus  `json:"status"`
	Record      Record      `json:"record"`
	Computed    *Computed   `json:"computed,omitempty"`
	ContentHash string      `json:"content_hash,omitempty"` // of the submitted version
	SubmittedAt time.Time   `json:"submitted_at,omitzero"`
	CreatedAt   time.Time   `json:"created_at"`
	UpdatedAt   time.Time   `json:"updated_at"`
	Revision    int         `json:"revision"` // rises with every change; the ETag
	// SignedVersion is the version that was signed last, which counts as evidence whatever is being amended; 0 while none is.
	SignedVersion int `json:"signed_version,omitempty"`
	// LastVersion is the highest version ever submitted, when that is above Version: an amendment was given up. Otherwise 0.
	LastVersion int `json:"last_version,omitempty"`
}
