package competency

import "fmt"

// fewestForShare is the number of rated cases below which a share is not put in words: even with 5 cases the 90 % interval can span
// more than half of the scale. Common practice, no source.
const fewestForShare = 5

// judgeLevel looks at the last so many cases by operation day. Met: the window is full, the share is reached, and so are the lower
// limit and the number of assessors where they are asked for. On course: the share is reached, but the window is not full, or the
// limit or the assessors are wanting. Short: the share is not reached. Not enough data: fewer than five cases in the window, or than
// the window holds. A completeness requirement is the same with another success: every intended line complete and block tested.
func (v view) judgeLevel(r Requirement, s *RequirementStanding) {
	chosen := v.choose(r.Filter, s)
	if r.LeaveOutLateRecall {
		chosen = s.leaveOutLateRecall(chosen)
	}
	chosen = s.lastOf(chosen, r.Last)
	s.use(chosen)
	tally := newShareTally(&r)
	for i := range chosen {
		tally.add(&chosen[i])
	}
	s.State = tally.state(v.on.ordinal(), true)
	s.Explanation = fmt.Sprintf("No rated case%s by %s.", r.Filter.words(), v.on)
	if n := len(chosen); n > 0 {
		s.Value = float64(tally.hits) / float64(n)
		s.Interval = tally.interval()
		s.Explanation = tally.explain(s.Interval)
	}
	s.Next = v.andWaiting(tally.next())
}

// leaveOutLateRecall drops the cases rated too long after the operation.
func (s *RequirementStanding) leaveOutLateRecall(chosen []seenCase) []seenCase {
	var kept []seenCase
	for _, c := range chosen {
		if c.LateRecall {
			s.leaveOut(string(c.ID), "late recall")
			continue
		}
		kept = append(kept, c)
	}
	return kept
}

// good says whether a case is a success: at the level or above, or with every line complete and block tested.
func (r *Requirement) good(c *SignedCase) bool {
	switch {
	case r.Kind == KindCompleteness || r.Scale == ScaleComplete:
		return c.LinesComplete && c.BlockTested
	case r.Scale == ScaleSupervisionNext:
		return c.SupervisionNext >= r.Level
	}
	return c.HelpGiven >= r.Level
}
