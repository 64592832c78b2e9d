package rating

import (
	"errors"
	"math"
)

// What Components refuses; compare with errors.Is.
var (
	ErrFactor   = errors.New("a factor must give every rating a level counted from 0, with two levels or more")
	ErrTooFew   = errors.New("there are too few ratings for these factors")
	ErrTooMany  = errors.New("there are more levels than can be fitted at once")
	ErrNoSettle = errors.New("the estimates do not settle")
)

// mostLevels bounds the levels of all factors but the largest, whose matrix is dense.
const mostLevels = 1500

// Factor is one source of differences between ratings, such as the trainee or the assessor: Level[i] tells whose rating i is.
type Factor struct {
	Name  string
	Level []int
}

// Effect is what one level of a factor adds to a rating, shrunk towards 0 by how little is known of it (the best linear unbiased prediction;
// Robinson 1991, Stat Sci 6:15). An assessor's effect is their severity with the sign turned round.
type Effect struct {
	Ratings      int
	Value        float64
	SE           float64 // conditional: as if the mean were known
	PredictionSE float64 // with what is not known of the mean: how far the true effect may lie from Value (Henderson 1975, Biometrics 31:423)
}

// Component is how much one factor makes ratings differ.
type Component struct {
	Name     string
	Levels   int
	Variance float64
	Share    float64 // of the sum of all components
	Effects  []Effect
}

// Variances is the fit of a mean and independent random factors.
type Variances struct {
	N          int
	Mean       float64
	MeanSE     float64
	Components []Component // in the order of the factors
	Residual   float64     // variance left: the case, the day, and all that was not named
	Criterion  float64     // restricted log-likelihood
}

// Components estimates how much each factor contributes to the differences between ratings by restricted maximum likelihood, for crossed,
// nested and unbalanced designs alike: rating = mean + one effect of each factor + residual, every effect normal and independent. Of a
// balanced design without a negative estimate it gives the same as the expected mean squares (Brennan 2001); where those would be
// negative it gives 0. Where the criterion has several low places the lowest is taken, also where a factor is 0. The profiled criterion is
// that of Bates 2015, J Stat Softw 67(1). The error is ErrFactor, ErrNumbers, ErrTooFew, ErrTooMany, ErrNoRange or ErrNoSettle.
func Components(ratings []float64, factors []Factor) (Variances, error) {
	p, err := newProblem(ratings, factors)
	if err != nil {
		return Variances{}, err
	}
	best, err := p.settle()
	if err != nil {
		return Variances{}, err
	}
	return p.report(best), nil
}

// report turns the relative standard deviations into variances and effects.
func (p *problem) report(relative []float64) Variances {
	s := p.solve(relative)
	variance := s.rest / float64(p.n-1)
	v := Variances{N: p.n, Mean: s.mean, MeanSE: math.Sqrt(variance / s.weight), Residual: variance, Criterion: -p.deviance(relative) / 2}
	total := variance
	for f := range p.factors {
		total += relative[f] * relative[f] * variance
	}
	effects := p.effects(relative, s, variance)
	for f, factor := range p.factors {
		own := relative[f] * relative[f] * variance
		v.Components = append(v.Components, Component{Name: factor.Name, Levels: p.levels[f], Variance: own, Share: own / total, Effects: effects[f]})
	}
	return v
}
