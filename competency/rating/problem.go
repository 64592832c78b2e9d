package rating

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// problem is a set of ratings made ready for fitting. The levels of the largest factor never meet one another in a rating, so their part
// of the equations is diagonal and is eliminated first; only the other factors' levels stand in a dense matrix.
type problem struct {
	ratings []float64
	factors []Factor
	levels  []int // of each factor
	n       int

	largest int
	offset  []int        // of each other factor's levels in the dense part
	owner   []int        // the factor of each dense level
	dense   int          // levels in the dense part
	counts  []float64    // how often two dense levels meet in a rating, row by row
	sum     [][2]float64 // of the mean's column (the count) and of the ratings, per dense level
	large   []largeLevel
	total   [3]float64 // n, sum of ratings, sum of their squares

	matrix, row []float64 // what solve works in
}

// largeLevel is one level of the largest factor: its sums, and the dense levels it meets.
type largeLevel struct {
	sum   [2]float64
	meets []meeting
}

type meeting struct {
	level int
	count float64
}

func newProblem(ratings []float64, factors []Factor) (*problem, error) {
	p := &problem{ratings: ratings, factors: factors, levels: make([]int, len(factors)), offset: make([]int, len(factors)), n: len(ratings)}
	if err := p.check(); err != nil {
		return nil, err
	}
	for f := range factors {
		if f == p.largest {
			continue
		}
		p.offset[f] = p.dense
		p.dense += p.levels[f]
		for range p.levels[f] {
			p.owner = append(p.owner, f)
		}
	}
	if p.dense > mostLevels {
		return nil, ErrTooMany
	}
	p.gather()
	return p, nil
}

func (p *problem) check() error {
	if len(p.factors) == 0 || p.n < 3 {
		return ErrTooFew
	}
	same := true
	for _, y := range p.ratings {
		if !sane(y) {
			return ErrNumbers
		}
		same = same && y == p.ratings[0]
	}
	if same {
		return ErrNoRange
	}
	for f, factor := range p.factors {
		if len(factor.Level) != p.n {
			return ErrFactor
		}
		for _, level := range factor.Level {
			if level < 0 || level >= p.n {
				return ErrFactor
			}
			p.levels[f] = max(p.levels[f], level+1)
		}
		if p.levels[f] < 2 {
			return ErrFactor
		}
		if p.levels[f] >= p.n {
			return ErrTooFew // a level for every rating cannot be told from the residual
		}
		if p.levels[f] > p.levels[p.largest] {
			p.largest = f
		}
	}
	return nil
}

// gather sums up what the equations need of the ratings, level by level of the largest factor.
func (p *problem) gather() {
	p.counts, p.sum = make([]float64, p.dense*p.dense), make([][2]float64, p.dense)
	p.matrix, p.row = make([]float64, max(1, p.dense*p.dense)), make([]float64, p.dense)
	p.large = make([]largeLevel, p.levels[p.largest])
	order, start := byLevel(p.factors[p.largest].Level, len(p.large))
	met, cells := make([]float64, p.dense), make([]int, 0, len(p.factors))
	for own := range p.large {
		level := &p.large[own]
		for _, i := range order[start[own]:start[own+1]] {
			level.sum[0]++
			level.sum[1] += p.ratings[i]
			p.total[2] += p.ratings[i] * p.ratings[i]
			cells = p.cells(cells[:0], i)
			for _, a := range cells {
				p.sum[a][0]++
				p.sum[a][1] += p.ratings[i]
				if met[a]++; met[a] == 1 {
					level.meets = append(level.meets, meeting{level: a})
				}
				for _, b := range cells {
					p.counts[a*p.dense+b]++
				}
			}
		}
		slices.SortFunc(level.meets, func(a, b meeting) int { return a.level - b.level })
		for k, m := range level.meets {
			level.meets[k].count, met[m.level] = met[m.level], 0
		}
		p.total[0] += level.sum[0]
		p.total[1] += level.sum[1]
	}
}

// cells appends the dense levels of a rating.
func (p *problem) cells(list []int, i int) []int {
	for f, factor := range p.factors {
		if f != p.largest {
			list = append(list, p.offset[f]+factor.Level[i])
		}
	}
	return list
}

// byLevel orders the ratings by their level: those of level l stand from start[l] to start[l+1].
func byLevel(level []int, levels int) (order, start []int) {
	order, start = make([]int, len(level)), make([]int, levels+1)
	for _, l := range level {
		start[l+1]++
	}
	for l := range levels {
		start[l+1] += start[l]
	}
	next := slices.Clone(start)
	for i, l := range level {
		order[next[l]] = i
		next[l]++
	}
	return order, start
}

// solution is the fit at given relative standard deviations, in units of the residual variance.
type solution struct {
	logDet float64
	weight float64 // of the mean
	mean   float64
	rest   float64 // weighted sum of squares left
	chol   mat.Cholesky
}

