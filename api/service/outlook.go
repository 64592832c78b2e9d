package service

import (
	"context"

	"isthmus/competency"
	"isthmus/policies"
)

// StandingDifference is what changed in one trainee's standing between two days.
type StandingDifference struct {
	Trainee PersonRef `json:"trainee"`
	competency.Difference
	Hindsight []string `json:"hindsight"` // what the earlier day knows only as it is today
}

// lookAhead adds to the answer what may come of the standing: on a past day without what waits today, and with what that day cannot know.
func (h *scene) lookAhead(answer *TraineeStanding, j judgement, on competency.Day) {
	evidence := j.evidence
	if on < h.today {
		answer.Hindsight = competency.Hindsight(evidence, on)
		evidence.Pending = nil
	}
	answer.Outlook = competency.LookAhead(j.standard, evidence, on)
}

// DifferenceOf tells what changed in a trainee's standing from one day (a quarter of a year before when empty) to a later one (today when empty), each judged by the standard that
// applied on it. The error is ErrNotFound for who is no trainee of the programme, ErrNoStandard, strict.Faults about the days, or ErrForbidden.
func (s *Service) DifferenceOf(ctx context.Context, actor Actor, programme competency.ProgrammeID, trainee competency.PersonID, from, to string) (StandingDifference, error) {
	var answer StandingDifference
	err := s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.mayTrainee(policies.Standing, policies.Read, trainee); err != nil {
			return err
		}
		first, last, err := h.daysBetween(from, to)
		if err != nil {
			return err
		}
		before, err := h.judge(trainee, first)
		if err != nil {
			return err
		}
		after, err := h.judge(trainee, last)
		if err != nil {
			return err
		}
		answer = StandingDifference{Difference: competency.Between(before.standing, after.standing), Hindsight: competency.Hindsight(before.evidence, first)}
		answer.Trainee, err = h.personRef(trainee)
		return err
	})
	return answer, err
}

// usualStretch is how many days a difference spans when nobody says: about a quarter of a year.
const usualStretch = 91

// daysBetween reads two days, the earlier one first and neither in the future. The error is strict.Faults.
func (h *scene) daysBetween(from, to string) (first, last competency.Day, err error) {
	if last = h.today; to != "" {
		if last, err = competency.ParseDay(to); err != nil {
			return "", "", fault("to", "%v", err)
		}
	}
	if first = last.Add(-usualStretch); from != "" {
		if first, err = competency.ParseDay(from); err != nil {
			return "", "", fault("from", "%v", err)
		}
	}
	switch {
	case last > h.today:
		return "", "", fault("to", "%s is in the future: a standing rests on what is on record", last)
	case first >= last:
		return "", "", fault("from", "must be before %s: choose an earlier day", last)
	}
	return first, last, nil
}
