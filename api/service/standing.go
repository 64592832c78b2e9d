package service

import (
	"context"
	"slices"

	"isthmus/competency"
	"isthmus/policies"
)

// TraineeStanding is one trainee's standing with what is still on its way.
type TraineeStanding struct {
	Trainee  PersonRef           `json:"trainee"`
	Standing competency.Standing `json:"standing"`
	Waiting  Waiting             `json:"waiting"`
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

// StandingOf computes a trainee's standing on a day (today when empty) against the standard that applied when the trainee joined. The
// error is ErrNotFound for who is no trainee of the programme, ErrNoStandard, strict.Faults about the day, or ErrForbidden.
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
		answer = TraineeStanding{Standing: j.standing, Waiting: waitingIn(j.evidence)}
		answer.Trainee, err = h.personRef(trainee)
		return err
	})
	return answer, err
}

// judgement is one trainee judged on a day, with what it rests on.
type judgement struct {
	standard competency.Standard
	evidence competency.Evidence
	standing competency.Standing
}

// judge judges a trainee by the standard that applied when they joined. The error is ErrNotFound for who never was a trainee, or ErrNoStandard.
func (h *scene) judge(trainee competency.PersonID, on competency.Day) (j judgement, err error) {
	since, err := h.traineeSince(trainee)
	if err != nil {
		return j, err
	}
	standards, err := h.standards()
	if err != nil {
		return j, err
	}
	if j.standard, err = standards.at(since); err != nil {
		return j, err
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

// datedStandard is a standard and the day from which it applies to who joins.
type datedStandard struct {
	from competency.Day
	competency.Standard
}

// timeline is a programme's standards by the day each came into force, then by version.
type timeline []datedStandard

// standards reads every standard of the programme.
func (h *scene) standards() (timeline, error) {
	rows, err := h.tx.Standards(h.programme.ID)
	if err != nil {
		return nil, err
	}
	line := make(timeline, len(rows))
	for i, row := range rows {
		standard, err := decodeStored(row)
		if err != nil {
			return nil, err
		}
		line[i] = datedStandard{row.InForceFrom, standard}
	}
	slices.SortFunc(line, func(a, b datedStandard) int {
		if a.from != b.from {
			return compareDays(a.from, b.from)
		}
		return a.Version - b.Version
	})
	return line, nil
}

// at is the standard in force on a day, or the first one after it; ErrNoStandard when there is none.
func (line timeline) at(day competency.Day) (competency.Standard, error) {
	if len(line) == 0 {
		return competency.Standard{}, ErrNoStandard
	}
	found := line[0]
	for _, standard := range line {
		if standard.from <= day {
			found = standard
		}
	}
	return found.Standard, nil
}

func compareDays(a, b competency.Day) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}
