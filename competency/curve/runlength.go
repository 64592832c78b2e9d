package curve

import "math"

// MaxHorizon bounds how far ahead a signal's probability is computed; beyond it the work would grow without a use.
const MaxHorizon = 5000

// cycle is the law of one excursion of a chart with two weights: the probability that it ends at each case by a signal, or by coming
// back to 0. While the chart is above 0 its value is the sum of the weights of the outcomes since it left 0, so the number of cases and
// of failures since then is its whole state: no grid and no simulation.
type cycle struct {
	signal, back []float64 // by case, from 1: index 0 is case 1
	meanLength   float64
}

// cycleOf follows the excursion until less than 1e-18 of it is left, or for most cases.
func cycleOf(failureRate float64, w Weights, limit float64, most int) cycle {
	var c cycle
	mass, next := []float64{1}, []float64{} // by number of failures
	for n := 1; n <= most; n++ {
		left := 0.0
		for _, m := range mass {
			left += m
		}
		if left <= 1e-18 {
			break
		}
		c.meanLength += left
		next = append(next[:0], make([]float64, n+1)...)
		signal, back := 0.0, 0.0
		for failures, m := range mass {
			if m == 0 {
				continue
			}
			for _, outcome := range [2]struct {
				failures int
				m        float64
			}{{failures, m * (1 - failureRate)}, {failures + 1, m * failureRate}} {
				value := float64(n-outcome.failures)*w.Success + float64(outcome.failures)*w.Failure
				switch {
				case value >= limit:
					signal += outcome.m
				case value <= 0:
					back += outcome.m
				default:
					next[outcome.failures] += outcome.m
				}
			}
		}
		c.signal, c.back = append(c.signal, signal), append(c.back, back)
		mass, next = next, mass
	}
	return c
}

// AverageRunLength is the mean number of cases until a chart with these weights signals when every case fails with the given
// probability, started at 0: the mean length of an excursion over the probability that one ends in a signal. Exact up to rounding; +Inf
// when the chart cannot signal. The error is ErrRisk, ErrLimit or ErrNumbers.
func AverageRunLength(failureRate float64, w Weights, limit float64) (float64, error) {
	if !(failureRate >= 0 && failureRate <= 1) {
		return 0, ErrRisk
	}
	if !(limit > 0) || math.IsInf(limit, 1) {
		return 0, ErrLimit
	}
	if !sane(w.Success, w.Failure) {
		return 0, ErrNumbers
	}
	c, hit := cycleOf(failureRate, w, limit, 20_000), 0.0
	for _, p := range c.signal {
		hit += p
	}
	if hit == 0 {
		return math.Inf(1), nil
	}
	return c.meanLength / hit, nil
}

// SignalBy is the probability that a chart has signalled at or before case 1, 2 ... horizon, by renewal over its excursions. A limit
// means nothing without it. The error is ErrRisk, ErrLimit, ErrNumbers or ErrHorizon.
func SignalBy(failureRate float64, w Weights, limit float64, horizon int) ([]float64, error) {
	switch {
	case !(failureRate >= 0 && failureRate <= 1):
		return nil, ErrRisk
	case !(limit > 0) || math.IsInf(limit, 1):
		return nil, ErrLimit
	case !sane(w.Success, w.Failure):
		return nil, ErrNumbers
	case horizon < 1 || horizon > MaxHorizon:
		return nil, ErrHorizon
	}
	c := cycleOf(failureRate, w, limit, horizon)
	atZero := make([]float64, horizon+1) // the probability of being at 0, unsignalled, right after case t
	atZero[0] = 1
	by := make([]float64, horizon)
	sum := 0.0
	for t := 1; t <= horizon; t++ {
		for k := 1; k <= min(t, len(c.signal)); k++ {
			sum += atZero[t-k] * c.signal[k-1]
			atZero[t] += atZero[t-k] * c.back[k-1]
		}
		by[t-1] = sum
	}
	return by, nil
}

// Design is a limit with what it promises over its horizon.
type Design struct {
	Limit   float64
	Horizon int
	False   float64 // probability of a signal by the horizon when there is nothing to signal
	True    float64 // probability of a signal by the horizon when there is
}

// limitStep is the grid of limits: finer makes no difference to anyone.
const limitStep = 0.01

// LearningLimit is the smallest limit, in steps of 0.01, at which a trainee who fails at p0 + delta is declared adequate within the
// horizon with at most the wanted probability. The error is ErrRates, ErrHorizon or ErrRisk.
func LearningLimit(p0, delta float64, horizon int, wanted float64) (Design, error) {
	w, err := Learning(p0, delta)
	if err != nil {
		return Design{}, err
	}
	return design(w, p0+delta, p0, horizon, wanted)
}

// WorseningLimit is the smallest limit, in steps of 0.01, at which someone who fails at p0 raises an alarm within the horizon with at
// most the wanted probability. The error is ErrRates, ErrHorizon or ErrRisk.
func WorseningLimit(p0, p1 float64, horizon int, wanted float64) (Design, error) {
	w, err := Worsening(p0, p1)
	if err != nil {
		return Design{}, err
	}
	return design(w, p0, p1, horizon, wanted)
}

// design searches the limit by halving: the probability falls as the limit rises.
func design(w Weights, falseRate, trueRate float64, horizon int, wanted float64) (Design, error) {
	if !(wanted > 0 && wanted < 1) {
		return Design{}, ErrRisk
	}
	if horizon < 1 || horizon > MaxHorizon {
		return Design{}, ErrHorizon
	}
	low, high := 0, 1500
	for high-low > 1 {
		middle := (low + high) / 2
		by, err := SignalBy(falseRate, w, float64(middle)*limitStep, horizon)
		if err != nil {
			return Design{}, err
		}
		if by[horizon-1] <= wanted {
			high = middle
		} else {
			low = middle
		}
	}
	return OperatingCharacteristic(w, falseRate, trueRate, float64(high)*limitStep, horizon)
}

// OperatingCharacteristic is what a given limit promises over a horizon. The error is ErrRisk, ErrLimit, ErrNumbers or ErrHorizon.
func OperatingCharacteristic(w Weights, falseRate, trueRate, limit float64, horizon int) (Design, error) {
	d := Design{Limit: limit, Horizon: horizon}
	for _, side := range []struct {
		rate float64
		into *float64
	}{{falseRate, &d.False}, {trueRate, &d.True}} {
		by, err := SignalBy(side.rate, w, limit, horizon)
		if err != nil {
			return Design{}, err
		}
		*side.into = by[horizon-1]
	}
	return d, nil
}
