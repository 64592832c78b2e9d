package curve

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Power is a learning curve of a measured quantity such as minutes: floor + gain x case^exponent, the exponent negative when it falls
// (Newell and Rosenbloom 1981).
type Power struct {
	N                     int
	Floor, Gain, Exponent float64
	SE                    [3]float64 // of the three; the floor's is 0 when it was fixed at 0
	Residual              float64    // sum of squares left
	Sigma                 float64
}

// At is the curve's value at a case.
func (p Power) At(n float64) float64 { return p.Floor + p.Gain*math.Pow(n, p.Exponent) }

// FitPower fits the curve by least squares on the original scale. Without a floor it is gain x
// case^exponent. It starts from the straight line on logarithms, so cases and values must be positive. The error is ErrLengths or
// ErrSeparated when the fit does not settle.
func FitPower(cases, values []float64, floor bool) (Power, error) {
	line, err := OnLogs(cases, values, 0.95)
	if err != nil {
		return Power{}, err
	}
	at := []float64{0, math.Exp(line.Intercept), line.Slope}
	free := []int{1, 2}
	if floor {
		least := values[0]
		for _, v := range values {
			least = min(least, v)
		}
		at[0], at[1] = least/2, at[1]-least/2
		free = []int{0, 1, 2}
	}
	if len(cases) <= len(free) {
		return Power{}, ErrLengths
	}
	at, rss, inverse, err := leastSquares(powerAt, cases, values, at, free)
	if err != nil {
		return Power{}, err
	}
	p := Power{N: len(cases), Floor: at[0], Gain: at[1], Exponent: at[2], Residual: rss}
	p.Sigma = math.Sqrt(rss / float64(len(cases)-len(free)))
	for k, f := range free {
		p.SE[f] = p.Sigma * math.Sqrt(inverse.At(k, k))
	}
	if !finite(p.Floor, p.Gain, p.Exponent, p.Residual, p.Sigma, p.SE[0], p.SE[1], p.SE[2]) {
		return Power{}, ErrSeparated
	}
	return p, nil
}

// powerAt is floor + gain n^exponent.
func powerAt(n float64, at, slopes []float64) float64 {
	power := math.Pow(n, at[2])
	slopes[0], slopes[1], slopes[2] = 1, power, at[1]*power*math.Log(n)
	return at[0] + at[1]*power
}

// Line is a straight line through the logarithms of cases and values.
type Line struct {
	N                int
	Intercept, Slope float64
	Sigma            float64
	Doubling         float64 // 2^slope: what is left of the value each time the cases double
	Level            float64
	covariance       [3]float64 // of intercept and slope: 00, 01, 11
}

// OnLogs fits ln(value) = intercept + slope ln(case) by least squares. The error is ErrLengths (fewer than three, or not of one length)
// or ErrRisk for a case or value that is not positive, or a level outside 0 to 1.
func OnLogs(cases, values []float64, level float64) (Line, error) {
	n := len(cases)
	if n < 3 || n != len(values) {
		return Line{}, ErrLengths
	}
	if !(level > 0 && level < 1) {
		return Line{}, ErrRisk
	}
	meanX, meanY := 0.0, 0.0
	for i := range cases {
		if !(cases[i] > 0 && values[i] > 0) {
			return Line{}, ErrRisk
		}
		if !sane(cases[i], values[i]) {
			return Line{}, ErrNumbers
		}
		meanX += math.Log(cases[i]) / float64(n)
		meanY += math.Log(values[i]) / float64(n)
	}
	xx, xy := 0.0, 0.0
	for i := range cases {
		dx := math.Log(cases[i]) - meanX
		xx += dx * dx
		xy += dx * (math.Log(values[i]) - meanY)
	}
	if xx == 0 {
		return Line{}, ErrLengths
	}
	l := Line{N: n, Slope: xy / xx, Level: level}
	l.Intercept, l.Doubling = meanY-l.Slope*meanX, math.Pow(2, l.Slope)
	rss := 0.0
	for i := range cases {
		d := math.Log(values[i]) - l.Intercept - l.Slope*math.Log(cases[i])
		rss += d * d
	}
	variance := rss / float64(n-2)
	l.Sigma = math.Sqrt(variance)
	if !finite(l.Intercept, l.Slope, l.Doubling, l.Sigma) {
		return Line{}, ErrLengths // cases that hardly differ
	}
	l.covariance = [3]float64{variance * (1/float64(n) + meanX*meanX/xx), -variance * meanX / xx, variance / xx}
	return l, nil
}

// CaseFor is the case at which the line comes down to a value, with limits by the delta method on the logarithm and a t quantile. The
// error is ErrFlat when the line does not fall, or ErrRisk for a value that is not positive.
func (l Line) CaseFor(value float64) (at, low, high float64, err error) {
	if !(value > 0) {
		return 0, 0, 0, ErrRisk
	}
	if !(l.Slope < 0) {
		return 0, 0, 0, ErrFlat
	}
	x := (math.Log(value) - l.Intercept) / l.Slope
	se := math.Sqrt(l.covariance[0]+2*x*l.covariance[1]+x*x*l.covariance[2]) / -l.Slope
	reach := -se * distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(l.N - 2)}.Quantile((1-l.Level)/2)
	return math.Exp(x), math.Exp(x - reach), math.Exp(x + reach), nil
}
