// Package survival estimates how long it takes until something happens when not everyone has been followed to the end: Kaplan-Meier
// with limits and numbers at risk, comparison of groups by the log-rank test, and cumulative incidence where another event gets in
// the way. Plain numbers in and out; it knows no noun of the domain.
//
// Conventions: a subject who leaves at the time of an event is still at risk of it; times are positive, in any one unit.
package survival

import (
	"errors"
	"math"
	"sort"

	"gonum.org/v1/gonum/stat/distuv"
)

// What the package refuses; compare with errors.Is.
var (
	ErrNobody = errors.New("there is nobody to follow")
	ErrTime   = errors.New("a time must be a number of 0 or more")
	ErrLevel  = errors.New("the confidence level must lie between 0 and 1")
	ErrGroups = errors.New("a comparison needs two groups or more, each with somebody in it")
	ErrCause  = errors.New("a cause must be 0 (left without an event) to the number of causes")
	ErrRho    = errors.New("the power of the weights must lie between 0 and 10")
	ErrTied   = errors.New("there is no event to compare the groups by")
)

// Subject is one subject followed until Time, with or without the event.
type Subject struct {
	Time  float64
	Event bool
}

// Step is the curve from one event time on.
type Step struct {
	Time          float64
	AtRisk        int // just before Time
	Events        int
	Survival      float64
	StandardError float64 // Greenwood; NaN where the survival is 0
	Low, High     float64 // log-log limits; NaN where the survival is 0
	Hazard        float64 // cumulative, Nelson-Aalen
}

// Curve is a Kaplan-Meier curve: 1 before the first step.
type Curve struct {
	N, Events int
	Level     float64
	Steps     []Step
	last      float64 // the longest time anyone was followed
}

// KaplanMeier estimates the share without the event over time. Kaplan and Meier 1958, J Am Stat Assoc 53:457; variance by Greenwood;
// limits S^exp(-+ z sqrt(v) / ln S), which stay within 0 and 1 (Kalbfleisch and Prentice). Leaving must not depend on what would have
// come. No event gives a curve without steps. The error is ErrNobody, ErrTime or ErrLevel.
func KaplanMeier(subjects []Subject, level float64) (Curve, error) {
	sorted, err := inOrder(subjects, level)
	if err != nil {
		return Curve{}, err
	}
	c := Curve{N: len(sorted), Level: level, last: sorted[len(sorted)-1].Time}
	z := -distuv.UnitNormal.Quantile((1 - level) / 2)
	survival, sum, hazard := 1.0, 0.0, 0.0
	for i := 0; i < len(sorted); {
		risk, events, k := len(sorted)-i, 0, i
		for ; k < len(sorted) && sorted[k].Time == sorted[i].Time; k++ {
			if sorted[k].Event {
				events++
			}
		}
		if events > 0 {
			n, d := float64(risk), float64(events)
			survival *= 1 - d/n
			sum += d / (n * (n - d))
			hazard += d / n
			c.Events += events
			step := Step{Time: sorted[i].Time, AtRisk: risk, Events: events, Survival: survival, Hazard: hazard}
			step.StandardError, step.Low, step.High = limits(survival, sum, z)
			c.Steps = append(c.Steps, step)
		}
		i = k
	}
	return c, nil
}

func inOrder(subjects []Subject, level float64) ([]Subject, error) {
	if len(subjects) == 0 {
		return nil, ErrNobody
	}
	if !(level > 0 && level < 1) {
		return nil, ErrLevel
	}
	sorted := append([]Subject(nil), subjects...)
	for _, s := range sorted {
		if !(s.Time >= 0) || math.IsInf(s.Time, 1) {
			return nil, ErrTime
		}
	}
	sort.SliceStable(sorted, func(i, j int) bool { return sorted[i].Time < sorted[j].Time })
	return sorted, nil
}

// limits are the standard error and the log-log limits of a survival with Greenwood's sum.
func limits(survival, sum, z float64) (standardError, low, high float64) {
	if survival <= 0 {
		return math.NaN(), math.NaN(), math.NaN()
	}
	reach := z * math.Sqrt(sum) / math.Log(survival) // negative
	return survival * math.Sqrt(sum), math.Pow(survival, math.Exp(-reach)), math.Pow(survival, math.Exp(reach))
}

// At is the step in force at a time; before the first event the survival is 1 with no limits to give (NaN). Beyond the longest
// follow-up nothing is known: ok is false.
func (c Curve) At(time float64) (step Step, ok bool) {
	step = Step{Time: 0, AtRisk: c.N, Survival: 1, StandardError: 0, Low: math.NaN(), High: math.NaN()}
	for _, s := range c.Steps {
		if s.Time > time {
			break
		}
		step = s
	}
	return step, time <= c.last
}

// Quantile is the first time at which the share p has had the event, with limits taken from the curve's own limits; NaN where the curve
// does not come down so far. Where the curve lies exactly at 1 - p for a while, it is the middle of that while.
func (c Curve) Quantile(p float64) (time, low, high float64) {
	along := func(value func(Step) float64) float64 {
		for i, s := range c.Steps {
			v := value(s)
			if math.IsNaN(v) {
				v = 0 // the survival is 0 and so is what bounds it
			}
			if math.Abs(v-(1-p)) <= 1e-8 && i+1 < len(c.Steps) {
				return (s.Time + c.Steps[i+1].Time) / 2
			}
			if v <= 1-p {
				return s.Time
			}
		}
		return math.NaN()
	}
	bound := func(value func(Step) float64) float64 { // a limit that is not defined bounds nothing
		return along(func(s Step) float64 {
			if v := value(s); !math.IsNaN(v) {
				return v
			}
			return math.Inf(1)
		})
	}
	return along(func(s Step) float64 { return s.Survival }), bound(func(s Step) float64 { return s.Low }), bound(func(s Step) float64 { return s.High })
}

// AtRisk counts who is still followed just before each of the times.
func AtRisk(subjects []Subject, times []float64) []int {
	counts := make([]int, len(times))
	for i, time := range times {
		for _, s := range subjects {
			if s.Time >= time {
				counts[i]++
			}
		}
	}
	return counts
}
