package question

import (
	"errors"

	"isthmus/assessment"
)

// Edition is an item in a programme's bank, with where it stands there: a draft is written, reviewed by somebody who wrote nothing of it,
// and only then asked.
type Edition struct {
	ID ItemID
	assessment.Life
	Item Item // carries the edition's id, version and status
}

// ErrAnotherItemID says that an edition was given another id; compare with errors.Is.
var ErrAnotherItemID = errors.New("a question keeps its id: make a new one for another question")

// StarterEdition is an item that came with the program, as the bank of a programme that has not touched it shows it.
func StarterEdition(it Item) Edition {
	return Edition{ID: it.ID, Life: assessment.StarterLife(it.Version), Item: it}
}

// NewEdition begins an item as the draft of its version 1. It may be unfinished, but it must have an id, and no more of anything than can
// be kept. The error is strict.Faults.
func NewEdition(it Item, author string) (Edition, error) {
	faults := it.draftFaults()
	checkID(&faults, "id", string(it.ID))
	if err := faults.Err(); err != nil {
		return Edition{}, err
	}
	return Edition{ID: it.ID, Item: it}.with(assessment.NewLife(author)), nil
}

// Edit replaces the text of a draft; whoever does becomes one of its authors, and is its reviewer no longer. What it says of id, version
// and status is passed over, except that another id is refused. The error is a named one or strict.Faults; the edition is then unchanged.
func (e Edition) Edit(it Item, by string) (Edition, error) {
	life, err := e.Edited(by)
	if err != nil {
		return e, err
	}
	if it.ID != "" && it.ID != e.ID {
		return e, ErrAnotherItemID
	}
	if err := it.draftFaults().Err(); err != nil {
		return e, err
	}
	e.Item = it
	return e.with(life), nil
}

// Submit hands a draft to review. The error is assessment.ErrNotDraft, or strict.Faults with every mistake of the item as it would be live.
func (e Edition) Submit(model Conductor) (Edition, error) {
	life, err := e.Submitted()
	return e.sound(model, life, err)
}

// Return hands an edition in review back with the reason. An author may take back their own; that is no review.
func (e Edition) Return(by, reason string) (Edition, error) {
	return e.after(e.Returned(by, reason))
}

// Approve makes an edition in review live; the version that was live until now is superseded. Nobody approves what they wrote in. The
// error is a named one or strict.Faults.
func (e Edition) Approve(by string, model Conductor) (Edition, error) {
	life, err := e.Approved(by)
	return e.sound(model, life, err)
}

// Retire takes an item out of use with the reason, whatever is being worked on. Attempts keep what they were asked.
func (e Edition) Retire(reason string) (Edition, error) {
	return e.after(e.TakenOut(reason))
}

// Revise begins the next version as a draft of what is live, or of what was retired. What is live stays so meanwhile.
func (e Edition) Revise(by string) (Edition, error) {
	return e.after(e.Revised(by))
}

// ForReview is the edition's item as it would be live: what must be without faults before it is submitted.
func (e Edition) ForReview() Item {
	it := e.Item
	it.Status = assessment.Live
	return it
}

// sound takes the next life of an edition unless its item has mistakes. What the state refuses is told first.
func (e Edition) sound(model Conductor, life assessment.Life, err error) (Edition, error) {
	if err != nil {
		return e, err
	}
	return e.after(life, e.ForReview().Sound(model))
}

// after is the edition at its next life, or unchanged with the error.
func (e Edition) after(life assessment.Life, err error) (Edition, error) {
	if err != nil {
		return e, err
	}
	return e.with(life), nil
}

// with is the edition at another life, which is written into the item, so that a file of it says the same.
func (e Edition) with(life assessment.Life) Edition {
	e.Life = life
	e.Item.ID, e.Item.Version, e.Item.Status = e.ID, life.Version, life.Status
	return e
}
