package published_test

import (
	"math"
	"testing"

	"isthmus/competency/curve"
	"isthmus/competency/interval"
	"isthmus/competency/rating"
)

// The programme of the benchmark: its size, and the confidence of every limit.
const (
	speedTrainees  = 1000
	speedCases     = 300
	speedAssessors = 40
	speedLevel     = 0.9
)

// programme is what happened in a made-up programme, trainee by trainee.
type programme struct {
	failures [][]bool
	ratings  []float64
	trainee  []int
	assessor []int
}

// newProgramme draws the same numbers as testdata/speed.R: Park and Miller's generator, exact in a double.
func newProgramme() programme {
	state := 1.0
	draw := func() float64 {
		state = math.Mod(16807*state, 2147483647)
		return state / 2147483647
	}
	ability, severity := make([]float64, speedTrainees), make([]float64, speedAssessors)
	for i := range ability {
		ability[i] = 2*draw() - 1
	}
	for a := range severity {
		severity[a] = draw() - 0.5
	}
	var p programme
	for i := range speedTrainees {
		failures := make([]bool, speedCases)
		for n := range failures {
			a := int(draw() * speedAssessors)
			failures[n] = !(draw() < 1/(1+math.Exp(0.8-0.5*math.Log(float64(n+1))-ability[i])))
			first := draw()
			p.ratings = append(p.ratings, 3+ability[i]-severity[a]+1.5*(first+draw()-1))
			p.trainee, p.assessor = append(p.trainee, i), append(p.assessor, a)
		}
		p.failures = append(p.failures, failures)
	}
	return p
}

// curves follows every trainee: the learning-curve CUSUM, the fitted curve, and the case at which it reaches 80 % with its limits.
func (p programme) curves() (sum float64, err error) {
	w, err := curve.Learning(0.1, 0.1)
	if err != nil {
		return 0, err
	}
	for _, failures := range p.failures {
		path, err := curve.Chart(failures, w, 1e6, false)
		if err != nil {
			return 0, err
		}
		sum += path.Values[speedCases-1]
		fit, err := curve.OnLogCase(failures)
		if err != nil {
			return 0, err
		}
		if target, err := fit.Reaches(0, 1, 0.8, speedLevel); err == nil && target.Bounded {
			sum += target.At + target.Low + target.High
		}
	}
	return sum, nil
}

// intervals gives Wilson's after every case, and the exact one of all cases.
func (p programme) intervals() (sum float64, err error) {
	for _, failures := range p.failures {
		successes := 0
		for n, failure := range failures {
			if !failure {
				successes++
			}
			share, err := interval.Wilson(successes, n+1, speedLevel)
			if err != nil {
				return 0, err
			}
			sum += share.Low + share.High
		}
		exact, err := interval.ClopperPearson(successes, speedCases, speedLevel)
		if err != nil {
			return 0, err
		}
		sum += exact.Low + exact.High
	}
	return sum, nil
}

// severity fits trainees and assessors, crossed, and tells how severe each assessor is.
func (p programme) severity() (sum float64, err error) {
	s, err := rating.AssessorSeverity(p.ratings, p.trainee, p.assessor, speedLevel)
	if err != nil {
		return 0, err
	}
	sum = s.Model.Residual
	for _, c := range s.Model.Components {
		sum += c.Variance
	}
	for _, a := range s.Assessors {
		sum += math.Abs(a.Value)
	}
	return sum, nil
}

// BenchmarkThousandTrainees is the work of testdata/speed.R, which says what it is; `make compare-speed` runs both in turn. sum is the check
// sum that the two must share.
func BenchmarkThousandTrainees(b *testing.B) {
	p := newProgramme()
	for _, part := range []struct {
		name string
		work func() (float64, error)
	}{{"curves", p.curves}, {"intervals", p.intervals}, {"severity", p.severity}} {
		b.Run(part.name, func(b *testing.B) {
			for b.Loop() {
				sum, err := part.work()
				if err != nil {
					b.Fatal(err)
				}
				b.ReportMetric(sum, "sum")
			}
		})
	}
}
