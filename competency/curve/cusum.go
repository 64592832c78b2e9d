// Package curve follows success and failure from case to case: CUSUM charts with exact run lengths, the learning-curve CUSUM, the
// sequential test with two lines, risk-adjusted charts, and fitted learning curves. Plain numbers in and out; it knows no noun of the
// domain. Everywhere an outcome is true for a failure, logarithms are natural, and a chart signals when it reaches its limit.
package curve

import (
	"errors"
	"math"
)

// What the package refuses; compare with errors.Is.
var (
	ErrRates   = errors.New("the two failure rates must lie between 0 and 1, the acceptable one below the other")
	ErrLimit   = errors.New("the limit must be a positive number")
	ErrHorizon = errors.New("the horizon must be 1 to 5,000 cases")
	ErrRisk    = errors.New("a risk must lie between 0 and 1")
	ErrLengths = errors.New("the lists must be of one length, and not empty")
	ErrNumbers = errors.New("a number must lie between -1e9 and 1e9")
)

// Weights are what one outcome adds to a chart: the logarithm of how much likelier it is under the alternative than under the rate
// watched for.
type Weights struct{ Success, Failure float64 }

// Worsening are the weights of the chart that watches for a failure rate p1 where p0 < p1 is acceptable: failures raise it.
// Page 1954, Biometrika 41:100; Steiner 2000, Biostatistics 1:441, with equal risks. The error is ErrRates.
func Worsening(p0, p1 float64) (Weights, error) {
	if !(p0 > 0 && p0 < p1 && p1 < 1) {
		return Weights{}, ErrRates
	}
	w := Weights{Success: math.Log((1 - p1) / (1 - p0)), Failure: math.Log(p1 / p0)}
	if !sane(w.Success, w.Failure) { // a rate next to 0
		return Weights{}, ErrRates
	}
	return w, nil
}

// Learning are the weights of the learning-curve CUSUM: it starts from 'not yet adequate' (failure rate p0 + delta) and successes raise
// it; reaching the limit declares the rate adequate (p0). Biau 2008, 10.1002/bjs.6056; Biau and Porcher 2010, 10.1002/sim.3947. The
// error is ErrRates.
func Learning(p0, delta float64) (Weights, error) {
	w, err := Worsening(p0, p0+delta)
	return Weights{Success: -w.Success, Failure: -w.Failure}, err
}

// Of is the weight of one outcome.
func (w Weights) Of(failure bool) float64 {
	if failure {
		return w.Failure
	}
	return w.Success
}

// Path is a chart: its value after each case, and the cases (counted from 1) at which it stood at or above its limit.
type Path struct {
	Values  []float64
	Signals []int
}

// First is the case of the first signal, 0 when there is none.
func (p Path) First() int {
	if len(p.Signals) == 0 {
		return 0
	}
	return p.Signals[0]
}

// Chart runs the recursion S = max(0, S + weight) over the outcomes from S = 0. With restart the chart begins again at 0 after each
// signal; the value at the signal stays. No outcomes give an empty path. The error is ErrLimit or ErrNumbers.
func Chart(failures []bool, w Weights, limit float64, restart bool) (Path, error) {
	scores := make([]float64, len(failures))
	for i, failure := range failures {
		scores[i] = w.Of(failure)
	}
	return run(scores, limit, restart)
}

// run is the recursion over any scores.
func run(scores []float64, limit float64, restart bool) (Path, error) {
	if !(limit > 0) || math.IsInf(limit, 1) {
		return Path{}, ErrLimit
	}
	path := Path{Values: make([]float64, len(scores))}
	s := 0.0
	for i, score := range scores {
		if !sane(score) {
			return Path{}, ErrNumbers
		}
		s = max(0, s+score)
		path.Values[i] = s
		if s >= limit {
			path.Signals = append(path.Signals, i+1)
			if restart {
				s = 0
			}
		}
	}
	return path, nil
}
