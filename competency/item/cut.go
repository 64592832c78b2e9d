package item

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
)

// Cut is a passing mark from judges' estimates.
type Cut struct {
	Judges    int
	Items     int
	Mark      float64   // expected number of right answers of a person who just passes
	Percent   float64   // of all items
	ByJudge   []float64 // each judge's mark
	ByItem    []float64 // mean estimate for each item
	Deviation float64   // between judges; NaN with one
	SE        float64   // of the mark, by the judges only; NaN with one
}

// Angoff sums each judge's estimates of the probability that a person who just passes answers an item rightly, and averages the judges:
// the modified procedure after Angoff 1971, in Educational Measurement. estimates has a row for each judge. The error is ErrShape, or
// ErrRange for an estimate outside 0 to 1.
func Angoff(estimates [][]float64) (Cut, error) {
	if len(estimates) == 0 || len(estimates[0]) == 0 {
		return Cut{}, ErrShape
	}
	c := Cut{Judges: len(estimates), Items: len(estimates[0]), ByItem: make([]float64, len(estimates[0]))}
	for _, judge := range estimates {
		if len(judge) != c.Items {
			return Cut{}, ErrShape
		}
		sum := 0.0
		for j, estimate := range judge {
			if !(estimate >= 0 && estimate <= 1) {
				return Cut{}, ErrRange
			}
			sum += estimate
			c.ByItem[j] += estimate / float64(c.Judges)
		}
		c.ByJudge = append(c.ByJudge, sum)
	}
	c.Mark = stat.Mean(c.ByJudge, nil)
	c.Percent = 100 * c.Mark / float64(c.Items)
	c.Deviation = stat.StdDev(c.ByJudge, nil)
	c.SE = c.Deviation / math.Sqrt(float64(c.Judges))
	return c, nil
}

// Compromise is what judges find bearable: the least and the highest passing mark, and the least and the highest share of people who
// fail, in percent.
type Compromise struct{ LeastMark, HighestMark, LeastFail, HighestFail float64 }

// Hofstee finds the passing mark where the line from (least mark, highest fail) to (highest mark, least fail) meets the share of people
// below each mark, joined by straight pieces between whole marks (Hofstee 1983; method from memory). found is false when they do not
// meet within the judges' limits: then there is no mark, and none is made up. The error is ErrFew without scores, or ErrRange.
func Hofstee(scores []float64, limits Compromise) (mark, fail float64, found bool, err error) {
	l := limits
	if len(scores) == 0 {
		return 0, 0, false, ErrFew
	}
	if !(l.LeastMark < l.HighestMark && l.LeastFail < l.HighestFail && l.LeastFail >= 0 && l.HighestFail <= 100) || l.HighestMark-l.LeastMark > 10_000 {
		return 0, 0, false, ErrRange
	}
	sorted := slices.Clone(scores)
	slices.Sort(sorted)
	below := func(at float64) float64 {
		n, _ := slices.BinarySearch(sorted, at)
		return 100 * float64(n) / float64(len(sorted))
	}
	line := func(at float64) float64 {
		return l.HighestFail + (l.LeastFail-l.HighestFail)*(at-l.LeastMark)/(l.HighestMark-l.LeastMark)
	}
	if !sane(scores...) || !sane(l.LeastMark, l.HighestMark) {
		return 0, 0, false, ErrRange
	}
	for at := math.Floor(l.LeastMark); at < math.Ceil(l.HighestMark); at++ {
		here, next := below(at)-line(at), below(at+1)-line(at+1)
		if here > 0 || next <= 0 {
			continue
		}
		mark = at - here/(next-here)
		if mark >= l.LeastMark && mark <= l.HighestMark {
			return mark, line(mark), true, nil
		}
		return 0, 0, false, nil
	}
	return 0, 0, false, nil
}

// Borderline is a passing mark from an examiner's overall grades beside a list of points.
type Borderline struct {
	N         int
	Mark      float64 // the regression line of points on grade, read at the borderline grade
	SE        float64 // of the line there
	Intercept float64
	Slope     float64
	RSquared  float64 // 0 where all have the same points
}

// BorderlineRegression fits points on grade by least squares and reads the line at the borderline grade; common practice, no source. The
// error is ErrFew for fewer than three people, ErrShape for lists of different length, ErrRange for what is no grade or points, or ErrNoSpread when
// all have one grade.
func BorderlineRegression(grades, points []float64, borderline float64) (Borderline, error) {
	n := float64(len(grades))
	if len(grades) != len(points) {
		return Borderline{}, ErrShape
	}
	if len(grades) < 3 {
		return Borderline{}, ErrFew
	}
	if !sane(grades...) || !sane(points...) || !sane(borderline) {
		return Borderline{}, ErrRange
	}
	spread := stat.Variance(grades, nil) * (n - 1)
	if spread == 0 {
		return Borderline{}, ErrNoSpread
	}
	b := Borderline{N: len(grades)}
	b.Intercept, b.Slope = stat.LinearRegression(grades, points, nil, false)
	if stat.Variance(points, nil) > 0 {
		b.RSquared = stat.RSquared(grades, points, nil, b.Intercept, b.Slope)
	}
	left := 0.0
	for i, grade := range grades {
		d := points[i] - b.Intercept - b.Slope*grade
		left += d * d
	}
	away := borderline - stat.Mean(grades, nil)
	b.Mark = b.Intercept + b.Slope*borderline
	b.SE = math.Sqrt(left / (n - 2) * (1/n + away*away/spread))
	if !sane(b.Mark, b.SE, b.Slope) { // grades that differ by nothing but rounding
		return Borderline{}, ErrNoSpread
	}
	return b, nil
}
