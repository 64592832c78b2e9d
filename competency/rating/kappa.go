// Package rating measures how far ratings can be trusted: agreement between two raters, intraclass correlation, internal consistency,
// variance components of balanced and unbalanced designs, what more cases or more assessors would gain, and how severe each assessor is.
// Plain numbers in and out; it knows no noun of the domain.
package rating

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// What the package refuses; compare with errors.Is.
var (
	ErrShape   = errors.New("the table must be full: every row of one length, two or more of each")
	ErrLevel   = errors.New("the confidence level must lie between 0 and 1")
	ErrCounts  = errors.New("counts must be numbers of 0 or more, and not all 0")
	ErrNumbers = errors.New("a rating must be a number between -1e9 and 1e9")
	ErrNoRange = errors.New("the ratings do not differ: there is nothing to compare")
)

// Agreement is Cohen's kappa of two raters: how much they agree beyond what their habits alone would give.
type Agreement struct {
	N         float64
	Observed  float64 // share of agreement, weighted
	Expected  float64 // by chance from the margins
	Kappa     float64
	SE        float64 // for intervals
	SE0       float64 // for the test against no agreement
	Z         float64 // kappa over SE0; not finite where SE0 is 0
	Low, High float64 // normal limits; they can pass 1
	Level     float64
}

// Plain are the weights that count only full agreement of k categories.
func Plain(k int) [][]float64 {
	return weights(k, func(distance float64) float64 {
		if distance == 0 {
			return 1
		}
		return 0
	})
}

// Linear are the weights of ordered categories, falling in proportion to the distance.
func Linear(k int) [][]float64 {
	return weights(k, func(distance float64) float64 { return 1 - distance })
}

// Quadratic are the weights of ordered categories, falling with the square of the distance: the usual choice for a scale of levels.
func Quadratic(k int) [][]float64 {
	return weights(k, func(distance float64) float64 { return 1 - distance*distance })
}

// weights lays out a table by the distance of two categories, 0 to 1.
func weights(k int, of func(distance float64) float64) [][]float64 {
	table := make([][]float64, k)
	for i := range table {
		table[i] = make([]float64, k)
		for j := range table[i] {
			table[i][j] = of(math.Abs(float64(i-j)) / max(1, float64(k-1)))
		}
	}
	return table
}

// Kappa compares two raters who put the same subjects into the same categories: table[i][j] counts the subjects the first put into i and
// the second into j. Cohen 1968, Psychol Bull 70:213; standard errors of Fleiss, Cohen and Everitt 1969, Psychol Bull 72:323. The error
// is ErrShape, ErrCounts, ErrNumbers for a weight, ErrLevel, or ErrNoRange when both use one category only.
func Kappa(table, weight [][]float64, level float64) (Agreement, error) {
	n, err := checkTable(table, weight, level)
	if err != nil {
		return Agreement{}, err
	}
	k := len(table)
	row, column := make([]float64, k), make([]float64, k)
	for i := range k {
		for j := range k {
			row[i] += table[i][j] / n
			column[j] += table[i][j] / n
		}
	}
	a := Agreement{N: n, Level: level}
	byRow, byColumn := make([]float64, k), make([]float64, k) // the mean weight of a category against the other rater's habits
	for i := range k {
		for j := range k {
			a.Observed += weight[i][j] * table[i][j] / n
			a.Expected += weight[i][j] * row[i] * column[j]
			byRow[i] += weight[i][j] * column[j]
			byColumn[j] += weight[i][j] * row[i]
		}
	}
	if a.Expected >= 1 {
		return Agreement{}, ErrNoRange
	}
	a.Kappa = (a.Observed - a.Expected) / (1 - a.Expected)
	a.errors(table, weight, row, column, byRow, byColumn)
	reach := -distuv.UnitNormal.Quantile((1-level)/2) * a.SE
	a.Z, a.Low, a.High = a.Kappa/a.SE0, a.Kappa-reach, a.Kappa+reach
	if !finite(a.Kappa, a.SE, a.SE0) {
		return Agreement{}, ErrNoRange
	}
	return a, nil
}

// errors computes both standard errors.
func (a *Agreement) errors(table, weight [][]float64, row, column, byRow, byColumn []float64) {
	sum, sum0 := 0.0, 0.0
	for i := range table {
		for j := range table {
			mean := byRow[i] + byColumn[j]
			sum += table[i][j] / a.N * math.Pow(weight[i][j]*(1-a.Expected)-mean*(1-a.Observed), 2)
			sum0 += row[i] * column[j] * math.Pow(weight[i][j]-mean, 2)
		}
	}
	rest := a.Observed*a.Expected - 2*a.Expected + a.Observed
	a.SE = math.Sqrt(max(0, (sum-rest*rest)/(a.N*math.Pow(1-a.Expected, 4))))
	a.SE0 = math.Sqrt(max(0, (sum0-a.Expected*a.Expected)/(a.N*math.Pow(1-a.Expected, 2))))
}

func checkTable(table, weight [][]float64, level float64) (n float64, err error) {
	if len(table) < 2 || len(weight) != len(table) {
		return 0, ErrShape
	}
	if !(level > 0 && level < 1) {
		return 0, ErrLevel
	}
	for i := range table {
		if len(table[i]) != len(table) || len(weight[i]) != len(table) {
			return 0, ErrShape
		}
		for _, count := range table[i] {
			if !(count >= 0 && count <= 1e9) {
				return 0, ErrCounts
			}
			n += count
		}
		if !sane(weight[i]...) {
			return 0, ErrNumbers
		}
	}
	if n == 0 {
		return 0, ErrCounts
	}
	return n, nil
}

// Many is Fleiss' kappa of many raters: counts[i][j] raters put subject i into category j, the same number of raters for every subject.
type Many struct {
	Subjects, Raters int
	Observed         float64
	Expected         float64
	Kappa            float64
	SE0              float64 // for the test against no agreement (Fleiss, Nee and Landis 1979)
}

// FleissKappa compares any number of raters, not necessarily the same for every subject. Fleiss 1971, Psychol Bull 76:378. The error is
// ErrShape, ErrCounts or ErrNoRange.
func FleissKappa(counts [][]float64) (Many, error) {
	if len(counts) < 2 || len(counts[0]) < 2 {
		return Many{}, ErrShape
	}
	raters := 0.0
	for _, count := range counts[0] {
		raters += count
	}
	if !(raters >= 2) {
		return Many{}, ErrCounts
	}
	share := make([]float64, len(counts[0]))
	agree := 0.0
	for _, subject := range counts {
		sum, squares := 0.0, 0.0
		if len(subject) != len(share) {
			return Many{}, ErrShape
		}
		for j, count := range subject {
			if !(count >= 0 && count <= 1e9) {
				return Many{}, ErrCounts
			}
			sum += count
			squares += count * count
			share[j] += count / (raters * float64(len(counts)))
		}
		if sum != raters {
			return Many{}, ErrCounts
		}
		agree += (squares - raters) / (raters * (raters - 1)) / float64(len(counts))
	}
	expected, spread, skew := 0.0, 0.0, 0.0
	for _, p := range share {
		expected += p * p
		spread += p * (1 - p)
		skew += p * (1 - p) * (1 - 2*p)
	}
	if expected >= 1 {
		return Many{}, ErrNoRange
	}
	variance := 2 * (spread*spread - skew) / (spread * spread * float64(len(counts)) * raters * (raters - 1))
	return Many{
		Subjects: len(counts), Raters: int(raters), Observed: agree, Expected: expected, Kappa: (agree - expected) / (1 - expected), SE0: math.Sqrt(max(0, variance)),
	}, nil
}
