package survival

import (
	"math"
	"sort"
)

// Outcome is one subject followed until Time; Cause 0 left without an event, 1 and up tell which event came first.
type Outcome struct {
	Time  float64
	Cause int
}

// Incidence is the share that has had one cause's event, from one event time of any cause on.
type Incidence struct {
	Time          float64
	AtRisk        int
	Events        int // of this cause
	Share         float64
	StandardError float64
}

// CumulativeIncidence estimates, for every cause, the share that has had its event first by each time: Aalen and Johansen 1978, Scand J
// Stat 5:141. Unlike one less Kaplan-Meier it does not pretend that a patient who died could still get a pacemaker. The standard error
// is the infinitesimal jackknife's, as in the R package survival. The error is ErrNobody, ErrTime or ErrCause.
func CumulativeIncidence(outcomes []Outcome, causes int) ([][]Incidence, error) {
	if len(outcomes) == 0 {
		return nil, ErrNobody
	}
	sorted := append([]Outcome(nil), outcomes...)
	for _, o := range sorted {
		if !(o.Time >= 0) || math.IsInf(o.Time, 1) {
			return nil, ErrTime
		}
		if o.Cause < 0 || o.Cause > causes {
			return nil, ErrCause
		}
	}
	sort.SliceStable(sorted, func(i, j int) bool { return sorted[i].Time < sorted[j].Time })
	table := make([][]Incidence, causes)
	for cause := range causes {
		table[cause] = incidence(sorted, cause+1)
	}
	return table, nil
}

// incidence follows one cause through the outcomes in order of time. pull[i] is how much the survival just before would move if subject
// i counted a little more, and move[i] the same of the share.
func incidence(sorted []Outcome, cause int) []Incidence {
	pull, move := make([]float64, len(sorted)), make([]float64, len(sorted))
	survival, share := 1.0, 0.0
	var steps []Incidence
	for i := 0; i < len(sorted); {
		k, any, own := i, 0.0, 0.0
		for ; k < len(sorted) && sorted[k].Time == sorted[i].Time; k++ {
			if sorted[k].Cause > 0 {
				any++
			}
			if sorted[k].Cause == cause {
				own++
			}
		}
		if any > 0 {
			n := float64(len(sorted) - i)
			for j := range sorted {
				fall, rise := 0.0, 0.0
				if j >= i {
					fall, rise = -any/(n*n), -own/(n*n)
					if j < k && sorted[j].Cause > 0 {
						fall += 1 / n
					}
					if j < k && sorted[j].Cause == cause {
						rise += 1 / n
					}
				}
				move[j] += pull[j]*own/n + survival*rise
				pull[j] = pull[j]*(1-any/n) - survival*fall
			}
			share += survival * own / n
			survival *= 1 - any/n
			steps = append(steps, Incidence{Time: sorted[i].Time, AtRisk: len(sorted) - i, Events: int(own), Share: share, StandardError: length(move)})
		}
		i = k
	}
	return steps
}

func length(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x * x
	}
	return math.Sqrt(sum)
}
