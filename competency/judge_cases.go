package competency

import (
	"fmt"
	"slices"
)

// judgeCount: met at the target; on course at half of it or more; short below; not enough data while nothing at all is signed off.
func (v view) judgeCount(r Requirement, s *RequirementStanding) {
	chosen := v.choose(r.Filter, s)
	s.use(chosen)
	n := len(chosen)
	s.Value = float64(n)
	s.State = countState(n, r.AtLeast, v.anySigned())
	s.Explanation = fmt.Sprintf("%s%s on record by %s; %d asked for.", cases(n), r.Filter.words(), v.on, r.AtLeast)
	if missing := r.AtLeast - n; missing > 0 {
		s.Next = v.andWaiting(fmt.Sprintf("%s%s.", moreCases(missing), r.Filter.words()))
	}
}

// countState is the rule for a number of cases against a target.
func countState(n, target int, anySigned bool) State {
	switch {
	case n >= target:
		return Met
	case !anySigned:
		return NotEnoughData
	case 2*n >= target:
		return OnCourse
	}
	return Short
}

// anySigned reports whether any case at all was signed off by the day.
func (v view) anySigned() bool {
	return slices.ContainsFunc(v.cases, func(c seenCase) bool { return v.whyNot(Filter{}, c) == "" })
}

// judgeRecency: met with enough cases within the days; lapsed when the trainee once had as many and no longer has them so recently;
// before that on course at half or more, short below, not enough data while nothing at all is signed off.
func (v view) judgeRecency(r Requirement, s *RequirementStanding) {
	chosen := v.choose(r.Filter, s)
	recent := slices.DeleteFunc(slices.Clone(chosen), func(c seenCase) bool {
		old := v.on.ordinal()-c.at > r.WithinDays
		if old {
			s.leaveOut(string(c.ID), outsideWindow(r.WithinDays))
		}
		return old
	})
	s.use(recent)
	n := len(recent)
	s.Value = float64(n)
	s.Explanation = fmt.Sprintf("%s%s operated within the %d days before %s; %d asked for.", cases(n), r.Filter.words(), r.WithinDays, v.on, r.AtLeast)
	tally := r.tally()
	for i := range chosen {
		tally.add(&chosen[i])
	}
	switch s.State = tally.state(v.on.ordinal(), v.anySigned()); s.State {
	case Met:
		holds := recent[n-r.AtLeast].day.Add(r.WithinDays)
		s.Explanation += fmt.Sprintf(" Without a further case it lapses after %s.", holds)
		return
	case Lapsed:
		s.Explanation += fmt.Sprintf(" The latest was on %s.", chosen[len(chosen)-1].OperatedOn)
	}
	s.Next = v.andWaiting(fmt.Sprintf("%s%s.", moreCases(r.AtLeast-n), r.Filter.words()))
}
