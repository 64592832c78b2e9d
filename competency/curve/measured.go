package curve

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// What the run lengths of measured quantities refuse; compare with errors.Is.
var (
	ErrStates = errors.New("the grid must have 2 to 2,000 states")
	ErrNarrow = errors.New("the scores differ too little for this limit: the run length cannot be computed to nine digits")
)

// Law is how the score that one case adds to a chart is distributed; the laws of gonum's distuv are such.
type Law interface {
	CDF(score float64) float64  // the probability of this score or less
	Prob(score float64) float64 // the density
}

// Measured is the law of a quantity such as minutes, in standard deviations from its target, that has shifted by shift, less the reference
// value: the chart S = max(0, S + x - reference) of Page 1954, Biometrika 41:100. A reference of half the shift watched for is usual.
func Measured(shift, reference float64) Law {
	return distuv.Normal{Mu: shift - reference, Sigma: 1}
}

// RunLength is the mean number of cases until a chart of scores with a density signals at limit, begun at start (0, or a head start that
// makes it signal sooner when it is wrong from the beginning). It solves the integral equation
//
//	L(u) = 1 + L(0) F(-u) + integral from 0 to limit of L(v) f(v - u) dv
//
// at Gauss-Legendre nodes (Nystrom), and doubles their number until nine digits stand; of more than 100,000 cases fewer do. +Inf when the
// chart cannot signal, or not within 1e12 cases on average, where no digit would be left. The error is ErrLimit, also for a start outside
// 0 to limit, or ErrNarrow.
func RunLength(law Law, limit, start float64) (float64, error) {
	if !(limit > 0 && start >= 0 && start < limit) || math.IsInf(limit, 1) {
		return 0, ErrLimit
	}
	last := math.NaN()
	for nodes := 30; nodes <= 480; nodes *= 2 {
		length := nystrom(law, limit, start, nodes)
		if math.IsInf(length, 1) && math.IsInf(last, 1) || math.Abs(length-last) <= length*(1e-10+1e-14*length) { // the equation's condition is the length
			return length, nil
		}
		last = length
	}
	return 0, ErrNarrow
}

// nystrom solves the equation at a number of nodes. The last unknown is the length from 0.
func nystrom(law Law, limit, start float64, nodes int) float64 {
	at, weight := make([]float64, nodes), make([]float64, nodes)
	quad.Legendre{}.FixedLocations(at, weight, 0, limit)
	row := func(from float64) []float64 { // what is multiplied with the unknowns to give the length from there, less 1
		list := make([]float64, nodes+1)
		for k := range at {
			list[k] = weight[k] * law.Prob(at[k]-from)
		}
		list[nodes] = law.CDF(-from)
		return list
	}
	left, ones := mat.NewDense(nodes+1, nodes+1, nil), mat.NewVecDense(nodes+1, nil)
	for i, from := range append(at, 0) {
		for k, share := range row(from) {
			left.Set(i, k, -share)
		}
		left.Set(i, i, left.At(i, i)+1)
		ones.SetVec(i, 1)
	}
	var lengths mat.VecDense
	if err := lengths.SolveVec(left, ones); err != nil {
		return math.Inf(1)
	}
	if length := 1 + mat.Dot(mat.NewVecDense(nodes+1, row(start)), &lengths); length >= 1 && length < 1e12 {
		return length
	}
	return math.Inf(1)
}

// Side is one of two charts kept side by side: its mean run length begun at 0, and begun where it is.
type Side struct{ FromZero, FromStart float64 }

// TwoSided is the mean run length until either of two charts signals that watch for a rise and for a fall with one limit and reference:
// without head starts 1/(1/up + 1/down). Lucas and Crosier 1982, Technometrics 24:199.
func TwoSided(up, down Side) float64 {
	switch {
	case math.IsInf(up.FromZero, 1):
		return down.FromStart
	case math.IsInf(down.FromZero, 1):
		return up.FromStart
	}
	return (up.FromStart*down.FromZero + down.FromStart*up.FromZero - up.FromZero*down.FromZero) / (up.FromZero + down.FromZero)
}

// Siegmund approximates the mean run length of Measured without an equation: with d = shift - reference and b = limit + 1.166 it is
// (exp(-2db) + 2db - 1) / (2d^2), b^2 where d is 0 (Siegmund 1985, Sequential Analysis). Within 1 % at a shift of 0 for limits of practice,
// 3 % at two standard deviations; it is there to check RunLength by. The error is ErrLimit.
func Siegmund(shift, reference, limit float64) (float64, error) {
	if !(limit > 0) || math.IsInf(limit, 1) {
		return 0, ErrLimit
	}
	d, b := shift-reference, limit+1.166
	if math.Abs(d*b) < 1e-5 { // the limit there; the difference below would cancel
		return b * b, nil
	}
	return (math.Exp(-2*d*b) + 2*d*b - 1) / (2 * d * d), nil
}
