package curve

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// RiskScore is the weight of one outcome in a risk-adjusted CUSUM that watches for the odds of failure being oddsRatio times what the
// patient's own risk says: log of (1 - p + p) oddsRatio^y / (1 - p + oddsRatio p). An odds ratio of 2 watches for harm, of 1/2 for
// improvement. Steiner 2000, 10.1093/biostatistics/1.4.441.
func RiskScore(failure bool, risk, oddsRatio float64) float64 {
	score := -math.Log(1 - risk + oddsRatio*risk)
	if failure {
		score += math.Log(oddsRatio)
	}
	return score
}

// RiskAdjusted is the chart of RiskScore over patients with their own risks. The error is ErrLengths, ErrRisk or ErrLimit.
func RiskAdjusted(failures []bool, risks []float64, oddsRatio, limit float64, restart bool) (Path, error) {
	if err := checkRisks(failures, risks); err != nil {
		return Path{}, err
	}
	if !(oddsRatio > 0) || math.IsInf(oddsRatio, 1) {
		return Path{}, ErrRates
	}
	scores := make([]float64, len(risks))
	for i, risk := range risks {
		scores[i] = RiskScore(failures[i], risk, oddsRatio)
	}
	return run(scores, limit, restart)
}

func checkRisks(failures []bool, risks []float64) error {
	if len(failures) != len(risks) || len(risks) == 0 {
		return ErrLengths
	}
	for _, risk := range risks {
		if !(risk > 0 && risk < 1) {
			return ErrRisk
		}
	}
	return nil
}

// ObservedExpected sets what happened against what the patients' risks add up to.
type ObservedExpected struct {
	Observed  int
	Expected  float64
	Running   []float64 // observed less expected after each case
	Ratio     float64
	Low, High float64 // exact Poisson limits of the ratio
	Level     float64 // two-sided confidence of the limits
	Z         float64 // difference over its standard deviation under the risks
	N         int
}

// Compare sums observed less expected over the cases. The limits take the observed count as Poisson (Garwood 1936, by gamma quantiles)
// and the expectation as known. The error is ErrLengths or ErrRisk (also for a level outside 0 to 1).
func Compare(failures []bool, risks []float64, level float64) (ObservedExpected, error) {
	if err := checkRisks(failures, risks); err != nil {
		return ObservedExpected{}, err
	}
	if !(level > 0 && level < 1) {
		return ObservedExpected{}, ErrRisk
	}
	oe := ObservedExpected{N: len(risks), Level: level, Running: make([]float64, len(risks))}
	difference, variance := 0.0, 0.0
	for i, risk := range risks {
		if failures[i] {
			oe.Observed++
			difference++
		}
		oe.Expected += risk
		difference -= risk
		variance += risk * (1 - risk)
		oe.Running[i] = difference
	}
	tail, count := (1-level)/2, float64(oe.Observed)
	oe.Ratio, oe.Z = count/oe.Expected, (count-oe.Expected)/math.Sqrt(variance)
	if oe.Observed > 0 {
		oe.Low = distuv.Gamma{Alpha: count, Beta: 1}.Quantile(tail) / oe.Expected
	}
	oe.High = distuv.Gamma{Alpha: count + 1, Beta: 1}.Quantile(1-tail) / oe.Expected
	if !finite(oe.Ratio, oe.Low, oe.High, oe.Z) { // risks next to 0
		return ObservedExpected{}, ErrRisk
	}
	return oe, nil
}

// RiskMix is how often patients of each risk come.
type RiskMix struct{ Risk, Weight []float64 }

// RiskAdjustedRunLength is the mean number of cases until a risk-adjusted chart signals, when the true odds of failure are trueOdds
// times those of the patients' risks. The chart's values are put on a grid of states; a score between two grid points is shared
// linearly between them, which keeps its mean and converges far faster than rounding (Brook and Evans 1972, 10.1093/biomet/59.3.539,
// for the chain; the sharing is ours). 400 states are within 0.7 % at limits of practice. The error is ErrLengths, ErrRisk or ErrLimit.
func RiskAdjustedRunLength(mix RiskMix, oddsRatio, limit, trueOdds float64, states int) (float64, error) {
	if len(mix.Risk) != len(mix.Weight) || len(mix.Risk) == 0 || states < 2 || states > mostStates {
		return 0, ErrLengths
	}
	if !(limit > 0) || math.IsInf(limit, 1) {
		return 0, ErrLimit
	}
	type leap struct { // what one kind of patient with one outcome does: so many states up, with so much shared to the next
		states   int
		share, p float64
	}
	var leaps []leap
	for k, risk := range mix.Risk {
		if !(risk > 0 && risk < 1) {
			return 0, ErrRisk
		}
		actual := trueOdds * risk / (1 - risk + trueOdds*risk)
		for _, failure := range [2]bool{true, false} {
			p := actual
			if !failure {
				p = 1 - actual
			}
			whole, share := math.Modf(RiskScore(failure, risk, oddsRatio) / limit * float64(states))
			if share < 0 {
				whole, share = whole-1, share+1
			}
			leaps = append(leaps, leap{int(whole), share, mix.Weight[k] * p})
		}
	}
	return meanSteps(states, func(from int, add func(int, float64)) {
		for _, l := range leaps {
			add(from+l.states, l.p*(1-l.share))
			add(from+l.states+1, l.p*l.share)
		}
	})[0], nil
}
