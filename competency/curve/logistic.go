package curve

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// What a fit refuses; compare with errors.Is.
var (
	ErrSeparated = errors.New("the outcomes do not settle on a curve: all alike, or failures and successes do not overlap")
	ErrFlat      = errors.New("the curve does not rise: no number of cases reaches the target")
)

// Fit is a fitted curve: coefficients with their covariance.
type Fit struct {
	N           int
	Coefficient []float64
	Covariance  *mat.SymDense
	LogLik      float64 // without the binomial constant
	Deviance    float64

	link link // on whose scale the line is
}

// SE is the standard error of a coefficient.
func (f Fit) SE(i int) float64 { return math.Sqrt(f.Covariance.At(i, i)) }

// Logistic fits the log odds of success as a linear function of the columns of design (give a column of ones for the intercept):
// successes[i] of trials[i] in row i, by maximum likelihood (iteratively reweighted least squares; McCullagh and Nelder 1989). Trials
// are independent given the row. The error is ErrLengths, ErrNumbers or ErrSeparated.
func Logistic(design [][]float64, successes, trials []float64) (Fit, error) {
	return binomial(logit, design, successes, trials)
}

// Probit fits the normal quantile of the probability of success in the same way: the model of doses that each subject tolerates up to a
// normal limit of its own (Finney 1971, Probit Analysis). Of the middle of a curve it tells the same as Logistic; its tails are thinner.
// The error is ErrLengths, ErrNumbers or ErrSeparated.
func Probit(design [][]float64, successes, trials []float64) (Fit, error) {
	return binomial(probit, design, successes, trials)
}

// binomial fits by Fisher's scoring.
func binomial(by link, design [][]float64, successes, trials []float64) (Fit, error) {
	if err := checkDesign(design, successes, trials); err != nil {
		return Fit{}, err
	}
	k := len(design[0])
	beta, score, information := make([]float64, k), make([]float64, k), make([]float64, k*k)
	for range 60 {
		clear(score)
		clear(information)
		for i, row := range design {
			p, pull, weight := by.at(dot(row, beta))
			residual := pull * (successes[i] - trials[i]*p)
			weight *= trials[i]
			for a, x := range row {
				score[a] += x * residual
				x *= weight
				for b := a; b < k; b++ {
					information[a*k+b] += x * row[b]
				}
			}
		}
		var chol mat.Cholesky
		var step mat.VecDense
		if !chol.Factorize(mat.NewSymDense(k, information)) || chol.Cond() > 1e13 || chol.SolveVecTo(&step, mat.NewVecDense(k, score)) != nil {
			return Fit{}, ErrSeparated
		}
		if small(&step, beta) { // separated outcomes creep on for ever
			f := Fit{N: total(trials), Coefficient: beta, Covariance: mat.NewSymDense(k, nil), link: by}
			f.LogLik, f.Deviance = likelihood(by, design, successes, trials, beta)
			return f, chol.InverseTo(f.Covariance)
		}
		for a := range k {
			beta[a] += step.AtVec(a)
			if math.Abs(beta[a]) > 1e4 {
				return Fit{}, ErrSeparated
			}
		}
	}
	return Fit{}, ErrSeparated
}

// small reports whether a step changes nothing that anyone would see.
func small(step *mat.VecDense, beta []float64) bool {
	for a, b := range beta {
		if !(math.Abs(step.AtVec(a)) <= 1e-8*(1+math.Abs(b))) {
			return false
		}
	}
	return true
}

func checkDesign(design [][]float64, successes, trials []float64) error {
	if len(design) == 0 || len(design) != len(successes) || len(design) != len(trials) || len(design[0]) == 0 {
		return ErrLengths
	}
	won, tried := 0.0, 0.0
	for i, row := range design {
		if len(row) != len(design[0]) || !(successes[i] >= 0 && successes[i] <= trials[i]) {
			return ErrLengths
		}
		if !sane(row...) || !sane(trials[i]) {
			return ErrNumbers
		}
		won, tried = won+successes[i], tried+trials[i]
	}
	if won == 0 || won == tried {
		return ErrSeparated
	}
	return nil
}

