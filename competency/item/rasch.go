package item

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// Rasch is the fit of the Rasch model: the log odds that a person answers an item rightly are the person's ability less the item's
// difficulty. Difficulties are in log odds and add up to 0.
type Rasch struct {
	N          int // people whose answers tell: neither all right nor all wrong
	Difficulty []float64
	SE         []float64
	LogLik     float64 // conditional
	Infit      []float64
	Outfit     []float64
}

// FewestForRasch is the number of people below which the difficulties are not worth telling; common practice, no source.
const FewestForRasch = 30

// NotAsked stands in a table of answers for an item that a person was not asked.
var NotAsked = math.NaN()

// FitRasch estimates the difficulties by conditional maximum likelihood (Andersen 1970, J R Stat Soc B 32:283): given their totals,
// people's abilities fall out of it. Newton-Raphson on elementary symmetric functions; standard errors from the inverse information.
// Infit and outfit are mean squares of the residuals, weighted and plain (Wright and Masters 1982), with extreme totals left out: near 1
// an item behaves as the model says. An answer may be NotAsked, as where forms are drawn: people asked the same items then share one
// conditional likelihood, and the likelihoods are multiplied. The error is ErrShape, ErrFew for fewer than two items or nobody who tells,
// ErrNoSpread, or ErrNoSettle, also where no chain of people leads from one item to another. Whether there are enough people to tell it is
// the caller's to ask (FewestForRasch).
func FitRasch(answers [][]float64) (Rasch, error) {
	d, err := designOf(answers)
	if err != nil {
		return Rasch{}, err
	}
	difficulty, k := d.start(), d.items
	for range 100 {
		gradient, information := d.derivatives(difficulty)
		inverse, ok := pseudoInverse(information)
		if !ok {
			return Rasch{}, ErrNoSettle
		}
		var step mat.VecDense
		step.MulVec(inverse, gradient)
		largest, mean := 0.0, 0.0
		for j := range k {
			difficulty[j] += step.AtVec(j)
			largest = max(largest, math.Abs(step.AtVec(j)))
			mean += difficulty[j] / float64(k)
		}
		for j := range k {
			difficulty[j] -= mean
		}
		if largest > 30 || math.IsNaN(largest) {
			return Rasch{}, ErrNoSettle
		}
		if largest < 1e-12 {
			r := Rasch{N: d.people, Difficulty: difficulty, LogLik: d.logLik(difficulty), SE: make([]float64, k)}
			for j := range k {
				r.SE[j] = math.Sqrt(inverse.At(j, j))
			}
			r.fit(answers, d)
			return r, nil
		}
	}
	return Rasch{}, ErrNoSettle
}

// margins are all that conditional likelihood needs of the answers of people asked the same items.
type margins struct {
	right  []float64 // of each item, over the people who tell
	scored []float64 // people with each total, 0 to k
}

// symmetric are the elementary symmetric functions of eps without the items left out; functions[r] sums over all ways to have r right.
func symmetric(eps []float64, without1, without2 int, into []float64) []float64 {
	into = append(into[:0], 1)
	for j, e := range eps {
		if j == without1 || j == without2 {
			continue
		}
		into = append(into, 0)
		for r := len(into) - 1; r > 0; r-- {
			into[r] += into[r-1] * e
		}
	}
	return into
}

func easiness(difficulty []float64) []float64 {
	eps := make([]float64, len(difficulty))
	for j, b := range difficulty {
		eps[j] = math.Exp(-b)
	}
	return eps
}

// derivatives are the gradient of the conditional log-likelihood and its information.
func (m margins) derivatives(difficulty []float64) (*mat.VecDense, *mat.SymDense) {
	k, eps := len(difficulty), easiness(difficulty)
	all := symmetric(eps, -1, -1, nil)
	p := make([][]float64, k) // the probability of item j right given the total
	var scratch []float64
	gradient, information := mat.NewVecDense(k, nil), mat.NewSymDense(k, nil)
	for j := range k {
		scratch = symmetric(eps, j, -1, scratch)
		p[j] = make([]float64, k)
		sum := -m.right[j]
		for r := 1; r < k; r++ {
			p[j][r] = eps[j] * scratch[r-1] / all[r]
			sum += m.scored[r] * p[j][r]
		}
		gradient.SetVec(j, sum)
	}
	for i := range k {
		for j := i; j < k; j++ {
			if i != j {
				scratch = symmetric(eps, i, j, scratch)
			}
			value := 0.0
			for r := 1; r < k; r++ {
				both := p[i][r]
				if i != j {
					both = 0
					if r >= 2 {
						both = eps[i] * eps[j] * scratch[r-2] / all[r]
					}
				}
				value += m.scored[r] * (both - p[i][r]*p[j][r])
			}
			information.SetSym(i, j, value)
		}
	}
	return gradient, information
}

