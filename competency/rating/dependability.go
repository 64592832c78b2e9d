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
// Cronbach 1972; Brennan 2001, Generalizability Theory. With no person variance both are 0.
func Depend(person float64, sources []Source) Dependability {
	var d Dependability
	for _, s := range sources {
		share := s.Variance / max(1, s.Over)
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
