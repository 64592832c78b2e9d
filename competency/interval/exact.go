package interval

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// MethodMidP names MidP beside its figures.
const MethodMidP = "mid-P, two-sided"

// MidP is the exact interval that counts only half of the probability of what was observed: shorter than ClopperPearson, and on
// average it covers as it says. Lancaster 1961, J Am Stat Assoc 56:223; compared in Newcombe 1998, Stat Med 17:857. The limit is exactly
// 0 with no success and exactly 1 with no failure. The error is ErrNoTrials, ErrCounts or ErrLevel.
func MidP(successes, n int, level float64) (Proportion, error) {
	if err := refuse(successes, n, level); err != nil {
		return Proportion{}, err
	}
	x, trials, tail := float64(successes), float64(n), (1-level)/2
	p := x / trials
	result := Proportion{N: n, Estimate: p, Low: 0, High: 1, Level: level, Method: MethodMidP}
	at := func(share float64) (above, below float64) { // P(X >= x) and P(X <= x), each with half of P(X = x)
		law := distuv.Binomial{N: trials, P: share}
		half := law.Prob(x) / 2
		return 1 - law.CDF(x) + half, law.CDF(x) - half
	}
	if successes > 0 {
		result.Low = bisect(0, p, func(share float64) bool { above, _ := at(share); return above < tail })
	}
	if successes < n {
		result.High = bisect(p, 1, func(share float64) bool { _, below := at(share); return below > tail })
	}
	return result, nil
}

// bisect gives the place between low and high where stays turns from true to false.
func bisect(low, high float64, stays func(float64) bool) float64 {
	for range 200 {
		middle := (low + high) / 2
		if middle <= low || middle >= high {
			break
		}
		if stays(middle) {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2
}

// Difference is one share less another with its two-sided confidence interval, each from -1 to 1.
type Difference struct {
	N1, N2   int
	Estimate float64
	Low      float64
	High     float64
	Level    float64
	Method   string
}

// MethodHybrid names Between beside its figures.
const MethodHybrid = "hybrid score (square and add of two Wilson intervals), two-sided"

// Between is the interval of the first share less the second by squaring and adding the arms of their Wilson intervals: method 10 of
// Newcombe 1998, Stat Med 17:873. The trials of the two are independent. The error is ErrNoTrials, ErrCounts or ErrLevel.
func Between(successes1, n1, successes2, n2 int, level float64) (Difference, error) {
	a, err := Wilson(successes1, n1, level)
	if err != nil {
		return Difference{}, err
	}
	b, err := Wilson(successes2, n2, level)
	if err != nil {
		return Difference{}, err
	}
	d := a.Estimate - b.Estimate
	return Difference{
		N1: n1, N2: n2, Estimate: d, Level: level, Method: MethodHybrid,
		Low:  d - math.Hypot(a.Estimate-a.Low, b.High-b.Estimate),
		High: d + math.Hypot(a.High-a.Estimate, b.Estimate-b.Low),
	}, nil
}

// Posterior is what is believed of a share after the trials, from a beta prior.
type Posterior struct {
	N         int
	Alpha     float64 // of the posterior beta distribution
	Beta      float64
	Mean      float64
	Deviation float64
	Median    float64
	Low, High float64 // equal tails
	Level     float64
}

// Believe adds the trials to a beta prior with the given parameters; 1 and 1 hold every share equally likely beforehand. No trials give
// the prior back. The error is ErrCounts, ErrLevel or ErrPrior.
func Believe(successes, n int, priorAlpha, priorBeta, level float64) (Posterior, error) {
	if err := refuse(successes, max(1, n), level); err != nil || successes > n || n < 0 {
		if err == nil {
			err = ErrCounts
		}
		return Posterior{}, err
	}
	if !(min(priorAlpha, priorBeta) >= 1e-3 && max(priorAlpha, priorBeta) <= 1e6) {
		return Posterior{}, ErrPrior
	}
	a, b := priorAlpha+float64(successes), priorBeta+float64(n-successes)
	law := distuv.Beta{Alpha: a, Beta: b}
	return Posterior{
		N: n, Alpha: a, Beta: b, Mean: a / (a + b), Deviation: math.Sqrt(a * b / ((a + b) * (a + b) * (a + b + 1))), Median: law.Quantile(0.5),
		Low: law.Quantile((1 - level) / 2), High: law.Quantile((1 + level) / 2), Level: level,
	}, nil
}

// Above is the believed probability that the share is above a target; 0 for a target that is no number.
func (p Posterior) Above(target float64) float64 {
	if math.IsNaN(target) {
		return 0
	}
	return 1 - distuv.Beta{Alpha: p.Alpha, Beta: p.Beta}.CDF(min(1, max(0, target)))
}

// Next is the believed probability of exactly successes in the next m trials: the beta-binomial law.
func (p Posterior) Next(successes, m int) float64 {
	if successes < 0 || successes > m {
		return 0
	}
	x, n := float64(successes), float64(m)
	return math.Exp(logChoose(n, x) + logBeta(x+p.Alpha, n-x+p.Beta) - logBeta(p.Alpha, p.Beta))
}

// AtLeast is the believed probability of at least successes in the next m trials.
func (p Posterior) AtLeast(successes, m int) float64 {
	sum := 0.0
	for k := max(0, successes); k <= m; k++ {
		sum += p.Next(k, m)
	}
	return sum
}

func logBeta(a, b float64) float64 { return lgamma(a) + lgamma(b) - lgamma(a+b) }

func logChoose(n, k float64) float64 { return lgamma(n+1) - lgamma(k+1) - lgamma(n-k+1) }

func lgamma(x float64) float64 { value, _ := math.Lgamma(x); return value }

// WithoutFailure is how many trials in a row without a failure exclude a failure rate of p0 or more at one-sided confidence level:
// ln(1 - level) / ln(1 - p0), rounded up. 59 for 5 %, 29 for 10 % and 14 for 20 % at 0.95 (Hanley and Lippman-Hand 1983, JAMA 249:1743,
// from memory). The error is ErrLevel, also for a p0 outside 0 to 1.
func WithoutFailure(p0, level float64) (int, error) {
	if !(p0 > 0 && p0 < 1 && level > 0 && level < 1) {
		return 0, ErrLevel
	}
	return int(math.Ceil(math.Log(1-level)/math.Log(1-p0) - 1e-9)), nil
}
