package curve

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// link is the scale on which a share is a straight line.
type link struct {
	of func(share float64) float64
	// at is the share at a place of the scale, what a residual there pulls at the line with (the share's slope over its variance), and the
	// weight of one trial (the slope squared over the variance).
	at func(place float64) (share, pull, weight float64)
}

// logit is log odds.
var logit = link{
	of: func(share float64) float64 { return math.Log(share / (1 - share)) },
	at: func(place float64) (share, pull, weight float64) {
		p := expit(place)
		return p, 1, p * (1 - p)
	},
}

// probit is the normal quantile. Beyond 8 standard deviations a float64 has no shares left next to 1.
var probit = link{
	of: distuv.UnitNormal.Quantile,
	at: func(place float64) (share, pull, weight float64) {
		place = max(-8, min(8, place))
		p, slope := distuv.UnitNormal.CDF(place), distuv.UnitNormal.Prob(place)
		variance := p * distuv.UnitNormal.Survival(place)
		return p, slope / variance, slope * slope / variance
	},
}
