package competency

import (
	"fmt"
	"math"

	"isthmus/competency/interval"
)

// fewestForShare is the number of rated cases below which a share is not put in words: even with 5 cases the 90 % interval can span
// more than half of the scale. Common practice, no source.
const fewestForShare = 5

// judgeLevel looks at the last so many cases by operation day. Met: the window is full, the share is reached, and so are the lower
// limit and the number of assessors where they are asked for. On course: the share is reached, but the window is not full, or the
// limit or the assessors are wanting. Short: the share is not reached. Not enough data: fewer than five cases in the window, or than
// the window holds.
func (v view) judgeLevel(r Requirement, s *RequirementStanding) {
	chosen := v.choose(r.Filter, s)
	if r.LeaveOutLateRecall {
		chosen = s.leaveOutLateRecall(chosen)
	}
	for len(chosen) > r.Last {
		s.leaveOut(string(chosen[0].ID), fmt.Sprintf("older than the last %d", r.Last))
		chosen = chosen[1:]
	}
	s.use(chosen)
	v.judgeShare(shareTally{r, r.good(chosen), assessors(chosen)}, s)
}

// judgeCompleteness looks at the last so many cases by operation day: a case counts when every intended line is complete and block was
// tested. The states are those of judgeLevel.
func (v view) judgeCompleteness(r Requirement, s *RequirementStanding) {
	chosen := v.choose(r.Filter, s)
	for len(chosen) > r.Last {
		s.leaveOut(string(chosen[0].ID), fmt.Sprintf("older than the last %d", r.Last))
		chosen = chosen[1:]
	}
	s.use(chosen)
	v.judgeShare(shareTally{r: r, good: r.good(chosen), assessors: assessors(chosen)}, s)
}

// judgeShare puts the tally of a window into the standing.
func (v view) judgeShare(tally shareTally, s *RequirementStanding) {
	s.State = tally.state()
	s.Explanation = fmt.Sprintf("No rated case%s by %s.", tally.r.Filter.words(), v.on)
	if n := len(tally.good); n > 0 {
		s.Value = float64(tally.successes()) / float64(n)
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

// good marks the cases that are a success: at the level or above, or with every line complete and block tested.
func (r Requirement) good(chosen []seenCase) []bool {
	marks := make([]bool, len(chosen))
	for i, c := range chosen {
		switch {
		case r.Kind == KindCompleteness || r.Scale == ScaleComplete:
			marks[i] = c.LinesComplete && c.BlockTested
		case r.Scale == ScaleSupervisionNext:
			marks[i] = c.SupervisionNext >= r.Level
		default:
			marks[i] = c.HelpGiven >= r.Level
		}
	}
	return marks
}

// assessors counts the different people who rated the cases.
func assessors(chosen []seenCase) int {
	seen := map[PersonID]bool{}
	for _, c := range chosen {
		seen[c.Assessor] = true
	}
	return len(seen)
}

// shareTally is the window of a requirement for a share of cases, oldest first.
type shareTally struct {
	r         Requirement
	good      []bool
	assessors int
}

func (t shareTally) successes() int {
	n := 0
	for _, good := range t.good {
		if good {
			n++
		}
	}
	return n
}

// confidence is the level of the interval shown; 0.90 where the standard names none.
func (t shareTally) confidence() float64 {
	if t.r.Confidence > 0 {
		return t.r.Confidence
	}
	return 0.90
}

// interval is the two-sided Wilson interval of the share; nil for an empty window.
func (t shareTally) interval() *Interval {
	p, err := interval.Wilson(t.successes(), len(t.good), t.confidence())
	if err != nil {
		return nil
	}
	return &Interval{Low: rounded(p.Low), High: rounded(p.High), Level: p.Level, Method: p.Method}
}

// shareReached compares whole cases, with the guard of 1e-9 that keeps 0.8 x 15 from asking for 13.
func (t shareTally) shareReached() bool {
	return t.successes() >= int(math.Ceil(t.r.Share*float64(len(t.good))-1e-9))
}

// boundReached compares the lower limit of the two-sided Wilson interval with the standard's bound.
func (t shareTally) boundReached() bool {
	if t.r.LowerBound == 0 {
		return true
	}
	p, err := interval.Wilson(t.successes(), len(t.good), t.confidence())
	return err == nil && p.Low >= t.r.LowerBound
}

func (t shareTally) full() bool { return len(t.good) >= t.r.Last }

func (t shareTally) state() State {
	switch {
	case len(t.good) < min(fewestForShare, t.r.Last):
		return NotEnoughData
	case !t.shareReached():
		return Short
	case t.full() && t.boundReached() && t.assessors >= t.r.Assessors:
		return Met
	}
	return OnCourse
}

func (t shareTally) explain(i *Interval) string {
	n := len(t.good)
	text := fmt.Sprintf("%s in %d of %s (%s; %s interval %s to %s), rated by %s.", t.r.hitWords(), t.successes(), cases(n),
		percent(rounded(float64(t.successes())/float64(n))), percent(i.Level), percent(i.Low), percent(i.High), plural(t.assessors, "assessor"))
	if t.assessors < t.r.Assessors {
		text += fmt.Sprintf(" %d assessors are asked for.", t.r.Assessors)
	}
	if !t.boundReached() {
		text += fmt.Sprintf(" The lower limit is to reach %s.", percent(t.r.LowerBound))
	}
	return text
}

// next finds how many further good cases, each pushing the oldest out of a full window, would reach everything but the assessors.
func (t shareTally) next() string {
	ahead := shareTally{r: t.r, good: append([]bool(nil), t.good...)}
	more := 0
	for ; more <= t.r.Last && !(ahead.full() && ahead.shareReached() && ahead.boundReached()); more++ {
		ahead.good = append(ahead.good, true)
		if len(ahead.good) > t.r.Last {
			ahead.good = ahead.good[1:]
		}
	}
	wanting := t.r.Assessors - t.assessors
	switch {
	case more == 0 && wanting > 0:
		return fmt.Sprintf("Ratings by %s who have not rated this trainee lately.", plural(wanting, "more assessor"))
	case wanting > 0:
		return fmt.Sprintf("%s%s %s, among them some by %s.", moreCases(more), t.r.Filter.words(), t.r.wantedWords(), plural(wanting, "more assessor"))
	}
	return fmt.Sprintf("%s%s %s.", moreCases(more), t.r.Filter.words(), t.r.wantedWords())
}
