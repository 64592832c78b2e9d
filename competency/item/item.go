// Package item measures how the questions of a test work: difficulty and discrimination, the Rasch model with its fit, what a person's
// score is worth, and where a passing mark lies. Plain numbers in and out; it knows no question and no person.
//
// A table of answers has a row for each person and a column for each item, 1 for right and 0 for wrong, everybody having answered
// everything.
package item

import (
	"errors"
	"math"
	"sort"

	"gonum.org/v1/gonum/stat"
)

// What the package refuses; compare with errors.Is.
var (
	ErrShape    = errors.New("the table must be full: every row of one length, and no answer but 0 and 1")
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

// Analyse goes through the items of a table. fraction is the share of people in the upper and in the lower group; of people with equal
// totals those who stand earlier in the table count as better, and the group's size is rounded half up. The error is ErrShape, ErrFew
// for fewer than two people or items, or ErrRange for a fraction outside 0 to one half.
func Analyse(answers [][]float64, fraction float64) ([]Analysis, error) {
	n, k, err := check(answers)
	if err != nil {
		return nil, err
	}
	if !(fraction > 0 && fraction <= 0.5) {
		return nil, ErrRange
	}
	totals := totalsOf(answers)
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(a, b int) bool { return totals[order[a]] > totals[order[b]] })
	size := max(1, int(math.Floor(fraction*float64(n)+0.5)))
	list := make([]Analysis, k)
	for j := range k {
		column, rest := make([]float64, n), make([]float64, n)
		for i, row := range answers {
			column[i], rest[i] = row[j], totals[i]-row[j]
		}
		a := Analysis{N: n, Difficulty: stat.Mean(column, nil), Deviation: stat.StdDev(column, nil), GroupSize: size}
		a.Total, a.Corrected = correlation(column, totals), correlation(column, rest)
		for g := range size {
			a.Upper += column[order[g]] / float64(size)
			a.Lower += column[order[n-1-g]] / float64(size)
		}
		a.Discriminal = a.Upper - a.Lower
		list[j] = a
	}
	return list, nil
}

// correlation is Pearson's; NaN where one of the two does not vary.
func correlation(a, b []float64) float64 {
	if stat.StdDev(a, nil) == 0 || stat.StdDev(b, nil) == 0 {
		return math.NaN()
	}
	return stat.Correlation(a, b, nil)
}

func totalsOf(answers [][]float64) []float64 {
	totals := make([]float64, len(answers))
	for i, row := range answers {
		for _, x := range row {
			totals[i] += x
		}
	}
	return totals
}

func check(answers [][]float64) (n, k int, err error) {
	n = len(answers)
	if n < 2 || len(answers[0]) < 2 {
		return 0, 0, ErrFew
	}
	k = len(answers[0])
	for _, row := range answers {
		if len(row) != k {
			return 0, 0, ErrShape
		}
		for _, x := range row {
			if x != 0 && x != 1 {
				return 0, 0, ErrShape
			}
		}
	}
	return n, k, nil
}
