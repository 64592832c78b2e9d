// Package item measures how the questions of a test work: difficulty and discrimination, the Rasch model with its fit, what a person's
// score is worth, and where a passing mark lies. Plain numbers in and out; it knows no question and no person.
//
// A table of answers has a row for each person and a column for each item, 1 for right and 0 for wrong; NotAsked where a person was not
// asked an item, as where forms are drawn.
package item

import (
	"errors"
	"math"
	"sort"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// What the package refuses; compare with errors.Is.
var (
	ErrShape    = errors.New("the table must have rows of one length, and no answer but 0, 1 and not asked")
	ErrFew      = errors.New("there are too few people or items to say anything")
	ErrNoSpread = errors.New("an item that everybody has right, or nobody, cannot be placed: leave it out")
	ErrNoSettle = errors.New("the difficulties do not settle: the answers part into groups that have nothing in common")
	ErrRange    = errors.New("a limit or a rating is out of its range")
)

// Analysis is how one item works in a group of people.
type Analysis struct {
	N           int
	Difficulty  float64 // share of right answers: easy items have a high one
	Deviation   float64
	Total       float64 // correlation with the total score; NaN for an item that does not vary
	Corrected   float64 // with the total of the other items; NaN likewise
	Upper       float64 // share right among the best third or so
	Lower       float64 // among the weakest
	Discriminal float64 // Upper - Lower
	GroupSize   int
}

// UpperLower is the usual fraction of people in each extreme group (Kelley 1939, J Educ Psychol 30:17).
const UpperLower = 0.27

// Analyse goes through the items of a table, each by the people who were asked it. fraction is the share of them in the upper and in the
// lower group; of people with equal shares right those who stand earlier in the table count as better, and the group's size is rounded half
// up. Where everybody was asked everything the share right is the total. The error is ErrShape, ErrFew for fewer than two people or items, or
// ErrRange for a fraction outside 0 to one half.
func Analyse(answers [][]float64, fraction float64) ([]Analysis, error) {
	if err := check(answers); err != nil {
		return nil, err
	}
	if !(fraction > 0 && fraction <= 0.5) {
		return nil, ErrRange
	}
	n, k := len(answers), len(answers[0])
	totals, asked := totalsOf(answers)
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(a, b int) bool { return totals[order[a]]*asked[order[b]] > totals[order[b]]*asked[order[a]] })
	list := make([]Analysis, k)
	for j := range k {
		var column, all, rest []float64
		var ranked []float64 // answers, from the best person to the weakest
		for _, i := range order {
			if x := answers[i][j]; !math.IsNaN(x) {
				ranked = append(ranked, x)
			}
		}
		for i, row := range answers {
			if x := row[j]; !math.IsNaN(x) {
				column, all, rest = append(column, x), append(all, totals[i]/asked[i]), append(rest, (totals[i]-x)/max(1, asked[i]-1))
			}
		}
		a := Analysis{N: len(column), Total: math.NaN(), Corrected: math.NaN(), Deviation: math.NaN()}
		list[j] = a
		if a.N == 0 {
			continue
		}
		a.Difficulty = stat.Mean(column, nil)
		if a.N > 1 {
			a.Deviation = stat.StdDev(column, nil)
			a.Total, a.Corrected = correlation(column, all), correlation(column, rest)
		}
		a.GroupSize = min(a.N, max(1, int(math.Floor(fraction*float64(a.N)+0.5))))
		for g := range a.GroupSize {
			a.Upper += ranked[g] / float64(a.GroupSize)
			a.Lower += ranked[a.N-1-g] / float64(a.GroupSize)
		}
		a.Discriminal = a.Upper - a.Lower
		list[j] = a
	}
	return list, nil
}

// CorrelationLimits are the limits of a correlation of n pairs at a level, by the transform of Fisher 1921, Metron 1:3. They are NaN with fewer
// than four pairs, or where the correlation is none.
func CorrelationLimits(r float64, n int, level float64) (low, high float64) {
	if n < 4 || math.IsNaN(r) || math.Abs(r) >= 1 {
		return math.NaN(), math.NaN()
	}
	z := distuv.UnitNormal.Quantile((1+level)/2) / math.Sqrt(float64(n-3))
	return math.Tanh(math.Atanh(r) - z), math.Tanh(math.Atanh(r) + z)
}

// correlation is Pearson's; NaN where one of the two does not vary.
func correlation(a, b []float64) float64 {
	if stat.StdDev(a, nil) == 0 || stat.StdDev(b, nil) == 0 {
		return math.NaN()
	}
	return stat.Correlation(a, b, nil)
}

// totalsOf are what each person had right, and how many items they were asked.
func totalsOf(answers [][]float64) (totals, asked []float64) {
	totals, asked = make([]float64, len(answers)), make([]float64, len(answers))
	for i, row := range answers {
		for _, x := range row {
			if !math.IsNaN(x) {
				totals[i], asked[i] = totals[i]+x, asked[i]+1
			}
		}
	}
	return totals, asked
}

// check refuses a table that is none. NaN is an item that was not asked.
func check(answers [][]float64) error {
	if len(answers) < 2 || len(answers[0]) < 2 {
		return ErrFew
	}
	for _, row := range answers {
		if len(row) != len(answers[0]) {
			return ErrShape
		}
		for _, x := range row {
			if x != 0 && x != 1 && !math.IsNaN(x) {
				return ErrShape
			}
		}
	}
	return nil
}
