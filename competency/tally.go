package competency

// tally is the judgement of one requirement over the cases its filter lets through, fed in order of operation. Stand and Judge ask the
// same tallies: what a simulation tries is what trainees are judged by.
type tally interface {
	add(c *seenCase)
	state(on int, anySigned bool) State // on is a day counted as seenCase.at is; anySigned: some case at all is signed off by then
	reset()
}

// tally is the requirement's own; nil for the kinds whose evidence is more than signed cases.
func (r *Requirement) tally() tally {
	switch r.Kind {
	case KindCount:
		return &countTally{target: r.AtLeast}
	case KindRecency:
		return &recencyTally{within: r.WithinDays, latest: make([]int, 0, r.AtLeast), target: r.AtLeast}
	case KindLevel, KindCompleteness:
		return newShareTally(r)
	case KindCurve:
		return newChartTally(r)
	}
	return nil
}

// countTally counts.
type countTally struct{ target, n int }

func (t *countTally) add(*seenCase) { t.n++ }
func (t *countTally) reset()        { t.n = 0 }

func (t *countTally) state(_ int, anySigned bool) State { return countState(t.n, t.target, anySigned) }

// recencyTally remembers the days of the latest cases, as many as are asked for.
type recencyTally struct {
	target, within, n int
	latest            []int // oldest first
}

func (t *recencyTally) add(c *seenCase) {
	t.n++
	if len(t.latest) == t.target {
		copy(t.latest, t.latest[1:])
		t.latest = t.latest[:t.target-1]
	}
	t.latest = append(t.latest, c.at)
}

func (t *recencyTally) reset() { t.n, t.latest = 0, t.latest[:0] }

// recent counts the cases within the days, as far as the target.
func (t *recencyTally) recent(on int) int {
	n := 0
	for _, day := range t.latest {
		if on-day <= t.within {
			n++
		}
	}
	return n
}

// state is lapsed for who once had enough cases and no longer has them so recently.
func (t *recencyTally) state(on int, anySigned bool) State {
	state := countState(t.recent(on), t.target, anySigned)
	if state != Met && t.n >= t.target {
		return Lapsed
	}
	return state
}
