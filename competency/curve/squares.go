package curve

import "gonum.org/v1/gonum/mat"

// shape is a curve: its value at a case, and into slopes how fast that changes with each parameter.
type shape func(n float64, at, slopes []float64) float64

// leastSquares fits the free parameters of a curve, beginning at the given ones: Gauss-Newton with halved steps, until a step gains nothing
// that a float64 can tell. It gives the parameters, the sum of squares left and the inverse of J'J for the free ones, or ErrSeparated when
// the fit does not settle.
func leastSquares(curve shape, cases, values, at []float64, free []int) ([]float64, float64, *mat.SymDense, error) {
	rss := squares(curve, cases, values, at)
	for range 500 {
		step, _, err := gaussNewton(curve, cases, values, at, free)
		if err != nil {
			return nil, 0, nil, ErrSeparated
		}
		next, better := at, false
		for shrink := 1.0; shrink > 1e-9; shrink /= 2 {
			trial := append([]float64(nil), at...)
			for k, f := range free {
				trial[f] += shrink * step.AtVec(k)
			}
			if r := squares(curve, cases, values, trial); r <= rss {
				next, better = trial, rss-r > 1e-15*rss
				rss = r
				break
			}
		}
		if !better {
			_, inverse, err := gaussNewton(curve, cases, values, next, free)
			if err != nil {
				return nil, 0, nil, ErrSeparated
			}
			return next, rss, inverse, nil
		}
		at = next
	}
	return nil, 0, nil, ErrSeparated
}

func squares(curve shape, cases, values, at []float64) float64 {
	sum, slopes := 0.0, make([]float64, len(at))
	for i, n := range cases {
		d := values[i] - curve(n, at, slopes)
		sum += d * d
	}
	return sum
}

// gaussNewton gives the step and the inverse of J'J for the free parameters.
func gaussNewton(curve shape, cases, values, at []float64, free []int) (*mat.VecDense, *mat.SymDense, error) {
	k, slopes := len(free), make([]float64, len(at))
	square, right := mat.NewSymDense(k, nil), mat.NewVecDense(k, nil)
	for i, n := range cases {
		left := values[i] - curve(n, at, slopes)
		for a, f := range free {
			right.SetVec(a, right.AtVec(a)+slopes[f]*left)
			for b := a; b < k; b++ {
				square.SetSym(a, b, square.At(a, b)+slopes[f]*slopes[free[b]])
			}
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(square) {
		return nil, nil, ErrSeparated
	}
	step, inverse := mat.NewVecDense(k, nil), mat.NewSymDense(k, nil)
	if err := chol.SolveVecTo(step, right); err != nil {
		return nil, nil, err
	}
	return step, inverse, chol.InverseTo(inverse)
}
