package question

import (
	"math"
	"slices"

	"isthmus/assessment/atrium"
)

// Conductor computes what a lesion set would block and what it would leave; *atrium.Model is one.
type Conductor interface {
	Conduct(set atrium.LesionSet) (atrium.Result, error)
}

// Mark is what an answer is worth, of 1 at most.
type Mark struct {
	Item     ItemID   `json:"item"`
	Version  int      `json:"version"`
	Answered bool     `json:"answered"`
	Points   float64  `json:"points"` // 1 at most; below 0 only under Scheme.Negative
	Right    bool     `json:"right"`  // exactly the key
	Rule     Rule     `json:"rule"`
	Says     []string `json:"says"` // the feedback on what was answered, and what a drawing fell short of; shown after submission only
}

// MarkItem marks one answer. The order the options were shown in, and of several answers the order they were chosen in, make no difference.
// No answer is worth 0. The error is strict.Faults for what is no answer to this item, or comes from the model. The item must be valid.
func MarkItem(m Conductor, it Item, a Answer, scheme Scheme) (Mark, error) {
	if err := it.Check(a).Err(); err != nil {
		return Mark{}, err
	}
	mark := Mark{Item: it.ID, Version: it.Version, Rule: it.rule(), Answered: !a.Empty(), Says: []string{}}
	if a.Empty() {
		return mark, nil
	}
	switch it.Kind {
	case Numeric:
		mark.Right, mark.Says = it.Number.right(*a.Number), it.Number.says(*a.Number)
	case OnMap:
		short, err := it.Map.short(m, a.Path)
		if err != nil {
			return Mark{}, err
		}
		mark.Right, mark.Says = len(short) == 0, append(mark.Says, short...)
		if !mark.Right {
			mark.Says = append(mark.Says, it.Map.missed(a.Path)...)
		}
	case Ordering:
		mark.Right = slices.Equal(a.Chosen, it.Key)
	default:
		mark.Right = it.hits(a.Chosen) == len(it.Key) && len(a.Chosen) == len(it.Key)
	}
	for _, id := range a.Chosen {
		if o, known := it.option(id); known && it.Kind != Ordering {
			mark.Says = append(mark.Says, o.Feedback)
		}
	}
	mark.Points = it.points(a, mark.Right, scheme)
	return mark, nil
}

// points applies the rule, and the scheme to a wrong single best answer.
func (it Item) points(a Answer, right bool, scheme Scheme) float64 {
	switch {
	case right:
		return 1
	case it.rule() == HalfFromHalf && 2*it.hits(a.Chosen) >= len(it.Key):
		return 0.5
	case it.rule() == Share:
		return float64(it.hits(a.Chosen)) / float64(len(it.Key))
	case it.rule() == Pairs:
		return pairs(a.Chosen, it.Key)
	case it.Kind == SingleBest && scheme.Negative:
		return -1 / float64(len(it.Options)-1)
	}
	return 0
}

// hits counts the right options among those chosen.
func (it Item) hits(chosen []string) int {
	n := 0
	for _, id := range chosen {
		if slices.Contains(it.Key, id) {
			n++
		}
	}
	return n
}

// pairs is the rank correlation of an order with the key, at least 0.
func pairs(order, key []string) float64 {
	right, all := 0, 0
	for i := range order {
		for j := i + 1; j < len(order); j++ {
			all++
			if slices.Index(key, order[i]) < slices.Index(key, order[j]) {
				right++
			}
		}
	}
	return max(0, float64(2*right-all)/float64(all))
}

// right reports whether x lies within the tolerance. The comparison forgives what decimal numbers lose in binary.
func (n Number) right(x float64) bool {
	return math.Abs(x-n.Value) <= n.Tolerance+1e-9*max(1, math.Abs(n.Value))
}

// says is the feedback on a wrong number: that of the first miss it lies as near to as a right one must lie to the right one.
func (n Number) says(x float64) []string {
	list := []string{}
	if n.right(x) {
		return list
	}
	for _, miss := range n.Misses {
		if math.Abs(x-miss.Value) <= n.Tolerance+1e-9*max(1, math.Abs(miss.Value)) {
			return append(list, miss.Feedback)
		}
	}
	return list
}
