package rating

import (
	"math"

	"gonum.org/v1/gonum/stat"
)

// Consistency is how far the items of a test measure one thing.
type Consistency struct {
	N, Items  int
	Alpha     float64 // Cronbach's; KR-20 when every score is 0 or 1
	Low, High float64 // Feldt's limits
	Level     float64
	SEM       float64   // standard error of measurement of the total
	Without   []float64 // alpha without each item in turn; NaN with fewer than three items
}

// Alpha computes Cronbach's alpha of a full table of people by items. Items that do not vary stay in. Cronbach 1951, Psychometrika
// 16:297; limits of Feldt 1965, Psychometrika 30:357. The error is ErrShape, ErrLevel, ErrNumbers, or ErrNoRange when the totals do not differ.
func Alpha(scores [][]float64, level float64) (Consistency, error) {
	if !(level > 0 && level < 1) {
		return Consistency{}, ErrLevel
	}
	if len(scores) < 2 || len(scores[0]) < 2 {
		return Consistency{}, ErrShape
	}
	n, k := len(scores), len(scores[0])
	columns, totals := make([][]float64, k), make([]float64, n)
	for j := range columns {
		columns[j] = make([]float64, n)
	}
	for i, row := range scores {
		if len(row) != k {
			return Consistency{}, ErrShape
		}
		if !sane(row...) {
			return Consistency{}, ErrNumbers
		}
		for j, x := range row {
			columns[j][i] = x
			totals[i] += x
		}
	}
	items := make([]float64, k)
	for j, column := range columns {
		items[j] = stat.Variance(column, nil)
	}
	total := stat.Variance(totals, nil)
	if !(total > 0) {
		return Consistency{}, ErrNoRange
	}
	c := Consistency{N: n, Items: k, Level: level, Alpha: alphaOf(items, total), Without: make([]float64, k)}
	d1, d2, tail := float64(n-1), float64((n-1)*(k-1)), (1+level)/2
	c.Low, c.High = 1-(1-c.Alpha)*quantileF(tail, d1, d2), 1-(1-c.Alpha)*quantileF(1-tail, d1, d2)
	c.SEM = math.Sqrt(total * (1 - c.Alpha))
	for j := range k {
		c.Without[j] = without(j, columns, items, totals)
	}
	if !finite(c.Alpha, c.Low, c.High, c.SEM) { // totals that differ by nothing but rounding
		return Consistency{}, ErrNoRange
	}
	return c, nil
}

func alphaOf(items []float64, total float64) float64 {
	k, sum := float64(len(items)), 0.0
	for _, variance := range items {
		sum += variance
	}
	return k / (k - 1) * (1 - sum/total)
}

// without is alpha of the test without item j.
func without(j int, columns [][]float64, items, totals []float64) float64 {
	if len(items) < 3 {
		return math.NaN()
	}
	rest := make([]float64, len(totals))
	for i := range rest {
		rest[i] = totals[i] - columns[j][i]
	}
	others := append(append([]float64(nil), items[:j]...), items[j+1:]...)
	return alphaOf(others, stat.Variance(rest, nil))
}
