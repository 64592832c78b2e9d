package outcome

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"isthmus/assessment/af"
	"isthmus/competency"
	"isthmus/competency/curve"
	"isthmus/competency/funnel"
)

// Units compares sites or supervising surgeons at one month: a funnel, and what happened against what the AF patterns lead one to expect.
type Units struct {
	By         By      `json:"by"`
	Month      int     `json:"month"`
	Target     float64 `json:"target"` // share free over all of them
	Rows       []Unit  `json:"rows"`
	Dispersion float64 `json:"dispersion,omitempty"` // phi: the mean square of the winsorised z
	Widened    bool    `json:"widened,omitempty"`    // limits are wider by its root
	Limits     string  `json:"limits"`               // the rule of the limits, by name
	Says       string  `json:"says"`
	Refused    string  `json:"refused,omitempty"`
	Remark     string  `json:"remark,omitempty"` // on over-dispersion
}

// Unit is one site or surgeon.
type Unit struct {
	ID       string              `json:"id"`
	Name     string              `json:"name"`
	Due      int                 `json:"due"`  // operations due for the month
	N        int                 `json:"n"`    // of these, known to be free or not
	Free     int                 `json:"free"` // off drugs where the rule asks for it
	Share    float64             `json:"share"`
	Z        float64             `json:"z"` // standard deviations from the target, after allowing for over-dispersion where that is done
	Place    string              `json:"place,omitempty"`
	Observed int                 `json:"observed"` // operations with an event
	Expected float64             `json:"expected"` // by AF pattern
	Less     float64             `json:"difference"`
	Ratio    float64             `json:"ratio"`
	Low      float64             `json:"low"` // of the ratio
	High     float64             `json:"high"`
	Cases    []competency.CaseID `json:"cases,omitempty"`
	Failed   []competency.CaseID `json:"failed,omitempty"`
	Hidden   bool                `json:"hidden,omitempty"`
}

// leastUnits is from how many units on over-dispersion is allowed for: of fewer, phi says little (common practice, no source).
const leastUnits = 10

// seen is an operation whose outcome at the month is known.
type seen struct {
	Course
	failed bool
	risk   float64 // of failing, by its AF pattern
}

// known gives the operations due for a month by a day whose outcome then is known. An event counts that stands for the month or an earlier
// one, freedom that stands for it or a later one; who died before without an event is left out.
func known(courses []Course, rule competency.FollowUpRule, month int, on competency.Day) (list []seen, due map[competency.CaseID]bool) {
	due = map[competency.CaseID]bool{}
	for _, c := range courses {
		if competency.DayOf(c.period.Last.Start().AddDate(0, month, 0)) > on {
			continue
		}
		due[c.Case] = true
		stands := rule.StandsFor(int(c.Freedom.Month))
		switch {
		case c.Freedom.Event != "" && stands <= month:
			list = append(list, seen{Course: c, failed: true})
		case c.Freedom.Known && stands >= month:
			list = append(list, seen{Course: c})
		}
	}
	return list, due
}

// addRisks gives every operation the share that failed among those of its AF pattern, half an event and one operation added so that none is
// 0 or 1. The expectation comes from the programme itself: it says how units differ, never how good all of them are.
func addRisks(list []seen) {
	failed, n := map[af.Pattern]float64{}, map[af.Pattern]float64{}
	for _, s := range list {
		n[s.Pattern]++
		if s.failed {
			failed[s.Pattern]++
		}
	}
	for i, s := range list {
		list[i].risk = (failed[s.Pattern] + 0.5) / (n[s.Pattern] + 1)
	}
}

// UnitsBy compares units at a month. names gives an id its name.
func UnitsBy(courses []Course, by By, rule competency.FollowUpRule, month int, on competency.Day, names func(string) string) Units {
	u := Units{By: by, Month: month, Rows: []Unit{}, Limits: LimitRule}
	list, due := known(courses, rule, month, on)
	addRisks(list)
	of, free := map[competency.CaseID]seen{}, 0
	for _, s := range list {
		of[s.Case] = s
		if !s.failed {
			free++
		}
	}
	if len(list) > 0 {
		u.Target = float64(free) / float64(len(list))
	}
	for _, g := range by.groups(courses) {
		if row, some := unitOf(g, of, due); some {
			row.Name = names(g.id)
			u.Rows = append(u.Rows, row)
		}
	}
	if u.Refused = refusedUnits(u.Rows, len(list), free, month); u.Refused != "" {
		u.Says = u.Refused
		return u
	}
	u.place()
	u.Says = fmt.Sprintf("%d of %d operations known at month %d were free (%s). %s", free, len(list), month, percent(u.Target), u.outside())
	return u
}

