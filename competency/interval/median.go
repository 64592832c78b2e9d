package interval

import (
	"errors"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// ErrTooFew says that no interval reaches the level, not even from the smallest to the largest value.
var ErrTooFew = errors.New("too few values for an interval of the median at this level")

// MethodMedian names Median beside its figures.
const MethodMedian = "order statistics (binomial), distribution-free, two-sided"

// MedianAssumptions is what it rests on; show it with it.
const MedianAssumptions = "the values are independent draws from one distribution, of any form"

// MedianInterval is the middle of some values with its two-sided interval, in their unit.
type MedianInterval struct {
	N         int
	Median    float64 // the mean of the middle two for an even number
	Low, High float64 // two of the values
	Level     float64 // at least this confidence
	Coverage  float64 // the confidence itself; higher where values are equal
}

// Median gives the interval between the k-th smallest and the k-th largest value, k as large as the level allows: by how many values lie below
// the median, a binomial number of n at 1/2 (Thompson 1936, Ann Math Stat 7:122; Conover 1999, Practical Nonparametric Statistics, from
// memory). The order of the values does not matter, and they are not changed. The error is ErrNoTrials without values, ErrLevel, or
// ErrTooFew: 95 % takes six values. With ErrTooFew the median is there all the same.
func Median(values []float64, level float64) (MedianInterval, error) {
	n := len(values)
	if n == 0 {
		return MedianInterval{}, ErrNoTrials
	}
	if !(level > 0 && level < 1) {
		return MedianInterval{}, ErrLevel
	}
	sorted := slices.Sorted(slices.Values(values))
	m := MedianInterval{N: n, Median: (sorted[(n-1)/2] + sorted[n/2]) / 2, Level: level}
	below := distuv.Binomial{N: float64(n), P: 0.5}
	if 1-2*math.Pow(0.5, float64(n)) < level {
		return m, ErrTooFew
	}
	k := 1
	for ; k < (n+1)/2 && 1-2*below.CDF(float64(k)) >= level; k++ {
	}
	m.Low, m.High, m.Coverage = sorted[k-1], sorted[n-k], 1-2*below.CDF(float64(k-1))
	return m, nil
}
