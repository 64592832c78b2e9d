package competency

import (
	"errors"
	"strings"
	"time"
	"unicode/utf8"

	"isthmus/assessment/strict"
)

// What a case's life refuses; compare with errors.Is.
var (
	ErrNotDraft         = errors.New("only a draft or a returned case can be changed or submitted")
	ErrNotSubmitted     = errors.New("the case is not waiting for sign-off")
	ErrAlreadySignedOff = errors.New("the case is signed off: to change it, open an amendment with the reason")
	ErrWithdrawn        = errors.New("the case is withdrawn")
	ErrReasonMissing    = errors.New("a reason is required")
	ErrSelfSignOff      = errors.New("nobody can return or sign off a case of their own")
	ErrNotSupervisor    = errors.New("only the supervisor named in the case can return it or sign it off")
	ErrNotFacultyThen   = errors.New("the supervisor was not a faculty member of the programme at the operation date")
	ErrProofNeeded      = errors.New("prove who you are again before you sign: your last proof is older than the programme's limit")
	ErrContentChanged   = errors.New("the record does not match the hash it was submitted under")
)

// NewCase starts a draft. The record may be unfinished; what is there must be valid (the error is strict.Faults).
func NewCase(id CaseID, programme ProgrammeID, trainee PersonID, record Record, settings Settings, now time.Time, kept ...Override) (Case, error) {
	now = instant(now)
	if faults := record.ValidateDraft(settings, DayOf(now), kept...); faults.Err() != nil {
		return Case{}, faults
	}
	return Case{
		ID: id, Programme: programme, Trainee: trainee, Status: CaseDraft, Record: record.normal(), CreatedAt: now, UpdatedAt: now, Revision: 1,
	}, nil
}

// EditDraft replaces the record of a draft or of a returned case, which stays returned until it is submitted again. An amendment keeps its
// supervisor: the same one signs the next version. The error is a named one or strict.Faults; the case is then unchanged.
func EditDraft(c Case, record Record, settings Settings, now time.Time, kept ...Override) (Case, error) {
	if err := c.mustBe(ErrNotDraft, CaseDraft, CaseReturned); err != nil {
		return c, err
	}
	if faults := record.ValidateDraft(settings, DayOf(now), kept...); faults.Err() != nil {
		return c, faults
	}
	if c.SignedVersion > 0 && record.Supervisor != c.Record.Supervisor {
		var faults strict.Faults
		faults.Add("supervisor", "stays who signed the version before: an amendment is signed by the same supervisor")
		return c, faults
	}
	c.Record, c.Computed, c.ContentHash = record.normal(), nil, ""
	return c.touched(now), nil
}

// Submit closes a draft or a returned case as its next version, bound by its content hash, and hands it to the supervisor. The error
// is a named one or strict.Faults about the record, which must now be complete.
func Submit(c Case, computed Computed, settings Settings, now time.Time, kept ...Override) (Case, error) {
	if err := c.mustBe(ErrNotDraft, CaseDraft, CaseReturned); err != nil {
		return c, err
	}
	if c.Record.Supervisor == c.Trainee {
		var faults strict.Faults
		faults.Add("supervisor", "nobody supervises themselves: name the faculty member who did")
		return c, faults
	}
	if faults := c.Record.Validate(settings, DayOf(now), kept...); faults.Err() != nil {
		return c, faults
	}
	c.Record = c.Record.normal()
	c.Version, c.LastVersion = max(c.Version, c.LastVersion)+1, 0
	c.Status, c.Computed, c.ContentHash, c.SubmittedAt = CaseSubmitted, &computed, ContentHash(c.Record), instant(now)
	return c.touched(now), nil
}

// Return hands a submitted case back to the trainee with the reason. Only the named supervisor can.
func Return(c Case, by PersonID, reason string, now time.Time, kept ...Override) (Case, error) {
	if err := c.mustBe(ErrNotSubmitted, CaseSubmitted); err != nil {
		return c, err
	}
	if err := c.mustBeSupervisedBy(by); err != nil {
		return c, err
	}
	if err := CheckReason(reason, kept...); err != nil {
		return c, err
	}
	c.Status = CaseReturned
	return c.touched(now), nil
}

// Withdraw takes a case out of the evidence with the reason; the record, its versions and its sign-offs stay. Who may is the
// business of the policies.
func Withdraw(c Case, reason string, now time.Time, kept ...Override) (Case, error) {
	if c.Status == CaseWithdrawn {
		return c, ErrWithdrawn
	}
	if err := CheckReason(reason, kept...); err != nil {
		return c, err
	}
	c.Status = CaseWithdrawn
	return c.touched(now), nil
}

// CheckReason accepts a reason of 3 to 500 characters without identifiers of a patient. The error is ErrReasonMissing or strict.Faults.
func CheckReason(reason string, kept ...Override) error {
	if strings.TrimSpace(reason) == "" {
		return ErrReasonMissing
	}
	var faults strict.Faults
	checkText(&faults, "reason", reason, 3, 500, kept...)
	return faults.Err()
}

// checkText reports a text that is too short, too long or names a patient other than in words that are kept.
func checkText(faults *strict.Faults, field, text string, least, most int, kept ...Override) {
	length := utf8.RuneCountInString(strings.TrimSpace(text))
	switch {
	case length < least:
		faults.Add(field, "must be at least %d characters: say it in a few words", least)
	case length > most:
		faults.Add(field, "must be at most %d characters, not %d", most, length)
	}
	faults.Join("", Screen(field, text, kept...))
}

// mustBe gives the error that says why the case is in none of the wanted states; otherwise when nothing more exact fits.
func (c Case) mustBe(otherwise error, wanted ...CaseStatus) error {
	for _, status := range wanted {
		if c.Status == status {
			return nil
		}
	}
	switch c.Status {
	case CaseSignedOff:
		return ErrAlreadySignedOff
	case CaseWithdrawn:
		return ErrWithdrawn
	}
	return otherwise
}

// mustBeSupervisedBy refuses everybody but the supervisor named in the record, the trainee first.
func (c Case) mustBeSupervisedBy(by PersonID) error {
	if by == c.Trainee {
		return ErrSelfSignOff
	}
	if by == "" || by != c.Record.Supervisor {
		return ErrNotSupervisor
	}
	return nil
}

// touched is the case after one more change.
func (c Case) touched(now time.Time) Case {
	c.UpdatedAt = instant(now)
	c.Revision++
	return c
}

// instant is a time as the program keeps it: UTC, microseconds.
func instant(at time.Time) time.Time { return at.UTC().Truncate(time.Microsecond) }
