package curve_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"isthmus/competency/curve"

	"pgregory.net/rapid"
)

// source is a generator whose seed rapid draws and shrinks.
func source(t *rapid.T) *rand.Rand {
	return rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
}

// mean is the mean of many draws and its standard error.
func mean(n int, draw func() float64) (average, se float64) {
	sum, squares := 0.0, 0.0
	for range n {
		x := draw()
		sum += x
		squares += x * x
	}
	average = sum / float64(n)
	return average, math.Sqrt(max(0, squares/float64(n)-average*average) / float64(n))
}

// off fails when a simulated mean lies further from the exact value than chance allows: six standard errors.
func off(t *rapid.T, what string, exact, simulated, se float64) {
	if math.Abs(exact-simulated) > 6*se+1e-9 {
		t.Fatalf("%s: %g exactly, %g (standard error %g) simulated", what, exact, simulated, se)
	}
}

// runUntil draws scores until the chart signals or most cases have passed.
func runUntil(limit float64, most int, score func() float64) int {
	s := 0.0
	for n := 1; n <= most; n++ {
		if s = max(0, s+score()); s >= limit {
			return n
		}
	}
	return most + 1
}

// TestRunLengthSimulated sets exact run lengths and signal probabilities beside charts that are simply run.
func TestRunLengthSimulated(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		random := source(t)
		p0 := rapid.Float64Range(0.05, 0.3).Draw(t, "p0")
		w, err := curve.Worsening(p0, p0+rapid.Float64Range(0.1, 0.3).Draw(t, "delta"))
		if err != nil {
			t.Fatal(err)
		}
		limit, rate := rapid.Float64Range(0.5, 2).Draw(t, "limit"), rapid.Float64Range(0.2, 0.6).Draw(t, "rate")
		score := func() float64 { return w.Of(random.Float64() < rate) }
		exact, err := curve.AverageRunLength(rate, w, limit)
		if err != nil {
			t.Fatal(err)
		}
		length, se := mean(800, func() float64 { return float64(runUntil(limit, 1_000_000, score)) })
		off(t, "run length", exact, length, se)
		by, err := curve.SignalBy(rate, w, limit, 20)
		if err != nil {
			t.Fatal(err)
		}
		share, se := mean(800, func() float64 {
			if runUntil(limit, 20, score) <= 20 {
				return 1
			}
			return 0
		})
		off(t, "signal by case 20", by[19], share, max(se, 0.002))
	})
}

// TestMeasuredSimulated does the same for the other charts: a measured quantity, patients of different risks, and the two lines.
func TestMeasuredSimulated(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		random := source(t)
		shift, limit := rapid.Float64Range(0.3, 2).Draw(t, "shift"), rapid.Float64Range(1, 4).Draw(t, "limit")
		exact, err := curve.RunLength(curve.Measured(shift, 0.5), limit, 0)
		if err != nil {
			t.Fatal(err)
		}
		length, se := mean(600, func() float64 {
			return float64(runUntil(limit, 1_000_000, func() float64 { return random.NormFloat64() + shift - 0.5 }))
		})
		off(t, "measured", exact, length, se)

		test, err := curve.NewSequential(0.1, 0.3, 0.1, 0.1)
		if err != nil {
			t.Fatal(err)
		}
		rate := rapid.Float64Range(0.02, 0.6).Draw(t, "rate")
		decision, err := test.Decide(rate)
		if err != nil || math.Abs(decision.Accept+decision.Reject-1) > 1e-9 {
			t.Fatalf("%+v, %v", decision, err)
		}
		length, se = mean(600, func() float64 {
			value := 0.0
			for n := 1; ; n++ {
				if value -= test.Step; random.Float64() < rate {
					value++
				}
				if value >= test.Reject || value <= test.Accept {
					return float64(n)
				}
			}
		})
		off(t, "two lines", decision.MeanCases, length, se)
	})
	mix := curve.RiskMix{Risk: []float64{0.05, 0.2, 0.4}, Weight: []float64{0.5, 0.3, 0.2}}
	exact, err := curve.RiskAdjustedRunLength(mix, 2, 1.5, 2, 600)
	if err != nil {
		t.Fatal(err)
	}
	random := rand.New(rand.NewPCG(3, 4))
	length, se := mean(4000, func() float64 {
		return float64(runUntil(1.5, 1_000_000, func() float64 {
			risk, u := mix.Risk[2], random.Float64()
			if u < 0.8 {
				risk = mix.Risk[1]
			}
			if u < 0.5 {
				risk = mix.Risk[0]
			}
			return curve.RiskScore(random.Float64() < 2*risk/(1+risk), risk, 2)
		}))
	})
	if math.Abs(length-exact) > 5*se+0.01*exact { // the grid is within 1 % here
		t.Errorf("risk-adjusted: %g on the grid, %g (standard error %g) simulated", exact, length, se)
	}
}

