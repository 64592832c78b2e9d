package question

import (
	"fmt"
	"math"
	"slices"

	"isthmus/assessment/atrium"
	"isthmus/assessment/strict"
)

// Answer is what somebody answered to an item, in the item's own terms. The zero value is no answer.
type Answer struct {
	Chosen []string     `json:"chosen,omitempty"` // ids of options; of ordering, all in the order given
	Number *float64     `json:"number,omitempty"` // in the item's unit
	Path   []atrium.Vec `json:"path,omitempty"`   // the point, line or ring drawn
}

// Empty reports whether nothing was answered.
func (a Answer) Empty() bool { return len(a.Chosen) == 0 && a.Number == nil && len(a.Path) == 0 }

// Check reports what makes an answer no answer to this item: options it has not, more of them than are asked for, something drawn where a
// number is asked for. A wrong answer is no fault, and neither is none.
func (it Item) Check(a Answer) strict.Faults {
	var faults strict.Faults
	if a.Empty() {
		return faults
	}
	if len(a.Chosen) > 0 && it.mostChosen() == 0 {
		faults.Add("chosen", "this item has no options")
	}
	if a.Number != nil && it.Kind != Numeric {
		faults.Add("number", "this item does not ask for a number")
	}
	if len(a.Path) > 0 && it.Kind != OnMap {
		faults.Add("path", "this item does not ask for a drawing")
	}
	switch {
	case len(faults.List) > 0:
	case it.Kind == Numeric && (math.IsNaN(*a.Number) || math.IsInf(*a.Number, 0)):
		faults.Add("number", "must be a number")
	case it.Kind == OnMap:
		faults.Join("", it.Map.pathFaults("path", a.Path))
	case it.mostChosen() > 0:
		it.checkChosen(a.Chosen, &faults)
	}
	return faults
}

// mostChosen is how many options may be chosen; 0 for an item without options.
func (it Item) mostChosen() int {
	switch it.Kind {
	case SingleBest:
		return 1
	case Several:
		return len(it.Key)
	case Ordering:
		return len(it.Options)
	}
	return 0
}

func (it Item) checkChosen(chosen []string, faults *strict.Faults) {
	if n := it.mostChosen(); len(chosen) > n || it.Kind == Ordering && len(chosen) < n {
		faults.Add("chosen", "has %d options; %d are asked for", len(chosen), n)
	}
	for i, id := range chosen {
		field := fmt.Sprintf("chosen[%d]", i)
		if _, known := it.option(id); !known {
			faults.Add(field, "%q is no option of this item", shorten(id))
		}
		if slices.Index(chosen, id) < i {
			faults.Add(field, "chosen twice")
		}
	}
}