// solve eliminates the largest factor, then the others by Cholesky: with W the design scaled by the relative standard deviations,
// A = I + W'W, and what is left of two columns u and v is u'v - (W'u)' A^-1 (W'v).
func (p *problem) solve(relative []float64) solution {
	var s solution
	rl, a := relative[p.largest], p.matrix // of A the upper triangle, row by row
	right := make([][2]float64, p.dense)
	left := p.total // of mean with mean, mean with ratings, ratings with ratings
	for i := range p.dense {
		ri := relative[p.owner[i]]
		right[i] = [2]float64{ri * p.sum[i][0], ri * p.sum[i][1]}
		for j := i; j < p.dense; j++ {
			a[i*p.dense+j] = ri * relative[p.owner[j]] * p.counts[i*p.dense+j]
		}
		a[i*p.dense+i]++
	}
	for _, level := range p.large {
		d := 1 + rl*rl*level.sum[0]
		s.logDet += math.Log(d)
		u := [2]float64{rl * level.sum[0], rl * level.sum[1]}
		left[0] -= u[0] * u[0] / d
		left[1] -= u[0] * u[1] / d
		left[2] -= u[1] * u[1] / d
		for k, m := range level.meets {
			p.row[k] = rl * relative[p.owner[m.level]] * m.count
		}
		for k, m := range level.meets {
			b := p.row[k] / d
			right[m.level][0] -= b * u[0]
			right[m.level][1] -= b * u[1]
			into, rest := a[m.level*p.dense:(m.level+1)*p.dense], p.row[k:len(level.meets)]
			for i, o := range level.meets[k:] {
				into[o.level] -= b * rest[i]
			}
		}
	}
	if p.dense > 0 {
		if !s.chol.Factorize(mat.NewSymDense(p.dense, a)) { // relative deviations so large that 1 is lost beside them
			s.rest = math.Inf(1)
			return s
		}
		s.logDet += s.chol.LogDet()
		p.reduce(&s, right, &left)
	}
	s.weight, s.mean = left[0], left[1]/left[0]
	s.rest = left[2] - left[1]*left[1]/left[0]
	return s
}

// reduce takes what the dense part explains off the sums left.
func (p *problem) reduce(s *solution, right [][2]float64, left *[3]float64) {
	columns := mat.NewDense(p.dense, 2, nil)
	for i, r := range right {
		columns.Set(i, 0, r[0])
		columns.Set(i, 1, r[1])
	}
	var solved mat.Dense
	if s.chol.SolveTo(&solved, columns) != nil {
		left[2] = math.Inf(1)
		return
	}
	for i, r := range right {
		left[0] -= r[0] * solved.At(i, 0)
		left[1] -= r[0] * solved.At(i, 1)
		left[2] -= r[1] * solved.At(i, 1)
	}
}

// deviance is minus twice the restricted log-likelihood with mean and residual variance at their best.
func (p *problem) deviance(relative []float64) float64 {
	s := p.solve(relative)
	freedom := float64(p.n - 1)
	if !(s.rest > 0 && s.weight > 0) || math.IsInf(s.rest, 1) { // rounding has eaten the ratings; the search must not meet a NaN
		return math.Inf(1)
	}
	return s.logDet + math.Log(s.weight) + freedom*(1+math.Log(2*math.Pi*s.rest/freedom))
}

// effects are the conditional means of every level's effect with their standard errors.
func (p *problem) effects(relative []float64, s solution, variance float64) [][]Effect {
	ratings := p.conditional(relative, s, func(sum [2]float64) float64 { return sum[1] - s.mean*sum[0] })
	ones := p.conditional(relative, s, func(sum [2]float64) float64 { return sum[0] }) // how the effects move with the mean
	var inverse mat.SymDense
	if p.dense > 0 {
		_ = s.chol.InverseTo(&inverse) // it was solved once at this very place
	}
	effects := make([][]Effect, len(p.factors))
	add := func(f int, count, spread float64) {
		at, scale := len(effects[f]), relative[f]
		own, move := scale*scale*variance*spread, scale*ones[f][at]
		effects[f] = append(effects[f], Effect{
			Ratings: int(count), Value: scale * ratings[f][at], SE: math.Sqrt(own), PredictionSE: math.Sqrt(own + move*move*variance/s.weight),
		})
	}
	for i := range p.dense {
		add(p.owner[i], p.sum[i][0], inverse.At(i, i))
	}
	rl := relative[p.largest]
	for _, level := range p.large {
		d, spread := 1+rl*rl*level.sum[0], 0.0
		for _, m := range level.meets {
			b := rl * relative[p.owner[m.level]] * m.count
			for _, o := range level.meets {
				spread += b * rl * relative[p.owner[o.level]] * o.count * inverse.At(m.level, o.level)
			}
		}
		add(p.largest, level.sum[0], 1/d+spread/(d*d))
	}
	return effects
}

// conditional solves the equations for one column, of which of gives each level's sum; effects are in units of their relative deviations.
func (p *problem) conditional(relative []float64, s solution, of func(sum [2]float64) float64) [][]float64 {
	rl := relative[p.largest]
	right := mat.NewVecDense(max(1, p.dense), nil)
	for i := range p.dense {
		right.SetVec(i, relative[p.owner[i]]*of(p.sum[i]))
	}
	for _, level := range p.large {
		u, d := rl*of(level.sum), 1+rl*rl*level.sum[0]
		for _, m := range level.meets {
			right.SetVec(m.level, right.AtVec(m.level)-rl*relative[p.owner[m.level]]*m.count*u/d)
		}
	}
	var solved mat.VecDense
	if p.dense > 0 {
		_ = s.chol.SolveVecTo(&solved, right)
	}
	values := make([][]float64, len(p.factors))
	for i := range p.dense {
		values[p.owner[i]] = append(values[p.owner[i]], solved.AtVec(i))
	}
	for _, level := range p.large {
		value := rl * of(level.sum)
		for _, m := range level.meets {
			value -= rl * relative[p.owner[m.level]] * m.count * solved.AtVec(m.level)
		}
		values[p.largest] = append(values[p.largest], value/(1+rl*rl*level.sum[0]))
	}
	return values
}
