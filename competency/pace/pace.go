// Package pace says how long one waits for the next so many of a kind of event at the pace they came so far: plain numbers in and out. It
// knows no noun of the domain.
package pace

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// What a pace refuses; compare with errors.Is.
var (
	ErrEvents = errors.New("the number of events must be 0 or more, of those waited for 1 or more")
	ErrTime   = errors.New("the time looked at must be longer than nothing")
	ErrLevel  = errors.New("the level must lie between 0 and 1")
)

// Method names For beside its figures, with the prior.
const Method = "gamma-Poisson prediction with the Jeffreys prior of a rate, Gamma(1/2, 0)"

// Assumptions is what a wait rests on; show it with it.
const Assumptions = "events come one by one at a rate that stays as it was, each apart from the others"

// Wait is how long it takes until an event, in the unit of the time looked at.
type Wait struct {
	Low    float64
	Median float64
	High   float64
	Level  float64 // between Low and High with this probability, as much beyond on either side
}

// For is the wait for the n-th further event where so many came in a stretch of time.
//
// A rate with a gamma prior of shape 1/2 and rate 0 (Jeffreys; the default of the R package brr 1.0.0 for Poisson rates, whose documentation
// also gives the prediction as negative binomial) has after k events in time T the law Gamma(k + 1/2, T). The number of further events
// within t is then negative binomial with size k + 1/2 and probability T / (T + t), and the wait for the n-th is T B / (1 - B) with B of
// the law Beta(n, k + 1/2), since both say the same of the n-th event (from memory; the tests hold it to R's pnbinom).
// The error is ErrEvents, ErrTime or ErrLevel.
func For(n, events int, time, level float64) (Wait, error) {
	switch {
	case n < 1 || events < 0:
		return Wait{}, ErrEvents
	case !(time > 0) || math.IsInf(time, 1):
		return Wait{}, ErrTime
	case !(level > 0 && level < 1):
		return Wait{}, ErrLevel
	}
	law := distuv.Beta{Alpha: float64(n), Beta: float64(events) + 0.5}
	at := func(probability float64) float64 {
		b := law.Quantile(probability)
		return time * b / (1 - b)
	}
	return Wait{Low: at((1 - level) / 2), Median: at(0.5), High: at((1 + level) / 2), Level: level}, nil
}
