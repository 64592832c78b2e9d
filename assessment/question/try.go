package question

import (
	"fmt"
	"math"

	"isthmus/assessment/atrium"
	"isthmus/assessment/strict"
)

// Try marks an item's own answers: the key must be worth everything and each wrong answer it foresees must not. It finds what Validate
// cannot, as a drawing's effect is the model's to say. The item must be valid; the error is strict.Faults, or comes from the model.
func Try(m Conductor, it Item) error {
	var faults strict.Faults
	full := func(field string, a Answer, want bool) error {
		mark, err := MarkItem(m, it, a, Scheme{})
		if err != nil {
			return fmt.Errorf("try %s, %s: %w", it.ID, field, err)
		}
		switch {
		case want && !mark.Right:
			faults.Add(field, "the key is not marked right%s", because(mark.Says))
		case !want && mark.Right:
			faults.Add(field, "a wrong answer is marked right")
		}
		return nil
	}
	for _, t := range it.trials() {
		if err := full(t.field, t.answer, t.right); err != nil {
			return err
		}
	}
	return faults.Err()
}

// Sound is an error unless the item is valid and its own answers are marked as they should be: what must be so before it is asked.
func (it Item) Sound(m Conductor) error {
	if err := it.Validate().Err(); err != nil {
		return err
	}
	return Try(m, it)
}

// because joins what was said of a mark.
func because(says []string) string {
	text := ""
	for _, s := range says {
		text += ": " + s
	}
	return text
}

// trial is one of an item's own answers.
type trial struct {
	field  string
	answer Answer
	right  bool
}

// Example is an answer to the item, right or wrong: the first that it foresees, or a number far from the right one where it foresees none.
// Invented attempts are made of it. The item must be valid.
func (it Item) Example(right bool) Answer {
	for _, t := range it.trials() {
		if t.right == right {
			return t.answer
		}
	}
	if it.Number == nil { // a drawing without a foreseen wrong one: none at all is wrong too
		return Answer{}
	}
	far := it.Number.Value + 2*it.Number.Tolerance + max(1, math.Abs(it.Number.Value))
	return Answer{Number: &far}
}

// trials are the key and every wrong answer that the item foresees. A point whose key is a course is tried at every turn of the course.
func (it Item) trials() []trial {
	var list []trial
	switch it.Kind {
	case Numeric:
		list = append(list, trial{"number.value", Answer{Number: &it.Number.Value}, true})
		for i, miss := range it.Number.Misses {
			list = append(list, trial{fmt.Sprintf("number.misses[%d]", i), Answer{Number: &miss.Value}, false})
		}
	case OnMap:
		list = append(list, it.Map.keyTrials()...)
		for i, miss := range it.Map.Misses {
			list = append(list, trial{fmt.Sprintf("map.misses[%d]", i), Answer{Path: miss.Path}, false})
		}
	default:
		list = append(list, trial{"key", Answer{Chosen: it.Key}, true})
		list = append(list, it.wrongTrials()...)
	}
	return list
}

func (t Task) keyTrials() []trial {
	if t.Draw != Point {
		return []trial{{"map.key", Answer{Path: t.Key}, true}}
	}
	var list []trial
	for i, at := range t.Key {
		list = append(list, trial{fmt.Sprintf("map.key[%d]", i), Answer{Path: []atrium.Vec{at}}, true})
	}
	return list
}

// wrongTrials put each wrong option into the key, one at a time; of an order, they turn each two neighbours round.
func (it Item) wrongTrials() []trial {
	var list []trial
	for i, o := range it.Options {
		field := fmt.Sprintf("options[%d]", i)
		chosen := append([]string{}, it.Key...)
		switch {
		case it.Kind == Ordering && i+1 < len(chosen):
			chosen[i], chosen[i+1] = chosen[i+1], chosen[i]
			list = append(list, trial{"key", Answer{Chosen: chosen}, false})
		case it.Kind != Ordering && it.hits([]string{o.ID}) == 0:
			chosen[len(chosen)-1] = o.ID
			list = append(list, trial{field, Answer{Chosen: chosen}, false})
		}
	}
	return list
}
