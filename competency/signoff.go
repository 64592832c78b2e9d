package competency

import (
	"slices"
	"time"

	"isthmus/assessment/strict"
)

// SignOffMeaning is the meaning bound to every sign-off signature (21 CFR 11.50 asks for name, time and meaning).
const SignOffMeaning = "I supervised this operation and state that this is what I saw."

// Statement is what a faculty member states of a case when signing it off. Looking back and looking ahead are two scales, never one.
type Statement struct {
	Steps               []Step `json:"steps"`            // as the supervisor saw them
	HelpGiven           int    `json:"help_given"`       // 1 trainee watched .. 5 performed without help
	SupervisionNext     int    `json:"supervision_next"` // 1 watch .. 5 may teach others
	ComplicationsAgreed bool   `json:"complications_agreed"`
	// Events up to 30 days as the supervisor knows them, where they are not those of the trainee; an empty list says that there were none.
	// It is nil where the trainee's are agreed, and in statements from before it was asked.
	Events []string `json:"events,omitzero" required:"false" nullable:"false"`
	Keep   string   `json:"keep"`   // one thing to keep
	Change string   `json:"change"` // one thing to change
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
	ProvedAt     time.Time `json:"proved_at,omitzero"` // when the signer last proved who they are before; zero in signatures from before it was kept
}

// CheckProof refuses a signature whose signer last proved their identity longer ago than the programme lets a signing session last
// (21 CFR 11.200(a)(1): every part of a signature at the first of a continuous session). The zero time is no proof. The error is
// ErrProofNeeded.
func CheckProof(provedAt time.Time, settings Settings, now time.Time) error {
	limit := time.Duration(settings.Filled().SigningMinutes) * time.Minute
	if provedAt.IsZero() || provedAt.After(now) || now.Sub(provedAt) > limit {
		return ErrProofNeeded
	}
	return nil
}

// Term is a stretch of days, both included, during which a person was faculty of the programme; an empty Until means until further notice.
type Term struct {
	From  Day `json:"from"`
	Until Day `json:"until,omitempty"`
}

// overlaps reports whether any day of the period lies in the term: at week or month precision no more can be known.
func (t Term) overlaps(p Period) bool {
	return t.From <= p.Last && (t.Until == "" || t.Until >= p.First)
}

// Signer is the person who signs, with every term as faculty of the case's programme.
type Signer struct {
	ID      PersonID
	Name    string
	Faculty []Term
	// ProvedAt is when they last proved who they are; it stands in the signature.
	ProvedAt time.Time
	// Before is the signature on the version before of a case that was amended; nil when there is none.
	Before *SignOff
}

// Validate reports what is wrong with a statement on a record: both scales 1 to 5, one thing to keep and one to change in 3 to 500
// characters each, exactly the record's steps, and the events either agreed or corrected.
func (s Statement) Validate(r Record, kept ...Override) strict.Faults {
	var faults strict.Faults
	checkLevel(&faults, "help_given", s.HelpGiven)
	checkLevel(&faults, "supervision_next", s.SupervisionNext)
	checkText(&faults, "keep", s.Keep, 3, 500, kept...)
	checkText(&faults, "change", s.Change, 3, 500, kept...)
	checkSteps(&faults, s.Steps, StepsOf(r.Lesions, r.Appendage))
	s.checkEvents(&faults, r)
	return faults
}

// checkEvents reports events that are agreed and corrected at once, or neither.
func (s Statement) checkEvents(faults *strict.Faults, r Record) {
	switch {
	case s.ComplicationsAgreed && s.Events != nil:
		faults.Add("events", "must be left out where the trainee's events are agreed")
	case s.ComplicationsAgreed:
	case s.Events == nil:
		faults.Add("events", "is required where the trainee's are not agreed: list what you know of; an empty list says none")
	case sameEvents(s.Events, r.Events):
		faults.Add("events", "are those of the trainee: agree, or list them as you know them")
	default:
		events := recordChecker{}
		events.events(s.Events)
		faults.Join("", events.Faults)
	}
}

// sameEvents reports whether two lists name the same events, in any order.
func sameEvents(a, b []string) bool {
	return slices.Equal(slices.Sorted(slices.Values(a)), slices.Sorted(slices.Values(b)))
}

func checkLevel(faults *strict.Faults, field string, level int) {
	if level < 1 || level > 5 {
		faults.Add(field, "must be 1 to 5, not %d", level)
	}
}

// SignOffCase signs a submitted case: the signature carries name, time and meaning (21 CFR 11.50) and is bound to the exact content by
// its hash (21 CFR 11.70). The role is computed anew from the steps the supervisor saw; the trainee's own account stays beside it.
// The next version of an amended case keeps the age of the memory where the judgement is the one given before.
// The caller gives the sign-off its id. The error is a named one or strict.Faults about the statement; the case is then unchanged.
func SignOffCase(c Case, by Signer, statement Statement, settings Settings, now time.Time, kept ...Override) (Case, SignOff, error) {
	if err := c.mustBe(ErrNotSubmitted, CaseSubmitted); err != nil {
		return c, SignOff{}, err
	}
	if err := c.mustBeSupervisedBy(by.ID); err != nil {
		return c, SignOff{}, err
	}
	period, err := ParsePeriod(c.Record.OperatedOn)
	if err != nil || !slices.ContainsFunc(by.Faculty, func(t Term) bool { return t.overlaps(period) }) {
		return c, SignOff{}, ErrNotFacultyThen
	}
	if c.Computed == nil || c.ContentHash != ContentHash(c.Record) {
		return c, SignOff{}, ErrContentChanged
	}
	if faults := statement.Validate(c.Record, kept...); faults.Err() != nil {
		return c, SignOff{}, faults
	}
	role, reason := RoleOf(statement.Steps, settings.RoleRule)
	age := max(0, DayOf(now).DaysSince(latestDay(c.Record.OperatedOn, c.SubmittedAt)))
	if by.Before != nil && statement.asBefore(by.Before.Statement) {
		age = min(age, by.Before.AgeDays)
	}
	signed := SignOff{
		Case: c.ID, CaseVersion: c.Version, ContentHash: c.ContentHash, Assessor: by.ID, AssessorName: by.Name, Meaning: SignOffMeaning,
		Statement: statement, Role: role, RoleReason: reason, RoleClaimed: c.Computed.Role,
		AgeDays: age, LateRecall: age > settings.LateRecallDays, SignedAt: instant(now), ProvedAt: instant(by.ProvedAt),
	}
	c.Status, c.SignedVersion = CaseSignedOff, c.Version
	return c.touched(now), signed, nil
}
