package item

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// design is who was asked what: people asked the same items make a group. A full table is one group.
type design struct {
	items  int
	people int       // who tell: neither all right nor all wrong of what they were asked
	told   []float64 // people who tell, of each item
	right  []float64 // of them right
	groups []*group
}

// group is the people asked the same items, with the margins of their answers.
type group struct {
	asked []int // items, rising
	rows  []int // people who tell
	margins
}

// designOf sorts the people of a table. The error is ErrShape, ErrFew or ErrNoSpread.
func designOf(answers [][]float64) (design, error) {
	if len(answers) < 2 || len(answers[0]) < 2 {
		return design{}, ErrFew
	}
	d := design{items: len(answers[0])}
	d.told, d.right = make([]float64, d.items), make([]float64, d.items)
	known := map[string]*group{}
	for i, row := range answers {
		if len(row) != d.items {
			return design{}, ErrShape
		}
		key, asked, total := make([]byte, d.items), []int(nil), 0.0
		for j, x := range row {
			switch {
			case math.IsNaN(x):
				continue
			case x != 0 && x != 1:
				return design{}, ErrShape
			}
			key[j], asked, total = 1, append(asked, j), total+x
		}
		if total == 0 || total == float64(len(asked)) {
			continue
		}
		g := known[string(key)]
		if g == nil {
			g = &group{asked: asked, margins: margins{right: make([]float64, len(asked)), scored: make([]float64, len(asked)+1)}}
			known[string(key)] = g
			d.groups = append(d.groups, g)
		}
		g.rows = append(g.rows, i)
		g.scored[int(total)]++
		d.people++
		for at, j := range asked {
			g.right[at] += row[j]
			d.right[j] += row[j]
			d.told[j]++
		}
	}
	if d.people == 0 {
		return design{}, ErrFew
	}
	for j, right := range d.right {
		if right == 0 || right == d.told[j] {
			return design{}, ErrNoSpread
		}
	}
	return d, nil
}

// start is the log odds of a wrong answer, centred.
func (d design) start() []float64 {
	difficulty, mean := make([]float64, d.items), 0.0
	for j, right := range d.right {
		difficulty[j] = -math.Log(right / (d.told[j] - right))
		mean += difficulty[j] / float64(d.items)
	}
	for j := range difficulty {
		difficulty[j] -= mean
	}
	return difficulty
}

// derivatives are the gradient of the conditional log-likelihood and its information, over all groups.
func (d design) derivatives(difficulty []float64) (*mat.VecDense, *mat.SymDense) {
	gradient, information := mat.NewVecDense(d.items, nil), mat.NewSymDense(d.items, nil)
	for _, g := range d.groups {
		slope, bend := g.derivatives(pick(difficulty, g.asked))
		for a, i := range g.asked {
			gradient.SetVec(i, gradient.AtVec(i)+slope.AtVec(a))
			for b := a; b < len(g.asked); b++ {
				j := g.asked[b]
				information.SetSym(i, j, information.At(i, j)+bend.At(a, b))
			}
		}
	}
	return gradient, information
}

func (d design) logLik(difficulty []float64) float64 {
	sum := 0.0
	for _, g := range d.groups {
		sum += g.margins.logLik(pick(difficulty, g.asked))
	}
	return sum
}

// pick takes the values at some places.
func pick(values []float64, places []int) []float64 {
	list := make([]float64, len(places))
	for a, j := range places {
		list[a] = values[j]
	}
	return list
}
