package curve

import "math"

// Approach is a learning curve of a measured quantity that rises from 0 towards a ceiling: ceiling x (1 - exp(-rate x case)).
type Approach struct {
	N        int
	Ceiling  float64    // in the unit of the values; negative for one that falls from 0
	Rate     float64    // share of what is missing that goes with one case, for small rates; ln 2 / Rate cases halve it
	SE       [2]float64 // of ceiling and rate
	Residual float64    // sum of squares left
	Sigma    float64
}

// At is the curve's value at a case.
func (a Approach) At(n float64) float64 { return -a.Ceiling * math.Expm1(-a.Rate*n) }

// FitApproach fits the curve by least squares. It starts from the best of many rates, each with the ceiling that fits it best. Cases must
// be positive. The error is ErrLengths (fewer than three, or not of one length), ErrRisk for a case that is not positive,
// ErrNumbers, or ErrSeparated when the fit does not settle, as of values that rise in a straight line.
func FitApproach(cases, values []float64) (Approach, error) {
	if len(cases) < 3 || len(cases) != len(values) {
		return Approach{}, ErrLengths
	}
	furthest := 0.0
	for i, n := range cases {
		if !(n > 0) {
			return Approach{}, ErrRisk
		}
		if !sane(n, values[i]) {
			return Approach{}, ErrNumbers
		}
		furthest = max(furthest, n)
	}
	at, rss, inverse, err := leastSquares(approachAt, cases, values, startApproach(cases, values, furthest), []int{0, 1})
	if err != nil {
		return Approach{}, err
	}
	if !(at[1]*furthest > 1e-4) { // a straight line as far as anyone has looked
		return Approach{}, ErrSeparated
	}
	a := Approach{N: len(cases), Ceiling: at[0], Rate: at[1], Residual: rss, Sigma: math.Sqrt(rss / float64(len(cases)-2))}
	for k := range a.SE {
		a.SE[k] = a.Sigma * math.Sqrt(inverse.At(k, k))
	}
	if !finite(a.Ceiling, a.Rate, a.SE[0], a.SE[1]) {
		return Approach{}, ErrSeparated
	}
	return a, nil
}

// startApproach tries rates from a hundredth to a thousandfold of one over the furthest case.
func startApproach(cases, values []float64, furthest float64) []float64 {
	best, least := []float64{0, 0}, math.Inf(1)
	for step := range 51 {
		rate := math.Pow(10, -2+float64(step)/10) / furthest
		up, square := 0.0, 0.0
		for i, n := range cases {
			x := -math.Expm1(-rate * n)
			up += x * values[i]
			square += x * x
		}
		at := []float64{up / square, rate}
		if rss := squares(approachAt, cases, values, at); rss < least {
			best, least = at, rss
		}
	}
	return best
}

func approachAt(n float64, at, slopes []float64) float64 {
	left := math.Exp(-at[1] * n)
	rise := -math.Expm1(-at[1] * n)
	slopes[0], slopes[1] = rise, at[0]*n*left
	return at[0] * rise
}
