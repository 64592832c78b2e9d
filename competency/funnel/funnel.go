// Package funnel gives the limits within which a share is expected to lie when only chance makes it differ from a target: the wider, the
// fewer the cases. Plain numbers in and out; it knows no noun of the domain.
package funnel

import (
	"errors"
	"math"
	"sort"

	"gonum.org/v1/gonum/stat/distuv"
)

// What the package refuses; compare with errors.Is.
var (
	ErrTarget = errors.New("the target must lie between 0 and 1")
	ErrCases  = errors.New("there must be at least one case, and no more events than cases")
	ErrTail   = errors.New("a tail must lie between 0 and 1")
)

// Rule names how Limit falls between two counts; say it beside every funnel, because others exist and can disagree about outliers (PLoS
// One 2012, e45723).
const Rule = "exact binomial limits, interpolated between counts as in Spiegelhalter 2005"

// The usual tails of a pair of funnel lines: about two and three standard deviations (Spiegelhalter 2002, Qual Saf Health Care 11:390).
const (
	Inner = 0.025
	Outer = 0.001
)

// Limit is the share at or below which a unit with n cases falls with probability tail when its true share is target: with r the
// smallest count of probability F(r) >= tail, (r - (F(r) - tail) / (F(r) - F(r-1))) / n. Spiegelhalter 2005, 10.1002/sim.1970. A limit
// below 0 means that there is none on that side. Of one case or two, with a target nearer to 0 or 1 than the tail, the interpolation puts
// both limits on one side of the target: draw no funnel there. The error is ErrTarget, ErrCases or ErrTail.
func Limit(target float64, n int, tail float64) (float64, error) {
	switch {
	case !(target > 0 && target < 1):
		return 0, ErrTarget
	case n < 1:
		return 0, ErrCases
	case !(tail > 0 && tail < 1):
		return 0, ErrTail
	}
	law := distuv.Binomial{N: float64(n), P: target}
	r := sort.Search(n, func(count int) bool { return law.CDF(float64(count)) >= tail })
	above, at := law.CDF(float64(r)), law.Prob(float64(r))
	return (float64(r) - (above-tail)/at) / float64(n), nil
}

// Unit is one site or one person: events among cases.
type Unit struct{ Events, N int }

// Place is where a unit stands: how many standard deviations from the target, before and after allowing for overdispersion.
type Place struct {
	Share    float64
	Z        float64
	Adjusted float64
}

// Overdispersed places units against a target and allows for units differing by more than chance: the z are winsorised at a tenth on
// each side, their mean square is phi, and where phi exceeds 1 every z is divided by its root (Spiegelhalter 2005, the section on
// over-dispersion, from memory). Limits are widened by the same root. The error is ErrTarget or ErrCases.
func Overdispersed(units []Unit, target float64) (places []Place, phi float64, err error) {
	if !(target > 0 && target < 1) {
		return nil, 0, ErrTarget
	}
	if len(units) == 0 {
		return nil, 0, ErrCases
	}
	z := make([]float64, len(units))
	places = make([]Place, len(units))
	for i, u := range units {
		if u.N < 1 || u.Events < 0 || u.Events > u.N {
			return nil, 0, ErrCases
		}
		share := float64(u.Events) / float64(u.N)
		z[i] = (share - target) / math.Sqrt(target*(1-target)/float64(u.N))
		if !(math.Abs(z[i]) <= 1e100) { // a target next to 0 or 1
			return nil, 0, ErrTarget
		}
		places[i] = Place{Share: share, Z: z[i]}
	}
	sorted := append([]float64(nil), z...)
	sort.Float64s(sorted)
	cut := max(1, int(math.Ceil(0.1*float64(len(z))-1e-9)))
	low, high := sorted[cut-1], sorted[len(z)-cut]
	for _, value := range z {
		inside := min(max(value, low), high)
		phi += inside * inside
	}
	phi /= float64(len(z))
	for i := range places {
		places[i].Adjusted = places[i].Z / math.Sqrt(max(1, phi))
	}
	return places, phi, nil
}
