package assessment

import (
	"errors"
	"slices"
	"strings"
	"unicode/utf8"

	"isthmus/assessment/strict"
)

// Superseded is the state of a version that was live until a later one took its place. No file has it.
const Superseded Status = "superseded"

// Edition is a scenario in a library: the version that is worked on or was last, and which version is answered meanwhile. A version that
// went live never changes; the library keeps every one of them.
type Edition struct {
	ID       ScenarioID
	Version  int
	Status   Status   // of this version: draft, in-review, live or retired
	Authors  []string // accounts of whoever wrote in this version, the first to begin it first; none of a starter scenario
	Reviewer string   // account of whoever approved it, or sent it back last; empty until then
	Scenario Scenario // carries the edition's id, version and status
	Revision int      // rises with every act; 0 of a starter scenario nobody touched

	LiveVersion   int // the version that can be answered; 0 for none
	LatestVersion int // the highest that ever went live; 0 for none
}

// What the life of an edition refuses; compare with errors.Is.
var (
	ErrNotDraft        = errors.New("only a draft can be changed or submitted: revise a live scenario, have one in review returned")
	ErrNotInReview     = errors.New("the scenario is not in review")
	ErrOwnEdition      = errors.New("nobody approves a scenario they wrote in: another member of faculty reviews it")
	ErrNotRevisable    = errors.New("only a live or a retired scenario can be revised; this one is being worked on already")
	ErrRetired         = errors.New("the scenario is retired: revise it to bring it back")
	ErrReasonMissing   = errors.New("a reason is required")
	ErrAnotherScenario = errors.New("an edition keeps its id: make a new scenario for another one")
)

// Author is who began the version, or empty for a starter scenario.
func (e Edition) Author() string {
	if len(e.Authors) == 0 {
		return ""
	}
	return e.Authors[0]
}

// StatusOf is the state of any version up to the edition's own.
func (e Edition) StatusOf(version int) Status {
	switch {
	case version == e.LiveVersion:
		return Live
	case version == e.Version:
		return e.Status
	case version == e.LatestVersion && e.LiveVersion == 0:
		return Retired
	}
	return Superseded
}

// StarterEdition is a scenario that came with the program, as the library of a programme that has not touched it shows it.
func StarterEdition(s Scenario) Edition {
	return Edition{ID: s.ID, Version: s.Version, Status: Live, Scenario: s, LiveVersion: s.Version, LatestVersion: s.Version}
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
	e := Edition{ID: s.ID, Version: 1, Status: Draft, Authors: []string{author}, Scenario: s, Revision: 1}
	return e.stamped(), nil
}

// Edit replaces the text of a draft; whoever does becomes one of its authors, and is its reviewer no longer. What s says of id, version
// and status is passed over, except that another id is refused. The error is a named one or strict.Faults; the edition is then unchanged.
func (e Edition) Edit(s Scenario, by string) (Edition, error) {
	if e.Status != Draft {
		return e, ErrNotDraft
	}
	if s.ID != "" && s.ID != e.ID {
		return e, ErrAnotherScenario
	}
	if err := s.draftFaults().Err(); err != nil {
		return e, err
	}
	e.Scenario, e.Authors = s, withAuthor(e.Authors, by)
	if by == e.Reviewer {
		e.Reviewer = ""
	}
	return e.touched(), nil
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
	if e.Status != Draft {
		return e, ErrNotDraft
	}
	if err := check.Err(); err != nil {
		return e, err
	}
	e.Status = InReview
	return e.touched(), nil
}

// Return hands an edition in review back with the reason. An author may take back their own; that is no review.
func (e Edition) Return(by, reason string) (Edition, error) {
	if e.Status != InReview {
		return e, ErrNotInReview
	}
	if err := checkReason(reason); err != nil {
		return e, err
	}
	e.Status = Draft
	if !slices.Contains(e.Authors, by) {
		e.Reviewer = by
	}
	return e.touched(), nil
}

// Approve makes an edition in review live; the version that was live until now is superseded. Nobody approves what they wrote in. check
// is made anew, for the policy can have changed since the submission.
func (e Edition) Approve(by string, check Check) (Edition, error) {
	if e.Status != InReview {
		return e, ErrNotInReview
	}
	if by == "" || slices.Contains(e.Authors, by) {
		return e, ErrOwnEdition
	}
	if err := check.Err(); err != nil {
		return e, err
	}
	e.Status, e.Reviewer = Live, by
	e.LiveVersion, e.LatestVersion = e.Version, e.Version
	return e.touched(), nil
}

// Retire takes a scenario out of use with the reason, whatever is being worked on. Its versions stay for those who answered them.
func (e Edition) Retire(reason string) (Edition, error) {
	if e.Status == Retired {
		return e, ErrRetired
	}
	if err := checkReason(reason); err != nil {
		return e, err
	}
	e.Status, e.LiveVersion = Retired, 0
	return e.touched(), nil
}

// Revise begins the next version as a draft of what is live, or of what was retired. What is live stays so meanwhile. A draft that was
// retired before it went live keeps its authors: it is still their text.
func (e Edition) Revise(by string) (Edition, error) {
	if e.Status != Live && e.Status != Retired {
		return e, ErrNotRevisable
	}
	if e.Version > e.LatestVersion {
		e.Authors = withAuthor(e.Authors, by)
	} else {
		e.Authors = []string{by}
	}
	e.Version, e.Status, e.Reviewer = e.LatestVersion+1, Draft, ""
	return e.touched(), nil
}

// ForReview is the edition's scenario as it would be live: what must be without faults before it is submitted.
func (e Edition) ForReview() Scenario {
	s := e.Scenario
	s.Status = Live
	return s
}

// touched is the edition after one more act.
func (e Edition) touched() Edition {
	e.Revision++
	return e.stamped()
}

// stamped writes id, version and status into the scenario, so that a file of it says the same.
func (e Edition) stamped() Edition {
	e.Scenario.ID, e.Scenario.Version, e.Scenario.Status = e.ID, e.Version, e.Status
	return e
}

// withAuthor is the list with one more author, unless there already.
func withAuthor(authors []string, by string) []string {
	if slices.Contains(authors, by) {
		return authors
	}
	return append(slices.Clone(authors), by)
}

// checkReason accepts a reason of 3 to 500 characters. The error is ErrReasonMissing or strict.Faults.
func checkReason(reason string) error {
	length := utf8.RuneCountInString(strings.TrimSpace(reason))
	var faults strict.Faults
	switch {
	case length == 0:
		return ErrReasonMissing
	case length < 3:
		faults.Add("reason", "must be at least 3 characters: say it in a few words")
	case length > 500:
		faults.Add("reason", "must be at most 500 characters, not %d", length)
	}
	return faults.Err()
}
