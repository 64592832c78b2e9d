package curve

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/optimize"
)

// Mixed is a logistic curve shared by many people who each start from a level of their own.
type Mixed struct {
	N, People   int
	Coefficient []float64
	Spread      float64 // standard deviation of the people's own levels, in log odds
	LogLik      float64 // without the binomial constant
}

// hermite has the points at which each person's own level is integrated over; nine agree with many more to four digits.
const hermite = 9

// mostSpread is where people's own levels part them altogether, so that no spread is the likeliest.
const mostSpread = 50

// RandomIntercept fits the log odds of success as a linear function of the columns of design plus a normal level of each person's own, by
// maximum likelihood with adaptive Gauss-Hermite quadrature (Pinheiro and Bates 1995, J Comput Graph Stat 4:12). person[i] tells whose
// row i is, from 0. The error is ErrLengths, ErrNumbers or ErrSeparated.
func RandomIntercept(design [][]float64, successes, trials []float64, person []int) (Mixed, error) {
	fixed, err := Logistic(design, successes, trials)
	if err != nil {
		return Mixed{}, err
	}
	if len(person) != len(design) {
		return Mixed{}, ErrLengths
	}
	rows := map[int][]int{}
	most := 0
	for i, p := range person {
		if p < 0 {
			return Mixed{}, ErrLengths
		}
		rows[p] = append(rows[p], i)
		most = max(most, p)
	}
	m := mixing{design: design, successes: successes, trials: trials}
	for p := range most + 1 {
		if len(rows[p]) > 0 {
			m.rows = append(m.rows, rows[p])
		}
	}
	m.nodes, m.weights = make([]float64, hermite), make([]float64, hermite)
	quad.Hermite{}.FixedLocations(m.nodes, m.weights, math.Inf(-1), math.Inf(1))
	start := append(append([]float64(nil), fixed.Coefficient...), 0.5)
	best, err := minimise(func(at []float64) float64 {
		if value := -m.logLik(at); !math.IsNaN(value) { // the search panics at a NaN
			return value
		}
		return math.Inf(1)
	}, start)
	if err != nil {
		return Mixed{}, err
	}
	k := len(best) - 1
	if !sane(best...) || math.Abs(best[k]) > mostSpread {
		return Mixed{}, ErrSeparated
	}
	return Mixed{N: fixed.N, People: len(m.rows), Coefficient: best[:k], Spread: math.Abs(best[k]), LogLik: m.logLik(best)}, nil
}

// minimise runs a simplex and starts it anew where it stopped until that gains nothing.
func minimise(fn func([]float64) float64, at []float64) ([]float64, error) {
	settings := optimize.Settings{MajorIterations: 5000, Converger: &optimize.FunctionConverge{Absolute: 1e-12, Relative: 1e-13, Iterations: 80}}
	last := math.Inf(1)
	for range 8 {
		found, err := optimize.Minimize(optimize.Problem{Func: fn}, at, &settings, &optimize.NelderMead{})
		if found == nil || err != nil && math.IsInf(found.F, 0) {
			return nil, ErrSeparated
		}
		at = found.X
		if math.Abs(last-found.F) < 1e-9*(1+math.Abs(last)) {
			return at, nil
		}
		last = found.F
	}
	return at, nil
}

// mixing is a random-intercept problem made ready.
type mixing struct {
	design            [][]float64
	successes, trials []float64
	rows              [][]int // of each person
	nodes, weights    []float64
}

// logLik integrates each person's likelihood over their own level around where it is highest. The last parameter is the spread.
func (m mixing) logLik(at []float64) float64 {
	k := len(at) - 1
	beta, spread := at[:k], math.Abs(at[k])
	sum := 0.0
	for _, rows := range m.rows {
		joint := func(u float64) (value, slope, bend float64) { // log of likelihood times the normal density of u, in units of spread
			value, slope, bend = -u*u/2-math.Log(2*math.Pi)/2, -u, -1
			for _, i := range rows {
				p := expit(dot(m.design[i], beta) + spread*u)
				value += m.successes[i]*logOf(p) + (m.trials[i]-m.successes[i])*logOf(1-p)
				slope += spread * (m.successes[i] - m.trials[i]*p)
				bend -= spread * spread * m.trials[i] * p * (1 - p)
			}
			return value, slope, bend
		}
		mode := 0.0
		for range 50 {
			_, slope, bend := joint(mode)
			step := slope / bend
			mode -= step
			if math.Abs(step) < 1e-12 {
				break
			}
		}
		_, _, bend := joint(mode)
		width := math.Sqrt(2 / -bend)
		peak, integral := math.Inf(-1), 0.0
		values := make([]float64, len(m.nodes))
		for q, node := range m.nodes {
			value, _, _ := joint(mode + width*node)
			values[q] = value + node*node
			peak = max(peak, values[q])
		}
		for q, weight := range m.weights {
			integral += weight * math.Exp(values[q]-peak)
		}
		sum += peak + math.Log(integral*width)
	}
	return sum
}
