package rating

import "math"

// Source is one source of error in a mean over many ratings.
type Source struct {
	Variance float64
	Over     float64 // how many of its conditions the mean is taken over: cases, assessors, or their product
	Ranking  bool    // whether it also disturbs the ranking of people; a severity shared by all does not
}

// Dependability is how far a mean rating can be trusted: G for ranking people, Phi for judging one against a fixed line.
type Dependability struct {
	G, Phi                        float64
	RelativeError, AbsoluteError  float64 // variances
	StandardError, StandardErrorG float64 // of measurement, absolute and relative
}

// Depend projects the dependability of a mean rating: G = person / (person + relative error), Phi = person / (person + absolute error).
// Cronbach 1972; Brennan 2001, Generalizability Theory. With no person variance both are 0. A variance estimated below 0 counts as 0; where
// one is no number (or beyond 1e9) nothing can be said, and all is 0.
func Depend(person float64, sources []Source) Dependability {
	var d Dependability
	for _, s := range sources {
		if !sane(person, s.Variance) || math.IsNaN(s.Over) {
			return Dependability{}
		}
		share := max(0, s.Variance) / max(1, s.Over)
		d.AbsoluteError += share
		if s.Ranking {
			d.RelativeError += share
		}
	}
	if person > 0 {
		d.G, d.Phi = person/(person+d.RelativeError), person/(person+d.AbsoluteError)
	}
	d.StandardError, d.StandardErrorG = math.Sqrt(d.AbsoluteError), math.Sqrt(d.RelativeError)
	return d
}

// Shared is how many conditions, sharing evenly, would leave as much error in a mean as these numbers of ratings do: the error of a
// condition with variance v in the mean of n ratings, of which n_j fall to condition j, is v times the sum of (n_j/n)^2, so it counts as v
// over n^2 / sum n_j^2 conditions. Of even numbers it is their count; 0 without ratings.
func Shared(ratings []int) float64 {
	n, squares := 0.0, 0.0
	for _, r := range ratings {
		n += float64(r)
		squares += float64(r) * float64(r)
	}
	if squares == 0 {
		return 0
	}
	return n * n / squares
}

// BetweenLimits are two-sided limits of the variance between n things, where estimated is its estimate, noise the variance of the error in the
// mean of one of them, and free the degrees of freedom that noise is known with. They are exact for as many ratings of each with one source of
// error (Searle 1971, Linear Models, from memory): (estimated + noise) / noise has an F distribution about its true value. With uneven numbers
// and noise as the mean over things they are approximate. The error is ErrLevel or ErrTooFew.
func BetweenLimits(estimated, noise float64, n, free int, level float64) (low, high float64, err error) {
	if !(level > 0 && level < 1) {
		return 0, 0, ErrLevel
	}
	if n < 2 || free < 1 || !(noise > 0) {
		return 0, 0, ErrTooFew
	}
	ratio, tail := (estimated+noise)/noise, (1+level)/2
	limit := func(p float64) float64 { return max(0, noise*(ratio/quantileF(p, float64(n-1), float64(free))-1)) }
	return limit(tail), limit(1 - tail), nil
}