// unitOf counts one unit; false when none of its operations was due.
func unitOf(g group, of map[competency.CaseID]seen, due map[competency.CaseID]bool) (Unit, bool) {
	row := Unit{ID: g.id}
	var failures []bool
	var risks []float64
	for _, c := range g.courses {
		if !due[c.Case] {
			continue
		}
		row.Due++
		s, known := of[c.Case]
		if !known {
			continue
		}
		row.Cases, failures, risks = append(row.Cases, c.Case), append(failures, s.failed), append(risks, s.risk)
		if s.failed {
			row.Failed = append(row.Failed, c.Case)
		} else {
			row.Free++
		}
	}
	if row.N = len(row.Cases); row.N == 0 {
		return row, row.Due > 0
	}
	row.Share = rounded(float64(row.Free) / float64(row.N))
	if oe, err := curve.Compare(failures, risks, Level); err == nil {
		row.Observed, row.Expected, row.Less = oe.Observed, rounded(oe.Expected), rounded(float64(oe.Observed)-oe.Expected)
		row.Ratio, row.Low, row.High = rounded(oe.Ratio), rounded(oe.Low), rounded(oe.High)
	}
	return row, true
}

// refusedUnits says why units are not compared; empty when they are.
func refusedUnits(rows []Unit, n, free, month int) string {
	with := 0
	for _, row := range rows {
		if row.N > 0 {
			with++
		}
	}
	switch {
	case with < 2:
		return fmt.Sprintf("No comparison: fewer than two have an operation whose outcome at month %d is known.", month)
	case n < LeastCases:
		return fmt.Sprintf("No comparison: the outcome at month %d is known of %s, %d are needed (common practice, no source).", month, counted(n, "operation"), LeastCases)
	case n-free < LeastEvents || free < LeastEvents:
		return fmt.Sprintf("No comparison: %d free and %d not at month %d, %d of each are needed (common practice, no source).", free, n-free, month, LeastEvents)
	}
	return ""
}

// place says where each unit stands in the funnel.
func (u *Units) place() {
	var units []funnel.Unit
	var at []int
	for i, row := range u.Rows {
		if row.N > 0 {
			units, at = append(units, funnel.Unit{Events: row.Free, N: row.N}), append(at, i)
		}
	}
	places, phi, err := funnel.Overdispersed(units, u.Target)
	if err != nil {
		return
	}
	u.Dispersion, u.Widened = rounded(phi), phi > 1 && len(units) >= leastUnits
	for i, p := range places {
		row := &u.Rows[at[i]]
		row.Z = p.Z
		if u.Widened {
			row.Z = p.Adjusted
		}
		row.Place = u.placeOf(*row)
		row.Z = rounded(row.Z)
	}
	u.Remark = fmt.Sprintf("Over-dispersion: phi %.2f over %d. ", phi, len(units))
	switch {
	case u.Widened:
		u.Remark += "They differ by more than chance all together: the limits are wider by its root (Spiegelhalter 2005)."
	case phi > 1:
		u.Remark += fmt.Sprintf("The limits are not widened: of fewer than %d it says little (common practice, no source).", leastUnits)
	default:
		u.Remark += "They differ by no more than chance all together: the limits stay as they are."
	}
}

// LeastDrawn is from how many cases on a funnel is drawn: of one or two the interpolated limits may lie on one side of the target.
const LeastDrawn = 3

// LimitRule names how the limits are drawn and when a unit counts as outside.
const LimitRule = funnel.Rule + "; where even all or none free would be no surprise there is no limit on that side. " +
	"A point counts as outside only where a result so far out has less than that chance, exactly"

