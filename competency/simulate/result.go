package simulate

import (
	"math"
	"slices"

	"isthmus/assessment/atrium"
	"isthmus/competency"
	"isthmus/competency/interval"
)

// level is that of every Monte Carlo interval.
const level = 0.95

// Result is what a simulation found. Intervals are Wilson intervals at 95 %: what the number of made-up trainees leaves open, not what
// is unknown about real ones.
type Result struct {
	Outcomes   []Outcome `json:"outcomes"`             // one a standard
	Comparison []Discord `json:"comparison,omitempty"` // of two standards, one a group
	Says       []string  `json:"says"`                 // what was assumed, in words
	Caution    string    `json:"caution"`
}

// Outcome is how one standard would judge.
type Outcome struct {
	Standard      string        `json:"standard"`
	Title         string        `json:"title"`
	Version       int           `json:"version"`
	Example       bool          `json:"example,omitempty"`
	TakenAsMet    []string      `json:"taken_as_met"` // requirements that rest on more than cases
	Groups        []GroupResult `json:"groups"`
	FalseReady    Share         `json:"false_ready"`     // of all declared ready: their true failure rate was above adequate at that case
	FalseNotReady Share         `json:"false_not_ready"` // of all who were adequate at the horizon: not declared by then
	Binding       []Binding     `json:"binding"`
}

// GroupResult is one group under one standard.
type GroupResult struct {
	Name         string    `json:"name"`
	Trainees     int       `json:"trainees"`
	Declared     Share     `json:"declared"`      // ready by the horizon
	FalseReady   Share     `json:"false_ready"`   // of the group: declared while above adequate
	AdequateFrom int       `json:"adequate_from"` // the first operation at which the group's failure rate is adequate and stays so; 0: not by the horizon
	By           []int     `json:"by"`            // how many were ready by operation 1, 2, ...
	Cases        Quantiles `json:"cases"`         // operations until ready
	Months       Quantiles `json:"months"`        // months until ready
	Waited       Quantiles `json:"waited"`        // operations from being adequate to being declared so; 0 for who was declared before
}

// Share is a number of trainees out of others, with its interval; Estimate, Low and High are absent when there are none.
type Share struct {
	Count    int      `json:"count"`
	Of       int      `json:"of"`
	Estimate *float64 `json:"estimate,omitempty"`
	Low      *float64 `json:"low,omitempty"`
	High     *float64 `json:"high,omitempty"`
}

// Quantiles of all trainees of a group, those never declared counted as later than any; a quantile they reach is absent.
type Quantiles struct {
	Tenth  *float64 `json:"tenth,omitempty"`
	Median *float64 `json:"median,omitempty"`
	Ninety *float64 `json:"ninety,omitempty"`
}

// Binding is how often a requirement held people back.
type Binding struct {
	Requirement string `json:"requirement"`
	Says        string `json:"says"`
	Last        Share  `json:"last"`  // of the declared: it was met last, alone or with others
	Unmet       Share  `json:"unmet"` // of those never declared: not met at the horizon
}

// Discord counts in a group who is declared ready by the horizon under one standard only. Both judged the same trainees.
type Discord struct {
	Group      string `json:"group"`
	OnlyFirst  Share  `json:"only_first"`
	OnlySecond Share  `json:"only_second"`
}

func shareOf(count, of int) Share {
	s := Share{Count: count, Of: of}
	if p, err := interval.Wilson(count, of, level); err == nil {
		s.Estimate, s.Low, s.High = rounded(p.Estimate), rounded(p.Low), rounded(p.High)
	}
	return s
}

// rounded is a figure to four decimals, as it is stored and shown.
func rounded(value float64) *float64 {
	value = math.Round(value*1e4) / 1e4
	return &value
}

// sum puts what every trainee came to into figures.
func (w *world) sum(found []declaration) Result {
	result := Result{Says: w.plan.says(), Caution: atrium.Caution}
	for s := range w.plan.Standards {
		result.Outcomes = append(result.Outcomes, w.outcome(s, found))
	}
	if len(w.plan.Standards) == 2 {
		result.Comparison = w.discord(found)
	}
	return result
}

