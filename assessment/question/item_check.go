package question

import (
	"fmt"
	"slices"
	"strings"

	"isthmus/assessment"
	"isthmus/assessment/strict"
)

// Limits of an item. They bound what a screen can show and a person can read.
const (
	mostOptions = 10
	mostMisses  = 10
	mostNotWith = 20
	mostText    = 2000
	mostNumber  = 1e9
)

// The closed lists of an item, in the order they are offered.
var (
	kinds        = []Kind{SingleBest, Several, Numeric, Ordering, OnMap}
	difficulties = []Difficulty{Easy, Middling, Hard}
	statuses     = []assessment.Status{assessment.Draft, assessment.InReview, assessment.Live, assessment.Retired}
	draws        = []Draw{Point, Line, Ring}
)

// Validate reports every mistake in the item: words out of the closed lists, parts that do not belong to its kind, a key that is no
// answer, and a live item whose fact is known from memory alone. Whether a key on the map does what it should is Check's to say, for it
// needs the model.
func (it Item) Validate() strict.Faults {
	var faults strict.Faults
	checkID(&faults, "id", string(it.ID))
	checkRange(&faults, "version", float64(it.Version), 1, 1e6)
	checkID(&faults, "topic", string(it.Topic))
	checkAmong(&faults, "status", it.Status, statuses)
	checkText(&faults, "author", it.Author, 1, 120)
	checkAmong(&faults, "kind", it.Kind, kinds)
	checkAmong(&faults, "difficulty", it.Difficulty, difficulties)
	checkText(&faults, "stem", it.Stem, 10, mostText)
	checkText(&faults, "rationale", it.Rationale, 10, mostText)
	checkText(&faults, "source", it.Source, 3, 300)
	if it.Status == assessment.Live && strings.Contains(strings.ToLower(it.Source), "from memory") {
		faults.Add("source", "a live item needs a fact that somebody has read: find the source, or retire the item")
	}
	if known := rulesOf[it.Kind]; it.Rule != "" && known != nil {
		checkAmong(&faults, "rule", it.Rule, known)
	}
	checkRange(&faults, "not_with", float64(len(it.NotWith)), 0, mostNotWith)
	for i, id := range it.NotWith {
		field := fmt.Sprintf("not_with[%d]", i)
		checkID(&faults, field, string(id))
		if id == it.ID {
			faults.Add(field, "is the item itself")
		}
	}
	it.checkParts(&faults)
	return faults
}

// checkParts checks that the item has what its kind asks for, and nothing else.
func (it Item) checkParts(faults *strict.Faults) {
	withOptions := it.Kind == SingleBest || it.Kind == Several || it.Kind == Ordering
	if withOptions {
		it.checkOptions(faults)
		it.checkKey(faults)
	} else if len(it.Options) > 0 || len(it.Key) > 0 || it.KeepOrder {
		faults.Add("options", "an item of the kind %s has no options and no key of options", it.Kind)
	}
	switch {
	case it.Kind == Numeric && it.Number == nil:
		faults.Add("number", "is missing")
	case it.Kind == Numeric:
		it.Number.check(faults)
	case it.Number != nil:
		faults.Add("number", "belongs to a numeric item only")
	}
	switch {
	case it.Kind == OnMap && it.Map == nil:
		faults.Add("map", "is missing")
	case it.Kind == OnMap:
		it.Map.check(faults)
	case it.Map != nil:
		faults.Add("map", "belongs to an item on the map only")
	}
}

func (it Item) checkOptions(faults *strict.Faults) {
	checkRange(faults, "options", float64(len(it.Options)), 3, mostOptions)
	for i, o := range it.Options {
		field := fmt.Sprintf("options[%d]", i)
		checkID(faults, field+".id", o.ID)
		checkText(faults, field+".text", o.Text, 1, 500)
		checkText(faults, field+".feedback", o.Feedback, 1, 1000)
		for _, before := range it.Options[:i] {
			if before.ID == o.ID {
				faults.Add(field+".id", "given twice: every option needs its own")
			}
			if strings.EqualFold(strings.TrimSpace(before.Text), strings.TrimSpace(o.Text)) {
				faults.Add(field+".text", "says the same as another option")
			}
		}
	}
}

func (it Item) checkKey(faults *strict.Faults) {
	for i, id := range it.Key {
		field := fmt.Sprintf("key[%d]", i)
		if _, known := it.option(id); !known {
			faults.Add(field, "%q is no option of this item", shorten(id))
		}
		if slices.Index(it.Key, id) < i {
			faults.Add(field, "given twice: remove one")
		}
	}
	switch n := len(it.Key); {
	case it.Kind == SingleBest && n != 1:
		faults.Add("key", "a single best answer has one key, not %d", n)
	case it.Kind == Several && (n < 2 || n >= len(it.Options)):
		faults.Add("key", "several answers have at least two right options and at least one wrong one")
	case it.Kind == Ordering && n != len(it.Options):
		faults.Add("key", "must list all %d options in their right order", len(it.Options))
	case it.Kind == Ordering && it.KeepOrder:
		faults.Add("keep_order", "would show the options of an ordering item as written")
	}
}

func (n Number) check(faults *strict.Faults) {
	checkRange(faults, "number.value", n.Value, -mostNumber, mostNumber)
	checkRange(faults, "number.tolerance", n.Tolerance, 0, mostNumber)
	checkText(faults, "number.unit", n.Unit, 1, 20)
	checkRange(faults, "number.misses", float64(len(n.Misses)), 0, mostMisses)
	for i, miss := range n.Misses {
		field := fmt.Sprintf("number.misses[%d]", i)
		checkRange(faults, field+".value", miss.Value, -mostNumber, mostNumber)
		checkText(faults, field+".feedback", miss.Feedback, 1, 1000)
		if n.right(miss.Value) {
			faults.Add(field+".value", "is within the tolerance of the right number")
		}
	}
}
