package competency

import (
	"fmt"
	"math"
	"slices"

	"isthmus/competency/interval"
)

// shareTally is the window of the last cases of a requirement for a share of them.
type shareTally struct {
	r     *Requirement
	marks []shareMark // a ring of r.Last; the oldest is at start once it is full
	start int
	hits  int
	panel []ratedBy
}

// shareMark is one case of the window.
type shareMark struct {
	good     bool
	assessor PersonID
}

// ratedBy counts the cases of the window that somebody rated.
type ratedBy struct {
	assessor PersonID
	cases    int
}

func newShareTally(r *Requirement) *shareTally {
	return &shareTally{r: r, marks: make([]shareMark, 0, r.Last)}
}

func (t *shareTally) reset() { t.marks, t.start, t.hits, t.panel = t.marks[:0], 0, 0, t.panel[:0] }

func (t *shareTally) add(c *seenCase) { t.push(shareMark{t.r.good(&c.SignedCase), c.Assessor}) }

// push adds a mark, which pushes the oldest out of a full window.
func (t *shareTally) push(m shareMark) {
	if t.full() {
		old := t.marks[t.start]
		t.count(old, -1)
		t.marks[t.start] = m
		t.start = (t.start + 1) % len(t.marks)
	} else {
		t.marks = append(t.marks, m)
	}
	t.count(m, 1)
}

// count adds a mark to the sums, or takes it out.
func (t *shareTally) count(m shareMark, by int) {
	if m.good {
		t.hits += by
	}
	for i := range t.panel {
		if t.panel[i].assessor == m.assessor {
			t.panel[i].cases += by
			return
		}
	}
	t.panel = append(t.panel, ratedBy{m.assessor, by})
}

// assessors counts the different people who rated the cases.
func (t *shareTally) assessors() int {
	n := 0
	for _, p := range t.panel {
		if p.cases > 0 {
			n++
		}
	}
	return n
}

// confidence is the level of the interval shown; 0.90 where the standard names none.
func (t *shareTally) confidence() float64 {
	if t.r.Confidence > 0 {
		return t.r.Confidence
	}
	return 0.90
}

// interval is the two-sided Wilson interval of the share; nil for an empty window.
func (t *shareTally) interval() *Interval {
	p, err := interval.Wilson(t.hits, len(t.marks), t.confidence())
	if err != nil {
		return nil
	}
	return &Interval{Low: rounded(p.Low), High: rounded(p.High), Level: p.Level, Method: p.Method}
}

// shareReached compares whole cases, with the guard of 1e-9 that keeps 0.8 x 15 from asking for 13.
func (t *shareTally) shareReached() bool {
	return t.hits >= int(math.Ceil(t.r.Share*float64(len(t.marks))-1e-9))
}

// boundReached compares the lower limit of the two-sided Wilson interval with the standard's bound.
func (t *shareTally) boundReached() bool {
	if t.r.LowerBound == 0 {
		return true
	}
	p, err := interval.Wilson(t.hits, len(t.marks), t.confidence())
	return err == nil && p.Low >= t.r.LowerBound
}

func (t *shareTally) full() bool { return len(t.marks) >= t.r.Last }

func (t *shareTally) state(int, bool) State {
	switch {
	case len(t.marks) < min(fewestForShare, t.r.Last):
		return NotEnoughData
	case !t.shareReached():
		return Short
	case t.full() && t.assessors() >= t.r.Assessors && t.boundReached():
		return Met
	}
	return OnCourse
}

func (t *shareTally) explain(i *Interval) string {
	n := len(t.marks)
	text := fmt.Sprintf("%s in %d of %s (%s; %s interval %s to %s), rated by %s.", t.r.hitWords(), t.hits, cases(n),
		percent(rounded(float64(t.hits)/float64(n))), percent(i.Level), percent(i.Low), percent(i.High), plural(t.assessors(), "assessor"))
	if t.assessors() < t.r.Assessors {
		text += fmt.Sprintf(" %d assessors are asked for.", t.r.Assessors)
	}
	if !t.boundReached() {
		text += fmt.Sprintf(" The lower limit is to reach %s.", percent(t.r.LowerBound))
	}
	return text
}

// next finds how many further good cases, each pushing the oldest out of a full window, would reach everything but the assessors.
func (t *shareTally) next() string {
	ahead := &shareTally{r: t.r, marks: append(make([]shareMark, 0, t.r.Last), t.marks...), start: t.start, hits: t.hits, panel: slices.Clone(t.panel)}
	more := 0
	for ; more <= t.r.Last && !(ahead.full() && ahead.shareReached() && ahead.boundReached()); more++ {
		ahead.push(shareMark{good: true})
	}
	wanting := t.r.Assessors - t.assessors()
	switch {
	case more == 0 && wanting > 0:
		return fmt.Sprintf("Ratings by %s who have not rated this trainee lately.", plural(wanting, "more assessor"))
	case wanting > 0:
		return fmt.Sprintf("%s%s %s, among them some by %s.", moreCases(more), t.r.Filter.words(), t.r.wantedWords(), plural(wanting, "more assessor"))
	}
	return fmt.Sprintf("%s%s %s.", moreCases(more), t.r.Filter.words(), t.r.wantedWords())
}