// Limit is a limit of the funnel for n cases within 0 and 1, wider where over-dispersion is allowed for. The interpolation alone would put
// a limit below 1 even where all n free is likely, so there it is 1; and 0 likewise.
func (u Units) Limit(n int, tail float64) (float64, error) {
	limit, err := funnel.Limit(u.Target, n, tail)
	switch {
	case err != nil:
		return 0, err
	case tail < 0.5 && math.Pow(1-u.Target, float64(n)) >= tail:
		return 0, nil
	case tail > 0.5 && math.Pow(u.Target, float64(n)) >= 1-tail:
		return 1, nil
	case u.Widened:
		limit = u.Target + (limit-u.Target)*math.Sqrt(u.Dispersion)
	}
	return min(max(limit, 0), 1), nil
}

// placeOf says where a unit stands; empty within the 95 % limits.
func (u Units) placeOf(row Unit) string {
	law := distuv.Binomial{N: float64(row.N), P: u.Target}
	chance := min(law.CDF(float64(row.Free)), 1-law.CDF(float64(row.Free-1))) // of a result so far out on its side
	if u.Widened {
		chance = distuv.UnitNormal.CDF(-math.Abs(row.Z))
	}
	switch {
	case chance < funnel.Outer:
		return "outside the 99.8 % limits"
	case chance < funnel.Inner:
		return "outside the 95 % limits"
	}
	return ""
}

// outside says in words who stands outside the inner limits.
func (u Units) outside() string {
	n := 0
	for _, row := range u.Rows {
		if row.Place != "" {
			n++
		}
	}
	switch n {
	case 0:
		return "All lie within the 95 % limits: chance alone can make them differ so."
	case 1:
		return "One lies outside the 95 % limits."
	}
	return fmt.Sprintf("%d lie outside the 95 %% limits.", n)
}

// Step is one operation in the running sum.
type Step struct {
	Case       competency.CaseID `json:"case"`
	OperatedOn string            `json:"operated_on"`
	Failed     bool              `json:"failed"`
	Risk       float64           `json:"risk"`
	Sum        float64           `json:"sum"`
}

// Running is what happened less what was expected, operation by operation.
type Running struct {
	Month    int     `json:"month"`
	N        int     `json:"n"`
	Observed int     `json:"observed"`
	Expected float64 `json:"expected"`
	Steps    []Step  `json:"steps,omitempty"`
	Says     string  `json:"says"`
	Refused  string  `json:"refused,omitempty"`
}

// ExpectedRule says in words where the expectation comes from.
const ExpectedRule = "Expected: for each operation the share with an event among the programme's own operations for the same AF pattern (half an event and one operation added). " +
	"It says when and where there were more or fewer than usual here, never whether the usual is good. Atrial size, age and everything else are not allowed for."

// RunningOf sums observed less expected over the operations in their order.
func RunningOf(courses []Course, rule competency.FollowUpRule, month int, on competency.Day) Running {
	list, _ := known(courses, rule, month, on)
	addRisks(list)
	r := Running{Month: month, N: len(list)}
	failures, risks := make([]bool, len(list)), make([]float64, len(list))
	for i, s := range list {
		failures[i], risks[i] = s.failed, s.risk
		if s.failed {
			r.Observed++
		}
	}
	switch {
	case r.N < LeastCases:
		r.Refused = fmt.Sprintf("The outcome at month %d is known of %s: %d are needed (common practice, no source).", month, counted(r.N, "operation"), LeastCases)
	case r.Observed < LeastEvents:
		r.Refused = fmt.Sprintf("%s by month %d: %d are needed (common practice, no source).", counted(r.Observed, "event"), month, LeastEvents)
	}
	oe, err := curve.Compare(failures, risks, Level)
	if r.Refused != "" || err != nil {
		r.Says = r.Refused
		return r
	}
	r.Expected = rounded(oe.Expected)
	highest, at := 0.0, 0
	for i, s := range list {
		r.Steps = append(r.Steps, Step{s.Case, s.OperatedOn, s.failed, rounded(s.risk), rounded(oe.Running[i])})
		if math.Abs(oe.Running[i]) > math.Abs(highest) {
			highest, at = oe.Running[i], i+1
		}
	}
	way := "more"
	if highest < 0 {
		way = "fewer"
	}
	r.Says = fmt.Sprintf("%d events in %d operations by month %d. The sum was furthest from 0 after operation %d: %.1f %s events than their AF patterns led one to expect.",
		r.Observed, r.N, month, at, math.Abs(highest), way)
	return r
}
