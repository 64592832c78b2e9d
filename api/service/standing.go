package service

import (
	"context"

	"isthmus/competency"
	"isthmus/policies"
)

// TraineeStanding is one trainee's standing with what is still on its way.
type TraineeStanding struct {
	Trainee  PersonRef           `json:"trainee"`
	Applied  AppliedStandard     `json:"applied"` // which version judges the trainee, and why
	Standing competency.Standing `json:"standing"`
	Waiting  Waiting             `json:"waiting"` // today, whatever the day of the standing

	Outlook   competency.Outlook `json:"outlook"`
	Hindsight []string           `json:"hindsight,omitempty"` // on a past day: what it knows only as it is today
}

// PersonRef names a person.
type PersonRef struct {
	ID   competency.PersonID `json:"id"`
	Name string              `json:"name"`
}

// Waiting counts the cases that are no evidence yet.
type Waiting struct {
	Submitted int `json:"submitted"` // wait for the supervisor
	Returned  int `json:"returned"`  // wait for the trainee
	Drafts    int `json:"drafts"`
}

// StandingOf computes a trainee's standing on a day (today when empty) against the standard that applied when the trainee joined, or
// the one they were moved to. The error is ErrNotFound for who is no trainee of the programme, ErrNoStandard, strict.Faults about the
// day, or ErrForbidden.
func (s *Service) StandingOf(ctx context.Context, actor Actor, programme competency.ProgrammeID, trainee competency.PersonID, on string) (TraineeStanding, error) {
	var answer TraineeStanding
	err := s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.mayTrainee(policies.Standing, policies.Read, trainee); err != nil {
			return err
		}
		day, err := h.dayOrToday(on)
		if err != nil {
			return err
		}
		j, err := h.judge(trainee, day)
		if err != nil {
			return err
		}
		answer = TraineeStanding{Applied: j.applied, Standing: j.standing, Waiting: waitingIn(j.evidence)}
		h.lookAhead(&answer, j, day)
		answer.Trainee, err = h.personRef(trainee)
		return err
	})
	return answer, err
}

// judgement is one trainee judged on a day, with what it rests on.
type judgement struct {
	standard competency.Standard
	applied  AppliedStandard
	evidence competency.Evidence
	standing competency.Standing
}

// judge judges a trainee by the standard that applies to them on the day. The error is ErrNotFound for who never was a trainee, or ErrNoStandard.
func (h *scene) judge(trainee competency.PersonID, on competency.Day) (j judgement, err error) {
	since, err := h.traineeSince(trainee)
	if err != nil {
		return j, err
	}
	standards, err := h.standards()
	if err != nil {
		return j, err
	}
	if j.standard, j.applied, err = standards.judging(trainee, since, on); err != nil {
		return j, err
	}
	if move := j.applied.Move; move != nil {
		if move.MovedByName, err = h.name(move.MovedBy); err != nil {
			return j, err
		}
	}
	if j.evidence, err = h.evidenceOf(trainee, j.standard, on); err != nil {
		return j, err
	}
	j.standing = competency.Stand(j.standard, j.evidence, on)
	return j, nil
}

// personRef names a person.
func (h *scene) personRef(id competency.PersonID) (PersonRef, error) {
	name, err := h.name(id)
	return PersonRef{ID: id, Name: name}, err
}

// traineeSince is the first day the person was a trainee of the programme; ErrNotFound for who never was.
func (h *scene) traineeSince(person competency.PersonID) (competency.Day, error) {
	terms, err := h.tx.Terms(h.programme.ID, person, string(policies.Trainee))
	if err != nil {
		return "", err
	}
	var since competency.Day
	for _, term := range terms {
		if since == "" || term.From < since {
			since = term.From
		}
	}
	if since == "" {
		return "", missing("trainee")
	}
	return since, nil
}

// waitingIn counts the pending cases by state.
func waitingIn(evidence competency.Evidence) Waiting {
	var waiting Waiting
	for _, pending := range evidence.Pending {
		switch pending.Status {
		case competency.CaseSubmitted:
			waiting.Submitted++
		case competency.CaseReturned:
			waiting.Returned++
		case competency.CaseDraft:
			waiting.Drafts++
		}
	}
	return waiting
}
