package assessment

import (
	"errors"

	"isthmus/assessment/strict"
)

// Edition is a scenario in a library, with where it stands there.
type Edition struct {
	ID ScenarioID
	Life
	Scenario Scenario // carries the edition's id, version and status
}

// ErrAnotherScenario says that an edition was given another id; compare with errors.Is.
var ErrAnotherScenario = errors.New("an edition keeps its id: make a new scenario for another one")

// StarterEdition is a scenario that came with the program, as the library of a programme that has not touched it shows it.
func StarterEdition(s Scenario) Edition {
	return Edition{ID: s.ID, Life: StarterLife(s.Version), Scenario: s}
}

// NewEdition begins a scenario as the draft of its version 1. It may be unfinished, but it must have an id, and no more of anything than
// can be kept. The error is strict.Faults.
func NewEdition(s Scenario, author string) (Edition, error) {
	faults := s.draftFaults()
	if !isID(string(s.ID)) {
		faults.Add("id", wordsByHyphens)
	}
	if err := faults.Err(); err != nil {
		return Edition{}, err
	}
	return Edition{ID: s.ID, Scenario: s}.with(NewLife(author)), nil
}

// Edit replaces the text of a draft; whoever does becomes one of its authors, and is its reviewer no longer. What s says of id, version
// and status is passed over, except that another id is refused. The error is a named one or strict.Faults; the edition is then unchanged.
func (e Edition) Edit(s Scenario, by string) (Edition, error) {
	life, err := e.Edited(by)
	if err != nil {
		return e, err
	}
	if s.ID != "" && s.ID != e.ID {
		return e, ErrAnotherScenario
	}
	if err := s.draftFaults().Err(); err != nil {
		return e, err
	}
	e.Scenario = s
	return e.with(life), nil
}

// draftFaults reports what not even a draft may hold: more of anything than is ever allowed.
func (s Scenario) draftFaults() strict.Faults {
	var faults strict.Faults
	checkText(&faults, "title", s.Title, 0, 120)
	checkText(&faults, "author", s.Author, 0, 120)
	checkText(&faults, "vignette", s.Vignette, 0, 4000)
	s.checkSize(&faults)
	return faults
}

// Submit hands a draft to review. check is of the scenario as it would be live: see ForReview. The error is a named one, or strict.Faults
// with everything the check found.
func (e Edition) Submit(check Check) (Edition, error) {
	return e.checked(check)(e.Submitted())
}

// Return hands an edition in review back with the reason. An author may take back their own; that is no review.
func (e Edition) Return(by, reason string) (Edition, error) {
	return e.after(e.Returned(by, reason))
}

// Approve makes an edition in review live; the version that was live until now is superseded. Nobody approves what they wrote in. check
// is made anew, for the policy can have changed since the submission.
func (e Edition) Approve(by string, check Check) (Edition, error) {
	return e.checked(check)(e.Approved(by))
}

// Retire takes a scenario out of use with the reason, whatever is being worked on. Its versions stay for those who answered them.
func (e Edition) Retire(reason string) (Edition, error) {
	return e.after(e.TakenOut(reason))
}

// Revise begins the next version as a draft of what is live, or of what was retired. What is live stays so meanwhile. A draft that was
// retired before it went live keeps its authors: it is still their text.
func (e Edition) Revise(by string) (Edition, error) {
	return e.after(e.Revised(by))
}

// ForReview is the edition's scenario as it would be live: what must be without faults before it is submitted.
func (e Edition) ForReview() Scenario {
	s := e.Scenario
	s.Status = Live
	return s
}

// checked takes the next life of an edition unless the check found something. What the state refuses is told first.
func (e Edition) checked(check Check) func(Life, error) (Edition, error) {
	return func(life Life, err error) (Edition, error) {
		if err == nil {
			err = check.Err()
		}
		return e.after(life, err)
	}
}

// after is the edition at its next life, or unchanged with the error.
func (e Edition) after(life Life, err error) (Edition, error) {
	if err != nil {
		return e, err
	}
	return e.with(life), nil
}

// with is the edition at another life, which is written into the scenario, so that a file of it says the same.
func (e Edition) with(life Life) Edition {
	e.Life = life
	e.Scenario.ID, e.Scenario.Version, e.Scenario.Status = e.ID, life.Version, life.Status
	return e
}
