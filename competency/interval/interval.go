// Package interval gives confidence intervals for a proportion or a median: plain numbers in and out. It knows no noun of the domain.
package interval

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// What an interval refuses; compare with errors.Is.
var (
	ErrNoTrials = errors.New("no trials: a proportion of nothing has no interval")
	ErrCounts   = errors.New("successes must be 0 to the number of trials")
	ErrLevel    = errors.New("the confidence level must lie between 0 and 1")
	ErrPrior    = errors.New("both parameters of the prior must lie between 0.001 and 1,000,000")
)

// Assumptions is what both intervals rest on; show it with them.
const Assumptions = "the trials are independent and share one probability"

// The methods, as they are named beside their figures.
const (
	MethodWilson         = "Wilson score, two-sided"
	MethodClopperPearson = "Clopper-Pearson, two-sided"
)

// Proportion is an observed share with its two-sided confidence interval. Shares are 0 to 1, without unit.
type Proportion struct {
	N        int     // trials
	Estimate float64 // successes over trials
	Low      float64
	High     float64
	Level    float64 // two-sided confidence, for example 0.90: 5 % of the error lies on each side
	Method   string
}

// Wilson is the score interval without continuity correction:
//
//	(2np + z^2 -+ z sqrt(z^2 + 4np(1-p))) / (2(n + z^2)),  z the normal quantile at (1+level)/2
//
// Wilson 1927, J Am Stat Assoc 22:209; recommended for small n in Newcombe 1998, Stat Med 17:857. It stays in [0, 1], is not empty at
// 0 or n successes, and the limit on that side is exactly 0 or 1. The error is ErrNoTrials, ErrCounts or ErrLevel.
func Wilson(successes, n int, level float64) (Proportion, error) {
	if err := refuse(successes, n, level); err != nil {
		return Proportion{}, err
	}
	trials, p := float64(n), float64(successes)/float64(n)
	z := -distuv.UnitNormal.Quantile((1 - level) / 2) // of the lower tail, which a float64 can tell from 0 at any level
	middle := 2*trials*p + z*z
	reach := z * math.Sqrt(z*z+4*trials*p*(1-p))
	whole := 2 * (trials + z*z)
	result := Proportion{N: n, Estimate: p, Low: (middle - reach) / whole, High: (middle + reach) / whole, Level: level, Method: MethodWilson}
	return result.atEnds(successes), nil
}

// ClopperPearson is the exact interval by beta quantiles: B(a/2; x, n-x+1) and B(1-a/2; x+1, n-x), a = 1-level. It covers the true
// share at least as often as it says, so it is wider than Wilson's. Clopper and Pearson 1934, Biometrika 26:404. The limit is exactly
// 0 with no success and exactly 1 with no failure. The error is ErrNoTrials, ErrCounts or ErrLevel.
func ClopperPearson(successes, n int, level float64) (Proportion, error) {
	if err := refuse(successes, n, level); err != nil {
		return Proportion{}, err
	}
	x, trials, tail := float64(successes), float64(n), (1-level)/2
	result := Proportion{N: n, Estimate: x / trials, Low: 0, High: 1, Level: level, Method: MethodClopperPearson}
	if successes > 0 {
		result.Low = distuv.Beta{Alpha: x, Beta: trials - x + 1}.Quantile(tail)
	}
	if successes < n {
		result.High = distuv.Beta{Alpha: x + 1, Beta: trials - x}.Quantile(1 - tail)
	}
	return result, nil
}

// atEnds puts the limit on the closed side exactly at 0 or 1, where rounding would leave it a hair off.
func (p Proportion) atEnds(successes int) Proportion {
	if successes == 0 {
		p.Low = 0
	}
	if successes == p.N {
		p.High = 1
	}
	return p
}

// refuse says why there is no interval.
func refuse(successes, n int, level float64) error {
	switch {
	case n <= 0:
		return ErrNoTrials
	case successes < 0 || successes > n:
		return ErrCounts
	case !(level > 0 && level < 1): // also refuses NaN
		return ErrLevel
	}
	return nil
}
