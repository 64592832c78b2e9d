package competency

import "isthmus/competency/curve"

// chartTally runs a learning curve: it learns until it declares adequate, then watches for an alarm; after an alarm it learns anew.
type chartTally struct {
	r                 *Requirement
	learning, watch   curve.Weights
	limits            chartDesign
	value             float64 // after the last case, before a signal sets it back
	signalled         bool    // by the last case
	watching          bool    // from the next case on
	n                 int
	declared, alarmed int // the numbers of the latest cases that did so, 0 for none
}

// newChartTally is nil-safe: with rates that Validate refuses the weights are zero and nothing is ever declared.
func newChartTally(r *Requirement) *chartTally {
	t := &chartTally{r: r, limits: r.design()}
	t.learning, _ = curve.Learning(r.AcceptableRate, r.InadequateRate-r.AcceptableRate)
	t.watch, _ = curve.Worsening(r.AcceptableRate, r.InadequateRate)
	return t
}

func (t *chartTally) reset() {
	t.value, t.signalled, t.watching, t.n, t.declared, t.alarmed = 0, false, false, 0, 0, 0
}

func (t *chartTally) add(c *seenCase) { t.step(!t.r.good(&c.SignedCase)) }

// step takes one outcome and gives its point on the chart, without the case.
func (t *chartTally) step(failure bool) ChartPoint {
	if t.signalled {
		t.value = 0
	}
	weights, limit := t.learning, t.limits.Adequate.Limit
	if t.watching {
		weights, limit = t.watch, t.limits.Alarm.Limit
	}
	t.n++
	t.value = max(0, t.value+weights.Of(failure))
	t.signalled = limit > 0 && t.value >= limit
	point := ChartPoint{N: t.n, Failure: failure, Watching: t.watching, Value: rounded(t.value), Signal: t.signalled}
	if t.signalled {
		if t.watching {
			t.alarmed = t.n
		} else {
			t.declared = t.n
		}
		t.watching = !t.watching
	}
	return point
}

// state: met while declared adequate without an alarm since; lapsed after an alarm until declared again; before the first declaration
// on course at half of the limit or more, short below, not enough data with fewer than five cases.
func (t *chartTally) state(int, bool) State {
	switch {
	case t.watching:
		return Met
	case t.alarmed > 0:
		return Lapsed
	case t.n < fewestForShare:
		return NotEnoughData
	case 2*rounded(t.value) >= rounded(t.limits.Adequate.Limit):
		return OnCourse
	}
	return Short
}