// TestLimitsHoldTheirEstimate holds that a fitted curve's limits contain what they are limits of, and close in as the same outcomes repeat.
func TestLimitsHoldTheirEstimate(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		random := source(t)
		n := rapid.IntRange(10, 60).Draw(t, "n")
		design, won, tried := make([][]float64, n), make([]float64, n), make([]float64, n)
		values, cases := make([]float64, n), make([]float64, n)
		for i := range n {
			cases[i] = float64(i + 1)
			design[i], tried[i] = []float64{1, math.Log(cases[i])}, 1
			if random.Float64() < 0.3+0.6*float64(i)/float64(n) {
				won[i] = 1
			}
			values[i] = 60 * math.Pow(cases[i], -0.3) * math.Exp(0.1*random.NormFloat64())
		}
		width := func(times float64) float64 {
			many, trials := make([]float64, n), make([]float64, n)
			for i := range n {
				many[i], trials[i] = won[i]*times, times
			}
			fit, err := curve.Logistic(design, many, trials)
			if errors.Is(err, curve.ErrSeparated) {
				t.Skip("separated")
			}
			if err != nil {
				t.Fatal(err)
			}
			target, err := fit.Reaches(0, 1, 0.7, 0.9)
			if errors.Is(err, curve.ErrFlat) {
				t.Skip("flat")
			}
			if err != nil || !(target.Low <= target.At && target.At <= target.High) || target.Bounded != !(math.IsInf(target.High, 1) || math.IsInf(target.Low, -1)) {
				t.Fatalf("%+v, %v", target, err)
			}
			return target.High - target.Low
		}
		if once, often := width(1), width(8); often >= once && !math.IsInf(once, 1) {
			t.Fatalf("eight times the outcomes take the limits from %g to %g apart", once, often)
		}
		line, err := curve.OnLogs(cases, values, 0.9)
		if err != nil {
			t.Fatal(err)
		}
		if at, low, high, err := line.CaseFor(30); err == nil && !(low <= at && at <= high) {
			t.Fatalf("%g outside %g to %g", at, low, high)
		}
		failures, risks := make([]bool, n), make([]float64, n)
		for i := range n {
			failures[i], risks[i] = won[i] == 0, 0.1+0.3*random.Float64()
		}
		oe, err := curve.Compare(failures, risks, 0.9)
		if err != nil || !(oe.Low <= oe.Ratio && oe.Ratio <= oe.High) {
			t.Fatalf("%+v, %v", oe, err)
		}
	})
}

// TestSmallNumbers walks no, one and two cases, all success and all failure: an honest answer or a refusal, never a curve out of nothing.
func TestSmallNumbers(t *testing.T) {
	w, err := curve.Learning(0.1, 0.1)
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range []int{0, 1, 2, 30} {
		for _, failure := range []bool{false, true} {
			outcomes, risks := make([]bool, n), make([]float64, n)
			for i := range n {
				outcomes[i], risks[i] = failure, 0.2
			}
			want := curve.ErrSeparated
			if n == 0 {
				want = curve.ErrLengths
			}
			if _, err := curve.OnLogCase(outcomes); !errors.Is(err, want) {
				t.Errorf("%d alike: a curve, or %v", n, err)
			}
			path, err := curve.Chart(outcomes, w, 1, false)
			if err != nil || len(path.Values) != n {
				t.Errorf("%d alike: %+v, %v", n, path, err)
			}
			if signals := n == 30 && !failure; signals != (path.First() > 0) {
				t.Errorf("%d with failure %v signal at %d", n, failure, path.First())
			}
			oe, err := curve.Compare(outcomes, risks, 0.9)
			if n == 0 {
				if !errors.Is(err, curve.ErrLengths) {
					t.Errorf("nothing compared: %v", err)
				}
				continue
			}
			if err != nil || !(oe.Low <= oe.Ratio && oe.Ratio <= oe.High) || !failure && (oe.Low != 0 || oe.Ratio != 0) || n <= 2 && !(oe.Low < 1 && 1 < oe.High) && !failure {
				t.Errorf("%d alike: %+v, %v", n, oe, err)
			}
		}
	}
	one, two := []float64{1}, []float64{1, 2}
	for _, cases := range [][]float64{nil, one, two} {
		if _, err := curve.OnLogs(cases, cases, 0.9); !errors.Is(err, curve.ErrLengths) {
			t.Errorf("a line through %d: %v", len(cases), err)
		}
		if _, err := curve.FitPower(cases, cases, true); !errors.Is(err, curve.ErrLengths) {
			t.Errorf("a curve through %d: %v", len(cases), err)
		}
	}
}
