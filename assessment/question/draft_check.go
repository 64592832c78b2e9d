package question

import (
	"fmt"

	"isthmus/assessment/strict"
)

// draftFaults reports what not even a draft may hold: more of anything than is ever allowed.
func (it Item) draftFaults() strict.Faults {
	var faults strict.Faults
	checkText(&faults, "topic", string(it.Topic), 0, 80)
	checkText(&faults, "kind", string(it.Kind), 0, 20)
	checkText(&faults, "difficulty", string(it.Difficulty), 0, 20)
	checkText(&faults, "rule", string(it.Rule), 0, 40)
	checkText(&faults, "author", it.Author, 0, 120)
	checkText(&faults, "stem", it.Stem, 0, mostText)
	checkText(&faults, "rationale", it.Rationale, 0, mostText)
	checkText(&faults, "source", it.Source, 0, 300)
	checkRange(&faults, "options", float64(len(it.Options)), 0, mostOptions)
	checkRange(&faults, "key", float64(len(it.Key)), 0, mostOptions)
	checkRange(&faults, "not_with", float64(len(it.NotWith)), 0, mostNotWith)
	for i, o := range it.Options {
		field := fmt.Sprintf("options[%d]", i)
		checkText(&faults, field+".id", o.ID, 0, 80)
		checkText(&faults, field+".text", o.Text, 0, 500)
		checkText(&faults, field+".feedback", o.Feedback, 0, 1000)
	}
	for i, id := range it.Key {
		checkText(&faults, fmt.Sprintf("key[%d]", i), id, 0, 80)
	}
	for i, id := range it.NotWith {
		checkText(&faults, fmt.Sprintf("not_with[%d]", i), string(id), 0, 80)
	}
	if it.Number != nil {
		checkText(&faults, "number.unit", it.Number.Unit, 0, 20)
		checkRange(&faults, "number.misses", float64(len(it.Number.Misses)), 0, mostMisses)
		for i, miss := range it.Number.Misses {
			checkText(&faults, fmt.Sprintf("number.misses[%d].feedback", i), miss.Feedback, 0, 1000)
		}
	}
	if it.Map != nil {
		it.Map.draftFaults(&faults)
	}
	return faults
}

// draftFaults bounds a task on the map that is still being written.
func (t Task) draftFaults(faults *strict.Faults) {
	checkText(faults, "map.chamber", string(t.Chamber), 0, 40)
	checkText(faults, "map.draw", string(t.Draw), 0, 20)
	checkRange(faults, "map.shown.lesions", float64(len(t.Shown.Lesions)), 0, mostShown)
	checkRange(faults, "map.key", float64(len(t.Key)), 0, mostPoints)
	checkRange(faults, "map.misses", float64(len(t.Misses)), 0, mostMisses)
	points := 0
	for _, lesion := range t.Shown.Lesions {
		points += len(lesion.Path)
		checkText(faults, "map.shown.lesions", string(lesion.Name), 0, 120)
	}
	checkRange(faults, "map.shown.lesions", float64(points), 0, mostPoints)
	for i, miss := range t.Misses {
		field := fmt.Sprintf("map.misses[%d]", i)
		checkRange(faults, field+".path", float64(len(miss.Path)), 0, mostPoints)
		checkText(faults, field+".feedback", miss.Feedback, 0, 1000)
	}
	if t.Effect == nil {
		return
	}
	asked := len(t.Effect.Isolates) + len(t.Effect.Clear)
	for _, circuit := range append(t.Effect.Closes, t.Effect.Leaves...) {
		asked += 1 + len(circuit)
	}
	checkRange(faults, "map.effect", float64(asked), 0, mostPoints)
}
