package rating

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize"
)

// settle finds the relative standard deviations that make the ratings likeliest.
func (p *problem) settle() ([]float64, error) {
	free := make([]int, len(p.factors))
	for f := range free {
		free[f] = f
	}
	return p.search(free)
}

// doubt is by how much the criterion may rise where a factor is left out, for the search to look there too. Of few ratings the criterion can have
// a low place inside and a lower one without a factor; where leaving it out costs more than this, ratings have spoken: chance alone
// makes it cost 20 in fewer than 1 of 200,000 (half a chi-squared of 1). Our choice, no source.
const doubt = 20

// search looks among the free factors, the others being 0: by Newton's steps, and where those do not arrive by a simplex, which needs ten times
// as many looks at the criterion but no shape of it; then without each factor in turn, where that might be as likely.
func (p *problem) search(free []int) ([]float64, error) {
	if len(free) == 0 {
		return make([]float64, len(p.factors)), nil
	}
	best, arrived := p.newton(free)
	if !arrived {
		var err error
		if best, err = p.simplex(free); err != nil {
			return nil, err
		}
	}
	least := p.deviance(best)
	for i, f := range free {
		without := slices.Clone(best)
		without[f] = 0
		if best[f] == 0 || p.deviance(without) > least+doubt {
			continue
		}
		other, err := p.search(slices.Delete(slices.Clone(free), i, i+1))
		if err != nil {
			return nil, err
		}
		if lower := p.deviance(other); lower < least {
			best, least = other, lower
		}
	}
	return best, nil
}

// spread puts the deviations of the free factors in their places.
func (p *problem) spread(free []int, own []float64) []float64 {
	relative := make([]float64, len(p.factors))
	for i, f := range free {
		relative[f] = own[i]
	}
	return relative
}

// The steps of newton: how far apart the criterion is looked at, the step that ends the search, and the least relative standard deviation
// it follows. All but the last are in natural logarithms.
const (
	apart    = 2e-4
	arrival  = 1e-5
	smallest = 0.02
)

// newton steps down the criterion as a function of the logarithms, where it is rounder than in the deviations themselves. It gives up where
// the criterion does not curve upwards, where a step gains nothing, and where a factor heads for 0, which has no logarithm.
func (p *problem) newton(free []int) (found []float64, arrived bool) {
	of := func(logs []float64) float64 {
		own := make([]float64, len(logs))
		for f, l := range logs {
			own[f] = math.Exp(l)
		}
		return p.deviance(p.spread(free, own))
	}
	at := make([]float64, len(free)) // relative deviations of 1
	value := of(at)
	for range 20 {
		step, ok := descend(of, at, value)
		if !ok {
			return nil, false
		}
		longest := 0.0
		for _, s := range step {
			longest = max(longest, math.Abs(s))
		}
		shrink, next := min(1, 1/longest), slices.Clone(at)
		for range 5 {
			for f := range at {
				next[f] = at[f] + shrink*step[f]
			}
			if arrived = longest < arrival; arrived {
				break // so near that rounding decides whether the criterion falls
			}
			if lower := of(next); lower < value {
				value, ok = lower, true
				break
			}
			shrink, ok = shrink/4, false
		}
		if !ok || slices.Min(next) < math.Log(smallest) {
			return nil, false
		}
		if at = next; arrived {
			for f := range at {
				at[f] = math.Exp(at[f])
			}
			return p.spread(free, at), true
		}
	}
	return nil, false
}

// descend gives the step to the lowest point of the parabola through the criterion around a place; not ok where it has none.
func descend(of func([]float64) float64, at []float64, value float64) (step []float64, ok bool) {
	k := len(at)
	up, gradient, bend := make([]float64, k), mat.NewVecDense(k, nil), mat.NewSymDense(k, nil)
	look := func(moves ...int) float64 { // the criterion with some places moved: f+1 up, -(f+1) down
		place := slices.Clone(at)
		for _, m := range moves {
			if m > 0 {
				place[m-1] += apart
			} else {
				place[-m-1] -= apart
			}
		}
		return of(place)
	}
	for f := range k {
		down := look(-f - 1)
		up[f] = look(f + 1)
		gradient.SetVec(f, (up[f]-down)/(2*apart))
		bend.SetSym(f, f, (up[f]-2*value+down)/(apart*apart))
	}
	for f := range k {
		for g := range f {
			bend.SetSym(g, f, (look(f+1, g+1)-up[f]-up[g]+value)/(apart*apart))
		}
	}
	var chol mat.Cholesky
	solved := mat.NewVecDense(k, nil)
	if !finite(bend.RawSymmetric().Data...) || !chol.Factorize(bend) || chol.SolveVecTo(solved, gradient) != nil {
		return nil, false
	}
	solved.ScaleVec(-1, solved)
	return solved.RawVector().Data, true
}

// simplex searches by Nelder and Mead over the relative deviations themselves. The criterion depends on their squares only, so they need no
// bounds. The search is started anew where it stopped, which frees a simplex that has shrunk too soon.
func (p *problem) simplex(free []int) ([]float64, error) {
	at := make([]float64, len(free))
	for f := range at {
		at[f] = 1
	}
	settings := optimize.Settings{MajorIterations: 4000, Converger: &optimize.FunctionConverge{Absolute: 1e-13, Relative: 1e-14, Iterations: 60}}
	last := math.Inf(1)
	for range 6 {
		found, err := optimize.Minimize(optimize.Problem{Func: func(own []float64) float64 { return p.deviance(p.spread(free, own)) }}, at, &settings, &optimize.NelderMead{})
		if err != nil && found == nil {
			return nil, ErrNoSettle
		}
		at = found.X
		if math.Abs(last-found.F) < 1e-11*(1+math.Abs(last)) {
			for f := range at {
				at[f] = math.Abs(at[f])
				if at[f] < 1e-5 { // a variance of 1e-10 of the residual is none
					at[f] = 0
				}
			}
			return p.spread(free, at), nil
		}
		last = found.F
	}
	return nil, ErrNoSettle
}
