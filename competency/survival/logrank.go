package survival

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Comparison is the outcome of a log-rank test: what happened in each group against what would have, had they been alike.
type Comparison struct {
	N        []int
	Observed []float64 // weighted where the test is
	Expected []float64
	Square   float64 // chi-squared
	Freedom  int
	P        float64
	Rho      float64
}

// LogRank compares groups over the whole follow-up, with the hypergeometric variance. Each event weighs S(t-)^rho, S from all groups
// together: rho 0 is the log-rank test (Mantel 1966), rho 1 weighs early events more (Peto and Prentice; Harrington and Fleming 1982,
// Biometrika 69:553). The error is ErrGroups, ErrRho, ErrTime or ErrTied.
func LogRank(groups [][]Subject, rho float64) (Comparison, error) {
	if len(groups) < 2 {
		return Comparison{}, ErrGroups
	}
	if !(rho >= 0 && rho <= 10) {
		return Comparison{}, ErrRho
	}
	c := Comparison{
		N: make([]int, len(groups)), Observed: make([]float64, len(groups)), Expected: make([]float64, len(groups)), Freedom: len(groups) - 1, Rho: rho,
	}
	var pooled []Subject
	for g, group := range groups {
		if len(group) == 0 {
			return Comparison{}, ErrGroups
		}
		c.N[g] = len(group)
		pooled = append(pooled, group...)
	}
	all, err := KaplanMeier(pooled, 0.95)
	if err != nil {
		return Comparison{}, err
	}
	variance := mat.NewDense(len(groups), len(groups), nil)
	before := 1.0
	for _, step := range all.Steps {
		addStep(&c, variance, groups, step, math.Pow(before, rho))
		before = step.Survival
	}
	if err := c.test(variance); err != nil {
		return Comparison{}, err
	}
	return c, nil
}

// addStep adds one event time to what was observed, expected and to the variance.
func addStep(c *Comparison, variance *mat.Dense, groups [][]Subject, step Step, weight float64) {
	risk, events := make([]float64, len(groups)), float64(step.Events)
	for g, group := range groups {
		for _, s := range group {
			if s.Time >= step.Time {
				risk[g]++
			}
			if s.Time == step.Time && s.Event {
				c.Observed[g] += weight
			}
		}
	}
	total := float64(step.AtRisk)
	for g := range groups {
		c.Expected[g] += weight * events * risk[g] / total
	}
	if total < 2 {
		return
	}
	scale := weight * weight * events * (total - events) / (total - 1)
	for g := range groups {
		for h := range groups {
			share := -risk[g] / total * risk[h] / total
			if g == h {
				share += risk[g] / total
			}
			variance.Set(g, h, variance.At(g, h)+scale*share)
		}
	}
}

// test turns the differences of all groups but the last into chi-squared: the last follows from the others.
func (c *Comparison) test(variance *mat.Dense) error {
	n := c.Freedom
	difference := mat.NewVecDense(n, nil)
	for g := range n {
		difference.SetVec(g, c.Observed[g]-c.Expected[g])
	}
	var solved mat.VecDense
	if err := solved.SolveVec(variance.Slice(0, n, 0, n), difference); err != nil {
		return ErrTied
	}
	c.Square = mat.Dot(difference, &solved)
	c.P = distuv.ChiSquared{K: float64(n)}.Survival(c.Square)
	return nil
}
