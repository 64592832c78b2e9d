package competency

import "time"

// SignOffMeaning is the meaning bound to every sign-off signature (21 CFR 11.50 asks for name, time and meaning).
const SignOffMeaning = "I supervised this operation and state that this is what I saw."

// Statement is what a faculty member states of a case when signing it off. Looking back and looking ahead are two scales, never one.
type Statement struct {
	Steps               []Step `json:"steps"`            // as the supervisor saw them
	HelpGiven           int    `json:"help_given"`       // 1 trainee watched .. 5 performed without help
	SupervisionNext     int    `json:"supervision_next"` // 1 watch .. 5 may teach others
	ComplicationsAgreed bool   `json:"complications_agreed"`
	Keep                string `json:"keep"`   // one thing to keep
	Change              string `json:"change"` // one thing to change
}

// SignOff is a faculty member's signed statement on one version of a case.
type SignOff struct {
	ID           SignOffID `json:"id"`
	Case         CaseID    `json:"case"`
	CaseVersion  int       `json:"case_version"`
	ContentHash  string    `json:"content_hash"`
	Assessor     PersonID  `json:"assessor"`
	AssessorName string    `json:"assessor_name"`
	Meaning      string    `json:"meaning"`
	Statement    Statement `json:"statement"`
	Role         Role      `json:"role"` // computed from the steps the supervisor confirmed
	RoleReason   string    `json:"role_reason"`
	RoleClaimed  Role      `json:"role_claimed"` // computed from the trainee's own account
	AgeDays      int       `json:"age_days"`
	LateRecall   bool      `json:"late_recall"`
	SignedAt     time.Time `json:"signed_at"`
}
