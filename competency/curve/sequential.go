package curve

import (
	"errors"
	"math"
)

// ErrErrors is what a sequential test refuses about its error rates; compare with errors.Is.
var ErrErrors = errors.New("both error rates must lie above 0 and together below 1")

// Sequential is the sequential probability ratio test drawn as a chart with two lines (Wald 1945; in this form Kestin 1995, BJA
// 75:805): it falls by Step at each success and rises by 1 - Step at each failure. At or below Accept the acceptable rate is accepted,
// at or above Reject the unacceptable one.
type Sequential struct {
	P0, P1       float64 // acceptable and unacceptable failure rate
	Alpha, Beta  float64 // of calling p0 unacceptable, and p1 acceptable
	Step         float64
	Accept       float64 // negative
	Reject       float64
	LeastAccept  int     // cases without a failure until acceptance
	LeastReject  int     // cases that all fail until rejection
	ExpectedAtP0 float64 // Wald's approximate mean number of cases
	ExpectedAtP1 float64
	ExpectedAtS  float64 // at a failure rate of Step, where it is longest
}

// NewSequential lays out the lines. The error is ErrRates or ErrErrors.
func NewSequential(p0, p1, alpha, beta float64) (Sequential, error) {
	if !(p0 > 0 && p0 < p1 && p1 < 1) {
		return Sequential{}, ErrRates
	}
	if !(alpha > 0 && beta > 0 && alpha+beta < 1) {
		return Sequential{}, ErrErrors
	}
	p, q := math.Log(p1/p0), math.Log((1-p0)/(1-p1))
	accept, reject := math.Log((1-alpha)/beta)/(p+q), math.Log((1-beta)/alpha)/(p+q)
	s := q / (p + q)
	t := Sequential{
		P0: p0, P1: p1, Alpha: alpha, Beta: beta, Step: s, Accept: -accept, Reject: reject,
		LeastAccept: ceil(accept / s), LeastReject: ceil(reject / (1 - s)),
		ExpectedAtP0: ((1-alpha)*accept - alpha*reject) / (s - p0),
		ExpectedAtP1: ((1-beta)*reject - beta*accept) / (p1 - s),
		ExpectedAtS:  accept * reject / (s * (1 - s)),
	}
	if !(max(t.ExpectedAtS, accept/s, reject/(1-s)) < 1e9) || !finite(t.Step, t.ExpectedAtP0, t.ExpectedAtP1, t.ExpectedAtS) { // two rates that no one can tell apart
		return Sequential{}, ErrRates
	}
	return t, nil
}

// ceil rounds up, forgiving what rounding adds to a whole number.
func ceil(x float64) int { return int(math.Ceil(x - 1e-9)) }

// Path is the chart's value after each case.
func (s Sequential) Path(failures []bool) []float64 {
	path, value := make([]float64, len(failures)), 0.0
	for i, failure := range failures {
		if failure {
			value += 1 - s.Step
		} else {
			value -= s.Step
		}
		path[i] = value
	}
	return path
}

// Decision is how a sequential test ends at a given failure rate, without Wald's neglect of the overshoot.
type Decision struct {
	Accept, Reject float64 // probabilities
	MeanCases      float64
}

// Decide follows the untruncated test forward, by number of failures, until less than 1e-15 of it is open. The error is ErrRisk.
func (s Sequential) Decide(failureRate float64) (Decision, error) {
	if !(failureRate >= 0 && failureRate <= 1) {
		return Decision{}, ErrRisk
	}
	var d Decision
	mass := []float64{1}
	for n := 1; n <= 20_000; n++ {
		open := 0.0
		for _, m := range mass {
			open += m
		}
		if open <= 1e-15 {
			break
		}
		d.MeanCases += open
		next := make([]float64, n+1)
		for failures, m := range mass {
			next[failures] += m * (1 - failureRate)
			next[failures+1] += m * failureRate
		}
		for failures, m := range next {
			switch value := float64(failures) - s.Step*float64(n); {
			case value >= s.Reject:
				d.Reject, next[failures] = d.Reject+m, 0
			case value <= s.Accept:
				d.Accept, next[failures] = d.Accept+m, 0
			}
		}
		mass = next
	}
	return d, nil
}
