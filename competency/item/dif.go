package item

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Differential is how an item works in two groups of people of equal totals: the method of Mantel and Haenszel 1959, J Natl Cancer Inst
// 22:719, as Holland and Thayer 1988 use it on tests (in Wainer and Braun, Test Validity).
type Differential struct {
	N         [2]int  // people of the reference and of the other group, in strata that tell
	Strata    int     // totals at which both groups have people, and not all answered alike
	OddsRatio float64 // of a right answer, reference against other; above 1 the item is harder for the other group than their totals say
	Low, High float64 // limits at the level asked for; Robins, Breslow and Greenland 1986, Biometrics 42:311
	Level     float64
	Delta     float64 // -2.35 ln of the odds ratio: below 0 the item is harder for the other group
	ChiSquare float64 // with the correction of 1/2
	P         float64
}

// Mantel tests one item for two groups. right says of each person whether they answered it rightly, total their total, the item included,
// and other whether they are in the other group. The error is ErrShape for lists of different length, ErrRange for a level outside 0 to 1, or
// ErrFew where no stratum tells.
func Mantel(right []bool, total []int, other []bool, level float64) (Differential, error) {
	if len(right) != len(total) || len(right) != len(other) {
		return Differential{}, ErrShape
	}
	if !(level > 0 && level < 1) {
		return Differential{}, ErrRange
	}
	strata := map[int]*[4]float64{} // reference right and wrong, other right and wrong
	for i := range right {
		s := strata[total[i]]
		if s == nil {
			s = &[4]float64{}
			strata[total[i]] = s
		}
		at := 0
		if other[i] {
			at = 2
		}
		if !right[i] {
			at++
		}
		s[at]++
	}
	tables := make([][4]float64, 0, len(strata))
	for t := range totalsIn(strata) {
		tables = append(tables, *strata[t])
	}
	return mantel(tables, level)
}

// totalsIn goes through the totals in rising order, so that sums come out the same each time.
func totalsIn(strata map[int]*[4]float64) func(yield func(int) bool) {
	low, high := math.MaxInt, math.MinInt
	for t := range strata {
		low, high = min(low, t), max(high, t)
	}
	return func(yield func(int) bool) {
		for t := low; t <= high; t++ {
			if _, found := strata[t]; found && !yield(t) {
				return
			}
		}
	}
}

func mantel(tables [][4]float64, level float64) (Differential, error) {
	d := Differential{Level: level}
	var r, s, pr, psqr, qs, seen, expected, spread float64
	for _, t := range tables {
		a, b, c, e := t[0], t[1], t[2], t[3]
		n := a + b + c + e
		if a+b == 0 || c+e == 0 || a+c == 0 || b+e == 0 {
			continue // one group is missing, or all answered alike
		}
		d.Strata++
		d.N[0], d.N[1] = d.N[0]+int(a+b), d.N[1]+int(c+e)
		r, s = r+a*e/n, s+b*c/n
		p, q := (a+e)/n, (b+c)/n
		pr, psqr, qs = pr+p*a*e/n, psqr+p*b*c/n+q*a*e/n, qs+q*b*c/n
		seen, expected = seen+a, expected+(a+b)*(a+c)/n
		spread += (a + b) * (c + e) * (a + c) * (b + e) / (n * n * (n - 1))
	}
	if d.Strata == 0 || r == 0 || s == 0 {
		return Differential{}, ErrFew
	}
	d.OddsRatio = r / s
	se := math.Sqrt(pr/(2*r*r) + psqr/(2*r*s) + qs/(2*s*s))
	z := distuv.UnitNormal.Quantile((1 + level) / 2)
	d.Low, d.High = d.OddsRatio*math.Exp(-z*se), d.OddsRatio*math.Exp(z*se)
	d.Delta = -2.35 * math.Log(d.OddsRatio)
	away := max(0, math.Abs(seen-expected)-0.5)
	d.ChiSquare = away * away / spread
	d.P = distuv.ChiSquared{K: 1}.Survival(d.ChiSquare)
	return d, nil
}
