package competency

import (
	"errors"
	"time"
)

// What an amendment refuses; compare with errors.Is.
var (
	ErrNotSignedOff = errors.New("only a signed-off case can be amended")
	ErrNotParty     = errors.New("only the trainee and the supervisor of a case can amend it")
	ErrNoAmendment  = errors.New("no amendment of the case is open")
)

// SubmittedVersion is a case's record as it was submitted, with what was computed of it then.
type SubmittedVersion struct {
	Version     int
	Record      Record
	Computed    Computed
	ContentHash string
	SubmittedAt time.Time
}

// Amend opens a signed-off case for its next version, with the reason: as a draft when its trainee does, as returned when its supervisor
// asks for it. The signed version stays what counts until the same supervisor has signed the next one. The error is a named one or
// strict.Faults about the reason.
func Amend(c Case, by PersonID, reason string, now time.Time, kept ...Override) (Case, error) {
	if err := c.mustBe(ErrNotSignedOff, CaseSignedOff); err != nil {
		return c, err
	}
	if by == "" || by != c.Trainee && by != c.Record.Supervisor {
		return c, ErrNotParty
	}
	if err := CheckReason(reason, kept...); err != nil {
		return c, err
	}
	c.Status = CaseDraft
	if by != c.Trainee {
		c.Status = CaseReturned
	}
	return c.touched(now), nil
}

// Restore gives an amendment up, with the reason: the case is again as it was signed last. What was submitted meanwhile stays on record,
// and its number is not used again. The error is a named one or strict.Faults about the reason.
func Restore(c Case, signed SubmittedVersion, reason string, now time.Time, kept ...Override) (Case, error) {
	if c.Status == CaseWithdrawn {
		return c, ErrWithdrawn
	}
	if !c.Amending() || signed.Version != c.SignedVersion {
		return c, ErrNoAmendment
	}
	if err := CheckReason(reason, kept...); err != nil {
		return c, err
	}
	c = c.AsSigned(signed)
	c.Status = CaseSignedOff
	return c.touched(now), nil
}

// AsSigned is a case with the content of a version that was signed, its state as it is. That higher versions were submitted is remembered.
func (c Case) AsSigned(signed SubmittedVersion) Case {
	if highest := max(c.Version, c.LastVersion); highest > signed.Version {
		c.LastVersion = highest
	}
	computed := signed.Computed
	c.Version, c.Record, c.Computed, c.ContentHash, c.SubmittedAt = signed.Version, signed.Record, &computed, signed.ContentHash, signed.SubmittedAt
	return c
}

// Amending reports whether an amendment of a signed case is open: a draft, returned, or waiting for its signature.
func (c Case) Amending() bool {
	return c.SignedVersion > 0 && (c.Status == CaseDraft || c.Status == CaseReturned || c.Status == CaseSubmitted)
}

// asBefore reports whether a statement judges the operation as an earlier one did: both levels, and every step that both speak of.
func (s Statement) asBefore(before Statement) bool {
	if s.HelpGiven != before.HelpGiven || s.SupervisionNext != before.SupervisionNext {
		return false
	}
	said := map[string]Performer{}
	for _, step := range before.Steps {
		said[step.Step] = step.PerformedBy
	}
	for _, step := range s.Steps {
		if performer, known := said[step.Step]; known && performer != step.PerformedBy {
			return false
		}
	}
	return true
}

// casesOn is every case as it was signed last by the end of a day: one that was amended later, in its version of then. A case first signed
// after the day is there as it is now.
func (e Evidence) casesOn(on Day) []SignedCase {
	if len(e.Earlier) == 0 {
		return e.Cases
	}
	then := map[CaseID]SignedCase{}
	for _, c := range e.Earlier {
		if known, ok := then[c.ID]; DayOf(c.SignedAt) <= on && (!ok || c.SignedAt.After(known.SignedAt)) {
			then[c.ID] = c
		}
	}
	cases := make([]SignedCase, len(e.Cases))
	for i, c := range e.Cases {
		if earlier, ok := then[c.ID]; ok && DayOf(c.SignedAt) > on {
			c = earlier
		}
		cases[i] = c
	}
	return cases
}
