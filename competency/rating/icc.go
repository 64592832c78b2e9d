package rating

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Squares are the mean squares of a full table of subjects by raters.
type Squares struct {
	Subjects, Raters int
	Between          float64 // between subjects
	Within           float64 // within subjects
	Judges           float64 // between raters
	Error            float64 // left over
}

// squaresOf computes them; every subject must have a rating by every rater.
func squaresOf(ratings [][]float64) (Squares, error) {
	n := len(ratings)
	if n < 2 || len(ratings[0]) < 2 {
		return Squares{}, ErrShape
	}
	k := len(ratings[0])
	rows, columns, all := make([]float64, n), make([]float64, k), 0.0
	for i, row := range ratings {
		if len(row) != k {
			return Squares{}, ErrShape
		}
		for j, x := range row {
			if !sane(x) {
				return Squares{}, ErrNumbers
			}
			rows[i] += x / float64(k)
			columns[j] += x / float64(n)
			all += x / float64(n*k)
		}
	}
	between, judges, total := 0.0, 0.0, 0.0
	for i, row := range ratings {
		between += float64(k) * (rows[i] - all) * (rows[i] - all)
		for _, x := range row {
			total += (x - all) * (x - all)
		}
	}
	for _, mean := range columns {
		judges += float64(n) * (mean - all) * (mean - all)
	}
	if total == 0 {
		return Squares{}, ErrNoRange
	}
	fn, fk := float64(n), float64(k)
	within, left := total-between, total-between-judges
	if within < 1e-12*total { // nothing but rounding
		within = 0
	}
	if left < 1e-12*total {
		left = 0
	}
	return Squares{
		Subjects: n, Raters: k, Between: between / (fn - 1), Within: within / (fn * (fk - 1)), Judges: judges / (fk - 1),
		Error: left / ((fn - 1) * (fk - 1)),
	}, nil
}

// Coefficient is an intraclass correlation with its limits.
type Coefficient struct{ Value, Low, High float64 }

// Intraclass holds the six coefficients of Shrout and Fleiss 1979, Psychol Bull 86:420.
type Intraclass struct {
	Squares
	OneWay          Coefficient // (1,1): each subject rated by raters of its own, one rating
	OneWayMean      Coefficient // (1,k): the mean of k
	Agreement       Coefficient // (2,1): the same raters, drawn from many, one rating
	AgreementMean   Coefficient // (2,k)
	Consistency     Coefficient // (3,1): these raters only, their severity taken out, one rating
	ConsistencyMean Coefficient // (3,k)
	Level           float64
}

// ICC computes all six from a full table of subjects by raters, with limits from the F distribution; those of (2,.) use Satterthwaite's
// degrees of freedom. Which one fits is a question about the design, not about the size of the number. Raters who leave no error give 1,
// with limits of 1. The error is ErrShape, ErrLevel, ErrNumbers, or ErrNoRange, also when the subjects do not differ so that a coefficient
// has no value.
func ICC(ratings [][]float64, level float64) (Intraclass, error) {
	if !(level > 0 && level < 1) {
		return Intraclass{}, ErrLevel
	}
	s, err := squaresOf(ratings)
	if err != nil {
		return Intraclass{}, err
	}
	n, k, tail := float64(s.Subjects), float64(s.Raters), (1+level)/2
	c := Intraclass{Squares: s, Level: level}
	single := func(left float64) Coefficient { // of a ratio of mean squares between subjects and what is left
		if left == 0 {
			return Coefficient{1, 1, 1}
		}
		ratio, d1, d2 := s.Between/left, n-1, n*(k-1)
		if left == s.Error {
			d2 = (n - 1) * (k - 1)
		}
		low, high := ratio/quantileF(tail, d1, d2), ratio*quantileF(tail, d2, d1)
		return Coefficient{(ratio - 1) / (ratio + k - 1), (low - 1) / (low + k - 1), (high - 1) / (high + k - 1)}
	}
	c.OneWay, c.Consistency = single(s.Within), single(s.Error)
	c.Agreement = s.agreement(tail)
	mean := func(one Coefficient) Coefficient {
		return Coefficient{SpearmanBrown(one.Value, k), SpearmanBrown(one.Low, k), SpearmanBrown(one.High, k)}
	}
	c.OneWayMean, c.AgreementMean, c.ConsistencyMean = mean(c.OneWay), mean(c.Agreement), mean(c.Consistency)
	for _, one := range []Coefficient{c.OneWay, c.OneWayMean, c.Agreement, c.AgreementMean, c.Consistency, c.ConsistencyMean} {
		if !finite(one.Value, one.Low, one.High) || s.Between == 0 && s.Error == 0 {
			return Intraclass{}, ErrNoRange
		}
	}
	return c, nil
}

// agreement is ICC (2,1) with its limits.
func (s Squares) agreement(tail float64) Coefficient {
	n, k := float64(s.Subjects), float64(s.Raters)
	value := (s.Between - s.Error) / (s.Between + (k-1)*s.Error + k*(s.Judges-s.Error)/n)
	freedom := k - 1 // where no error is left; the formula's limit
	if s.Error > 0 {
		whole := n*(1+(k-1)*value) - k*value
		part := k * value * s.Judges / s.Error
		freedom = (k - 1) * (n - 1) * math.Pow(part+whole, 2) / ((n-1)*part*part + whole*whole)
	}
	if !(freedom > 1e-9) { // the subjects' means do not differ
		return Coefficient{math.NaN(), math.NaN(), math.NaN()}
	}
	upper, lower := quantileF(tail, n-1, freedom), quantileF(tail, freedom, n-1)
	rest := k*s.Judges + (k*n-k-n)*s.Error
	return Coefficient{
		Value: value,
		Low:   n * (s.Between - upper*s.Error) / (upper*rest + n*s.Between),
		High:  n * (lower*s.Between - s.Error) / (rest + n*lower*s.Between),
	}
}

func quantileF(p, d1, d2 float64) float64 { return distuv.F{D1: d1, D2: d2}.Quantile(p) }

// SpearmanBrown is the reliability of m ratings where one has reliability r. Spearman 1910; Brown 1910.
func SpearmanBrown(r, m float64) float64 { return m * r / (1 + (m-1)*r) }

// RatingsFor is how many ratings reach the wanted reliability where one has reliability r, rounded up; 0 when none ever does (r of 0 or
// less).
func RatingsFor(r, wanted float64) int {
	if !(r > 0) || !(wanted < 1) {
		return 0
	}
	return max(1, int(math.Ceil(wanted*(1-r)/(r*(1-wanted))-1e-9)))
}
