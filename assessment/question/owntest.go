package question

import (
	"fmt"

	"isthmus/assessment"
	"isthmus/assessment/strict"
)

// TestID names a programme's own test.
type TestID string

// TestPlan is what a programme's own test asks, for how long and how it is marked.
type TestPlan struct {
	Blueprint
	Minutes int `json:"minutes" minimum:"0" maximum:"480"`
	Scheme      // nothing is taken away unless it says so
}

// The shortest and the longest time of a test, in minutes.
const (
	ShortestTest = 1
	LongestTest  = 480
)

// Validate reports every mistake in the plan as it would be live. Whether a bank can fill it is for Assemble to say.
func (p TestPlan) Validate() strict.Faults {
	faults := p.Blueprint.Validate()
	checkRange(&faults, "minutes", float64(p.Minutes), ShortestTest, LongestTest)
	return faults
}

// draftFaults are what even an unfinished plan must not have: more than can be kept.
func (p TestPlan) draftFaults() strict.Faults {
	var faults strict.Faults
	checkText(&faults, "title", p.Title, 1, 120)
	if len(p.Rows) > MostItems || len(p.Fixed) > MostItems {
		faults.Add("rows", "a test asks at most %d items", MostItems)
	}
	for i, row := range p.Rows {
		if len(row.Topic) > 80 || len(row.Difficulty) > 80 {
			faults.Add(fmt.Sprintf("rows[%d]", i), "must be at most 80 characters")
		}
	}
	for i, ref := range p.Fixed {
		if len(ref.Item) > 80 {
			faults.Add(fmt.Sprintf("fixed[%d].item", i), "must be at most 80 characters")
		}
	}
	return faults
}

// TestEdition is a programme's own test, with where it stands: a draft that faculty may write in, live once its director says so, retired.
// A version that went live never changes.
type TestEdition struct {
	ID TestID
	assessment.Life
	Plan       TestPlan
	RetiredFor string // the reason, while it is retired
}

// NewTest begins a test as the draft of its version 1; it may be unfinished. The error is strict.Faults.
func NewTest(id TestID, plan TestPlan, author string) (TestEdition, error) {
	if err := plan.draftFaults().Err(); err != nil {
		return TestEdition{}, err
	}
	return TestEdition{ID: id, Life: assessment.NewLife(author), Plan: plan}, nil
}

// Edit replaces the plan of a draft. The error is assessment.ErrNotDraft or strict.Faults; the test is then unchanged.
func (e TestEdition) Edit(plan TestPlan, by string) (TestEdition, error) {
	life, err := e.Edited(by)
	if err != nil {
		return e, err
	}
	if err := plan.draftFaults().Err(); err != nil {
		return e, err
	}
	e.Life, e.Plan = life, plan
	return e, nil
}

// Publish makes a draft live; the version that was live until now is superseded. Its questions were reviewed one by one, so whoever
// publishes may have written it. The error is assessment.ErrNotDraft, or strict.Faults when the plan is not valid or the bank cannot fill it.
func (e TestEdition) Publish(bank Bank) (TestEdition, error) {
	life, err := e.Published()
	if err != nil {
		return e, err
	}
	if err := e.Plan.Validate().Err(); err != nil {
		return e, err
	}
	if _, err := Assemble(bank, e.Plan.Blueprint, 0); err != nil {
		return e, err
	}
	e.Life = life
	return e, nil
}

// Revise begins the next version as a draft of what is live or was retired. The error is assessment.ErrNotRevisable.
func (e TestEdition) Revise(by string) (TestEdition, error) {
	life, err := e.Revised(by)
	if err != nil {
		return e, err
	}
	e.Life, e.RetiredFor = life, ""
	return e, nil
}

// Retire takes a test out of use with the reason. The error is one of assessment.Life.TakenOut.
func (e TestEdition) Retire(reason string) (TestEdition, error) {
	life, err := e.TakenOut(reason)
	if err != nil {
		return e, err
	}
	e.Life, e.RetiredFor = life, reason
	return e, nil
}

// Supply is what the bank has for one row of a blueprint.
type Supply struct {
	Asked int                `json:"asked"`
	Live  int                `json:"live"`  // items that fit the row alone; rows of one topic share them
	Drawn int                `json:"drawn"` // of a form, beside what the other rows draw
	By    map[Difficulty]int `json:"by_difficulty"`
}

// SupplyOf says of each row how many live items fit it, how hard they are, and how many one form draws.
func (bank Bank) SupplyOf(b Blueprint) []Supply {
	list := make([]Supply, len(b.Rows))
	var taken []Item
	for _, anyDifficulty := range []bool{false, true} {
		for i, row := range b.Rows {
			if (row.Difficulty == "") != anyDifficulty {
				continue
			}
			list[i] = Supply{Asked: row.Items, By: map[Difficulty]int{}}
			for _, it := range bank.items {
				if it.Status == assessment.Live && it.Topic == row.Topic && (row.Difficulty == "" || row.Difficulty == it.Difficulty) {
					list[i].Live++
					list[i].By[it.Difficulty]++
				}
			}
			before := len(taken)
			taken = bank.draw(row, taken, 0)
			list[i].Drawn = len(taken) - before
		}
	}
	return list
}
