package curve

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// mostStates bounds a grid: the equations of one are solved in a dense matrix.
const mostStates = 2000

// meanSteps is the mean number of cases until a chart on a grid signals, from each of its states: the solution of (I - Q) m = 1, with Q the
// moves between states that do not signal (Brook and Evans 1972, Biometrika 59:539, 10.1093/biomet/59.3.539). moves tells through add with
// what probability one case takes the chart from a state to another; below 0 is 0, and from the number of states on is a signal. +Inf
// everywhere for a chart that cannot signal.
func meanSteps(states int, moves func(from int, add func(to int, p float64))) []float64 {
	stay, ones := mat.NewDense(states, states, nil), mat.NewVecDense(states, nil)
	for from := range states {
		stay.Set(from, from, 1)
		ones.SetVec(from, 1)
	}
	for from := range states {
		moves(from, func(to int, p float64) {
			if to = max(0, to); to < states {
				stay.Set(from, to, stay.At(from, to)-p)
			}
		})
	}
	var steps mat.VecDense
	if err := steps.SolveVec(stay, ones); err != nil { // singular: nothing leaves the grid
		for from := range states {
			ones.SetVec(from, math.Inf(1))
		}
		return ones.RawVector().Data
	}
	return steps.RawVector().Data
}

// GridRunLength is the mean number of cases until a chart S = max(0, S + score) signals at limit, for any law of its scores: below(x) is
// the probability that one case scores x or less. The chart's values are put on a grid: state i of t stands for the values within half a
// width of i w, w = 2 limit / (2t - 1), and state 0 for all below w/2; the chart starts in the state nearest to start. Brook and Evans
// 1972, 10.1093/biomet/59.3.539. Of a smooth law the error falls with the square of the states (2e-5 of the whole at 200); of scores with
// few values it falls slowly, so there use AverageRunLength. The error is ErrLimit (also for a start outside 0 to limit), or ErrStates.
func GridRunLength(below func(score float64) float64, limit, start float64, states int) (float64, error) {
	if !(limit > 0 && start >= 0 && start < limit) || math.IsInf(limit, 1) {
		return 0, ErrLimit
	}
	if states < 2 || states > mostStates {
		return 0, ErrStates
	}
	width := 2 * limit / float64(2*states-1)
	steps := meanSteps(states, func(from int, add func(int, float64)) {
		before := 0.0
		for to := range states {
			upTo := below(float64(to-from)*width + width/2)
			add(to, upTo-before)
			before = upTo
		}
	})
	return steps[min(states-1, int(math.Round(start/width)))], nil
}

// Below is the law of these weights when every case fails with the given probability: how probable a score of x or less is.
func (w Weights) Below(failureRate float64) func(score float64) float64 {
	return func(score float64) float64 {
		sum := 0.0
		if w.Failure <= score {
			sum += failureRate
		}
		if w.Success <= score {
			sum += 1 - failureRate
		}
		return sum
	}
}