func (w *world) outcome(s int, found []declaration) Outcome {
	standard, standards := w.plan.Standards[s], len(w.plan.Standards)
	o := Outcome{Standard: standard.ID, Title: standard.Title, Version: standard.Version, Example: standard.Example, TakenAsMet: []string{}}
	var declared, falseReady, adequate, missed, from int
	last, unmet := make([]int, len(standard.Requirements)), make([]int, len(standard.Requirements))
	for g, group := range w.plan.Mix.Groups {
		r := groupTally{adequateFrom: w.adequateFrom(group.Curve), by: make([]int, w.plan.Cases)}
		for trainee := from; trainee < w.lastOf[g]; trainee++ {
			d := found[trainee*standards+s]
			r.add(d, group.Curve, w.plan.Adequate)
			counts := unmet
			if d.operation > 0 {
				counts = last
			}
			for i := range counts {
				counts[i] += int(d.last >> i & 1)
			}
		}
		n := w.lastOf[g] - from
		from = w.lastOf[g]
		o.Groups = append(o.Groups, r.result(group.Name, n))
		declared, falseReady = declared+r.declared, falseReady+r.falseReady
		if r.adequateFrom > 0 {
			adequate, missed = adequate+n, missed+n-r.declared
		}
	}
	o.FalseReady, o.FalseNotReady = shareOf(falseReady, declared), shareOf(missed, adequate)
	judge := competency.NewJudge(standard)
	for i, r := range standard.Requirements {
		if !judge.Follows(i) {
			o.TakenAsMet = append(o.TakenAsMet, r.ID)
			continue
		}
		o.Binding = append(o.Binding, Binding{r.ID, r.Says(), shareOf(last[i], declared), shareOf(unmet[i], w.plan.Trainees-declared)})
	}
	return o
}

// adequateFrom is the first operation from which a curve stays at or below adequate; 0 when it is above at the horizon. A curve that
// rises is adequate only from where it no longer matters; curves here are monotone, so the last operation decides.
func (w *world) adequateFrom(c Curve) int {
	n := w.plan.Cases
	for n > 0 && c.At(n) <= w.plan.Adequate {
		n--
	}
	if n == w.plan.Cases {
		return 0
	}
	return n + 1
}

// groupTally sums one group up.
type groupTally struct {
	adequateFrom         int
	by                   []int
	operations, days     []float64
	waited               []float64
	declared, falseReady int
}

func (t *groupTally) add(d declaration, c Curve, adequate float64) {
	if d.operation == 0 {
		return
	}
	t.declared++
	t.by[d.operation-1]++
	if c.At(d.operation) > adequate {
		t.falseReady++
	}
	t.operations = append(t.operations, float64(d.operation))
	t.days = append(t.days, float64(d.day)/daysPerYear*12)
	if t.adequateFrom > 0 {
		t.waited = append(t.waited, float64(max(0, d.operation-t.adequateFrom)))
	}
}

func (t *groupTally) result(name string, n int) GroupResult {
	for i := 1; i < len(t.by); i++ {
		t.by[i] += t.by[i-1]
	}
	return GroupResult{
		Name: name, Trainees: n, Declared: shareOf(t.declared, n), FalseReady: shareOf(t.falseReady, n), AdequateFrom: t.adequateFrom, By: t.by,
		Cases: quantiles(t.operations, n), Months: quantiles(t.days, n), Waited: quantiles(t.waited, n),
	}
}

// quantiles takes the inverse of the empirical distribution over n trainees, of whom only some have a value.
func quantiles(values []float64, n int) Quantiles {
	slices.Sort(values)
	at := func(p float64) *float64 {
		i := int(math.Ceil(p*float64(n)-1e-9)) - 1
		if i < 0 || i >= len(values) {
			return nil
		}
		return rounded(values[i])
	}
	return Quantiles{at(0.1), at(0.5), at(0.9)}
}

func (w *world) discord(found []declaration) []Discord {
	var list []Discord
	from := 0
	for g, group := range w.plan.Mix.Groups {
		first, second := 0, 0
		for trainee := from; trainee < w.lastOf[g]; trainee++ {
			a, b := found[2*trainee].operation > 0, found[2*trainee+1].operation > 0
			if a && !b {
				first++
			}
			if b && !a {
				second++
			}
		}
		n := w.lastOf[g] - from
		list = append(list, Discord{group.Name, shareOf(first, n), shareOf(second, n)})
		from = w.lastOf[g]
	}
	return list
}