func (m margins) logLik(difficulty []float64) float64 {
	all, sum := symmetric(easiness(difficulty), -1, -1, nil), 0.0
	for j, right := range m.right {
		sum -= difficulty[j] * right
	}
	for r := 1; r < len(m.right); r++ {
		sum -= m.scored[r] * math.Log(all[r])
	}
	return sum
}

// pseudoInverse inverts an information whose only null direction is adding the same to all difficulties.
func pseudoInverse(information *mat.SymDense) (*mat.SymDense, bool) {
	k := information.SymmetricDim()
	share := 1 / float64(k)
	full := mat.NewSymDense(k, nil)
	for i := range k {
		for j := i; j < k; j++ {
			full.SetSym(i, j, information.At(i, j)+share)
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(full) || chol.Cond() > 1e12 {
		return nil, false
	}
	inverse := mat.NewSymDense(k, nil)
	if chol.InverseTo(inverse) != nil {
		return nil, false
	}
	for i := range k {
		for j := i; j < k; j++ {
			inverse.SetSym(i, j, inverse.At(i, j)-share)
		}
	}
	return inverse, true
}

// fit computes infit and outfit at the people's most likely abilities.
func (r *Rasch) fit(answers [][]float64, d design) {
	k := len(r.Difficulty)
	squares, weights := make([]float64, k), make([]float64, k)
	r.Infit, r.Outfit = make([]float64, k), make([]float64, k)
	for _, g := range d.groups {
		own := pick(r.Difficulty, g.asked)
		ability := make([]float64, len(own))
		for total := 1; total < len(own); total++ {
			if g.scored[total] > 0 {
				ability[total] = Ability(own, total).Likely
			}
		}
		for _, i := range g.rows {
			total := 0.0
			for _, j := range g.asked {
				total += answers[i][j]
			}
			for _, j := range g.asked {
				p := logistic(ability[int(total)] - r.Difficulty[j])
				x := answers[i][j]
				spread, square := p*(1-p), (x-p)*(x-p)
				squares[j] += square
				weights[j] += spread
				r.Outfit[j] += square / spread / d.told[j]
			}
		}
	}
	for j := range k {
		r.Infit[j] = squares[j] / weights[j]
	}
}

func logistic(x float64) float64 { return 1 / (1 + math.Exp(-x)) }

// Person is what a total score says of a person's ability, in log odds on the scale of the difficulties.
type Person struct {
	Total    int
	Likely   float64 // maximum likelihood; infinite for all wrong or all right
	LikelySE float64 // NaN there
	Weighted float64 // Warm's estimate, finite for every total and less biased: Warm 1989, Psychometrika 54:427
	SE       float64 // of Weighted
}

// Ability estimates the ability behind a total on items of the given difficulties; total must lie between 0 and their number. Of a few items
// that leave a gap of several log odds, Warm's weighted likelihood can have two peaks: Weighted is then one of them.
func Ability(difficulty []float64, total int) Person {
	k := len(difficulty)
	p := Person{Total: total, Weighted: solve(difficulty, float64(total), true)}
	p.SE = 1 / math.Sqrt(information(difficulty, p.Weighted))
	switch total {
	case 0:
		p.Likely, p.LikelySE = math.Inf(-1), math.NaN()
	case k:
		p.Likely, p.LikelySE = math.Inf(1), math.NaN()
	default:
		p.Likely = solve(difficulty, float64(total), false)
		p.LikelySE = 1 / math.Sqrt(information(difficulty, p.Likely))
	}
	return p
}

func information(difficulty []float64, ability float64) float64 {
	sum := 0.0
	for _, b := range difficulty {
		p := logistic(ability - b)
		sum += p * (1 - p)
	}
	return sum
}

// solve finds by halving the ability at which the expected total, Warm's correction included, is the one seen: it falls from above to
// below as the ability rises.
func solve(difficulty []float64, total float64, weighted bool) float64 {
	low, high := -40.0, 40.0
	for range 200 {
		middle := (low + high) / 2
		if middle == low || middle == high {
			break
		}
		expected, spread, skew := 0.0, 0.0, 0.0
		for _, b := range difficulty {
			p := logistic(middle - b)
			expected += p
			spread += p * (1 - p)
			skew += p * (1 - p) * (1 - 2*p)
		}
		left := total - expected
		if weighted {
			left += skew / (2 * spread)
		}
		if left > 0 {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2
}
