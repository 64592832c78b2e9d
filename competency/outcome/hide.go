package outcome

import (
	"math"
	"slices"

	"isthmus/competency/survival"
)

// Hiding: what leaves the programme names no case, and no count of 1 to one below the limit can be read or worked out from it. A count is
// told only where it, and what is left of its whole, is 0 or reaches the limit, and so is what the hidden rows of a list come to. Two answers
// narrowed differently can still be compared by whoever has both: that is for people to mind.

// small reports whether a count of a whole must not be told.
func small(count, whole, limit int) bool {
	hidden := func(n int) bool { return n > 0 && n < limit }
	return hidden(whole) || hidden(count) || hidden(whole-count)
}

// hideRows hides the rows of which a count is small. What is hidden together is the whole less what is shown, so it must leave a doubt: while
// it is one row, or one of its counts together is small, the next row of the list is hidden too; by place and not by size, so that who knows
// the rule learns nothing from it. counts gives a row's counts, each with the whole it is of.
func hideRows[T any](rows []T, counts func(T) [][2]int, limit int, hide func(*T)) {
	hidden, covered, last := make([]bool, len(rows)), 0, 0
	var gone []int // by count
	add := func(i int) {
		hidden[i], covered, last = true, covered+1, i
		for k, of := range counts(rows[i]) {
			if k == len(gone) {
				gone = append(gone, 0)
			}
			gone[k] += of[0]
		}
	}
	for i, row := range rows {
		if slices.ContainsFunc(counts(row), func(of [2]int) bool { return small(of[0], of[1], limit) }) {
			add(i)
		}
	}
	doubtless := func() bool {
		return covered == 1 || slices.ContainsFunc(gone, func(n int) bool { return n > 0 && n < limit })
	}
	for covered > 0 && covered < len(rows) && doubtless() {
		for last = (last + 1) % len(rows); hidden[last]; {
			last = (last + 1) % len(rows)
		}
		add(last)
	}
	for i := range rows {
		if hidden[i] {
			hide(&rows[i])
		}
	}
}

// smallSays stands for a sentence that would tell small numbers, hiddenWords for what was said of a small row.
const smallSays = "Small numbers are hidden."

const hiddenWords = "Hidden: too small a number to leave the programme."

// HideCompleteness hides small rows and the cases behind all.
func HideCompleteness(rows []Completeness, limit int) {
	hideRows(rows[1:], func(c Completeness) [][2]int {
		return [][2]int{{c.Due, c.Due}, {c.Done, c.Due}, {c.Due - c.Done, c.Due}}
	}, limit,
		func(c *Completeness) { *c = Completeness{Month: c.Month, Hidden: true, Says: hiddenWords} })
	if small(rows[0].Done, rows[0].Due, limit) {
		rows[0] = Completeness{Hidden: true, Says: hiddenWords}
	}
	for i := range rows {
		rows[i].Cases, rows[i].Missing = nil, nil
	}
}

// Hide hides small groups, ends the others' curves where fewer than the limit are still followed, and names no case.
func (f *Freedom) Hide(limit, month int) {
	hideRows(f.Groups, func(g Free) [][2]int {
		return [][2]int{{g.N, g.N}, {g.Events, g.N}, {g.OnDrug, g.Events}, {g.Unknown, g.Unknown}}
	}, limit,
		func(g *Free) { *g = Free{ID: g.ID, Hidden: true, Refused: hiddenWords} })
	hidden, shown := false, false
	for i := range f.Groups {
		g := &f.Groups[i]
		hidden = hidden || g.Hidden
		g.Cases, g.Failed, g.Without = nil, nil, nil
		g.least = limit
		until := g.Until()
		g.Curve.Steps = together(g.Curve.Steps, limit, until, func(s survival.Step) (float64, int) { return s.Time, s.Events })
		g.At = g.At.within(g.N, limit)
		shown = shown || g.At != nil
	}
	if hidden || f.Test == nil {
		f.Test, f.Refused = nil, "No comparison: numbers are too small, or too small to leave the programme."
	}
	if f.Says = smallSays; shown {
		f.Says = f.sentence(month)
	}
}

// within is a figure that may leave the programme; nil when it may not.
func (a *At) within(n, limit int) *At {
	if a == nil || small(a.AtRisk, n, limit) {
		return nil
	}
	told := *a
	told.Earliest = nil
	return &told
}

// together keeps the steps up to a time at which enough events have come together since the one kept before: a curve of them is right at each
// step, and lags between.
func together[S any](steps []S, limit int, until float64, of func(S) (time float64, events int)) []S {
	var kept []S
	since := 0
	for _, s := range steps {
		time, events := of(s)
		if since += events; time <= until && since >= limit {
			kept, since = append(kept, s), 0
		}
	}
	return kept
}

// LagRule says in words what together does.
const LagRule = "Small numbers are hidden: a step is drawn once enough events have come together since the one before, and rows end where few leave."

// Hide does the same for pacemakers.
func (p *Pacemakers) Hide(limit int) {
	hideRows(p.Groups, func(g Paced) [][2]int { return [][2]int{{g.N, g.N}, {g.Events, g.N}, {g.Deaths, g.N}} }, limit,
		func(g *Paced) { *g = Paced{ID: g.ID, Hidden: true, Refused: hiddenWords} })
	p.Says = smallSays
	for i := range p.Groups {
		g := &p.Groups[i]
		g.Cases, g.Failed = nil, nil
		g.least = limit
		until := g.Until()
		g.Steps = together(g.Steps, limit, until, func(s survival.Incidence) (float64, int) { return s.Time, s.Events })
		g.At = g.At.within(g.N, limit)
	}
}

// Hide hides small units and names no case. All of them together stay as the target, unless they are small themselves.
func (u *Units) Hide(limit int) {
	n, free := 0, 0
	for _, row := range u.Rows {
		n, free = n+row.N, free+row.Free
	}
	if small(free, n, limit) || u.Refused != "" {
		*u = Units{By: u.By, Month: u.Month, Rows: []Unit{}, Limits: u.Limits, Refused: hiddenWords, Says: hiddenWords}
	}
	hideRows(u.Rows, func(r Unit) [][2]int { return [][2]int{{r.N, r.Due}, {r.Free, r.N}, {r.N - r.Free, r.N}} }, limit,
		func(r *Unit) { *r = Unit{ID: r.ID, Name: r.Name, Hidden: true} })
	for i := range u.Rows {
		u.Rows[i].Cases, u.Rows[i].Failed = nil, nil
	}
	if u.Refused == "" {
		u.Says = smallSays
	}
}

// Hide leaves the sums and names no case: every step of the way is one.
func (r *Running) Hide(limit int) {
	r.Steps, r.Says = nil, "The way from operation to operation stays within the programme."
	if small(r.Observed, r.N, limit) || r.Refused != "" {
		*r = Running{Month: r.Month, Refused: hiddenWords, Says: hiddenWords}
	}
}

// lastWith is the latest time at which so many are still followed; below 0 when never.
func lastWith(subjects []survival.Subject, limit int) float64 {
	times := make([]float64, len(subjects))
	for i, s := range subjects {
		times[i] = s.Time
	}
	slices.Sort(times)
	if len(times) < limit {
		return math.Inf(-1)
	}
	return times[len(times)-limit]
}