// likelihood is the log-likelihood, and the deviance from a curve through every row.
func likelihood(by link, design [][]float64, successes, trials, beta []float64) (logLik, deviance float64) {
	for i, row := range design {
		p, _, _ := by.at(dot(row, beta))
		y, n := successes[i], trials[i]
		if y > 0 {
			log := logOf(p)
			logLik += y * log
			deviance += 2 * y * (math.Log(y/n) - log)
		}
		if y < n {
			log := logOf(1 - p)
			logLik += (n - y) * log
			deviance += 2 * (n - y) * (math.Log((n-y)/n) - log)
		}
	}
	return logLik, deviance
}

func expit(x float64) float64 { return 1 / (1 + math.Exp(-x)) }

func logOf(p float64) float64 { return math.Log(max(p, 1e-300)) }

func dot(a, b []float64) float64 {
	sum := 0.0
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}

func total(list []float64) int {
	sum := 0.0
	for _, x := range list {
		sum += x
	}
	return int(math.Round(sum))
}

// OnLogCase fits one person's outcomes in their order: log odds of success = b0 + b1 ln(case), cases counted from 1. The error is
// ErrLengths without outcomes, or ErrSeparated.
func OnLogCase(failures []bool) (Fit, error) {
	n := len(failures)
	design, successes, trials, cells := make([][]float64, n), make([]float64, n), make([]float64, n), make([]float64, 2*n)
	for i, failure := range failures {
		design[i], trials[i] = cells[2*i:2*i+2], 1
		design[i][0], design[i][1] = 1, math.Log(float64(i+1))
		if !failure {
			successes[i] = 1
		}
	}
	return Logistic(design, successes, trials)
}

// Target is where a fitted line reaches a wanted share of successes, on the scale of the line (for OnLogCase, ln of the case number).
type Target struct {
	Share     float64
	At        float64
	SE        float64 // by the delta method
	Low, High float64 // Fieller limits; +Inf where there is no upper limit
	Bounded   bool    // whether there is an upper limit at all
	G         float64 // how uncertain the slope is: at 1 or more there is no upper limit
	Level     float64
}

// Reaches finds where intercept + slope x gives the wanted share, from the coefficients at places intercept and slope of a fit.
// Fieller's limits (1954, J R Stat Soc B 16:175) are all x whose line is not further from the share than chance allows; when the slope
// itself could be 0 (G of 1 or more) they have no upper end, and that is said rather than hidden. The error is ErrRisk for a share or
// level outside 0 to 1, or ErrFlat.
func (f Fit) Reaches(intercept, slope int, share, level float64) (Target, error) {
	if !(share > 0 && share < 1 && level > 0 && level < 1) {
		return Target{}, ErrRisk
	}
	b0, b1 := f.Coefficient[intercept], f.Coefficient[slope]
	if !(b1 > 0) {
		return Target{}, ErrFlat
	}
	v00, v01, v11 := f.Covariance.At(intercept, intercept), f.Covariance.At(intercept, slope), f.Covariance.At(slope, slope)
	wanted := f.link.of(share)
	z := -distuv.UnitNormal.Quantile((1 - level) / 2)
	x := (wanted - b0) / b1
	t := Target{Share: share, At: x, SE: math.Sqrt(v00+2*x*v01+x*x*v11) / b1, Level: level, G: z * z * v11 / (b1 * b1)}
	// (b0 + b1 x - wanted)^2 <= z^2 (v00 + 2 x v01 + x^2 v11), a quadratic in x
	a, b, c := b1*b1-z*z*v11, 2*(b1*(b0-wanted)-z*z*v01), (b0-wanted)*(b0-wanted)-z*z*v00
	root := b*b - 4*a*c
	switch {
	case root < 0: // every x is possible
		t.Low, t.High = math.Inf(-1), math.Inf(1)
	case a > 0:
		t.Low, t.High, t.Bounded = (-b-math.Sqrt(root))/(2*a), (-b+math.Sqrt(root))/(2*a), true
	default: // two half lines; the one that holds the estimate is told
		lower, upper := (-b+math.Sqrt(root))/(2*a), (-b-math.Sqrt(root))/(2*a)
		if x >= upper {
			t.Low, t.High = upper, math.Inf(1)
		} else {
			t.Low, t.High = math.Inf(-1), lower
		}
	}
	return t, nil
}
