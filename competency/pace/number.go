package pace

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// Stream is a source of events: so many came in a stretch of time, and a stretch lies ahead, in the same unit.
type Stream struct {
	Events int
	Time   float64
	Ahead  float64
}

// Number is how many events come from several streams together.
type Number struct {
	Mean      float64
	Low, High int // between them with at least Level, with at most half of the rest on either side
	Level     float64
	less      []float64 // the chance of fewer than 0, 1, 2 ... events
}

// mostEvents bounds the sum; beyond it nobody plans.
const mostEvents = 2000

// Ahead is the prediction of how many events come in what lies ahead: of each stream negative binomial with size k + 1/2 and probability
// T / (T + t), as For says, and of all the sum, with the streams apart from one another. A stream with nothing ahead adds nothing; no
// streams give no events. The error is ErrEvents, ErrTime or ErrLevel.
func Ahead(streams []Stream, level float64) (Number, error) {
	if !(level > 0 && level < 1) {
		return Number{}, ErrLevel
	}
	law := []float64{1}
	n := Number{Level: level}
	for _, s := range streams {
		switch {
		case s.Events < 0:
			return Number{}, ErrEvents
		case !(s.Time > 0) || math.IsInf(s.Time, 1) || !(s.Ahead >= 0) || math.IsInf(s.Ahead, 1):
			return Number{}, ErrTime
		case s.Ahead == 0:
			continue
		}
		n.Mean += (float64(s.Events) + 0.5) / s.Time * s.Ahead
		law = convolved(law, s.law())
	}
	n.less = make([]float64, 1, len(law)+1)
	for _, p := range law {
		n.less = append(n.less, n.less[len(n.less)-1]+p)
	}
	n.Low, n.High = n.quantile((1-level)/2), n.quantile((1+level)/2)
	return n, nil
}

// law is a stream's chance of 0, 1, 2 ... events, until what is left is less than 1e-12.
func (s Stream) law() []float64 {
	size, p := float64(s.Events)+0.5, s.Time/(s.Time+s.Ahead)
	var law []float64
	sum := 0.0
	for k := 0; k < mostEvents && sum < 1-1e-12; k++ {
		chance := math.Exp(size*math.Log(p) + float64(k)*math.Log1p(-p) - math.Log(size+float64(k)) - mathext.Lbeta(size, float64(k)+1))
		law = append(law, chance)
		sum += chance
	}
	return law
}

func convolved(a, b []float64) []float64 {
	sum := make([]float64, min(len(a)+len(b)-1, mostEvents))
	for i, x := range a {
		for j, y := range b {
			if i+j < len(sum) {
				sum[i+j] += x * y
			}
		}
	}
	return sum
}

// quantile is the smallest number that is not exceeded with at least a probability.
func (n Number) quantile(probability float64) int {
	for k := range len(n.less) - 1 {
		if n.less[k+1] >= probability-1e-9 {
			return k
		}
	}
	return max(0, len(n.less)-2)
}

// AtLeast is the chance of so many events or more.
func (n Number) AtLeast(events int) float64 {
	switch {
	case events <= 0:
		return 1
	case events >= len(n.less):
		return 0
	}
	return max(0, 1-n.less[events])
}
