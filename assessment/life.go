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

// Life is where a text of a library stands, be it a scenario or a question: the version that is worked on or was last, and which version is
// answered meanwhile. A version that went live never changes; the library keeps every one of them.
type Life struct {
	Version  int
	Status   Status   // of this version: draft, in-review, live or retired
	Authors  []string // accounts of whoever wrote in this version, the first to begin it first; none of what came with the program
	Reviewer string   // account of whoever approved it, or sent it back last; empty until then
	Revision int      // rises with every act; 0 of what came with the program and nobody touched

	LiveVersion   int // the version that can be answered; 0 for none
	LatestVersion int // the highest that ever went live; 0 for none
}

// What a life refuses; compare with errors.Is.
var (
	ErrNotDraft      = errors.New("only a draft can be changed or submitted: revise what is live, have what is in review returned")
	ErrNotInReview   = errors.New("this is not in review")
	ErrOwnEdition    = errors.New("nobody approves what they wrote in: another member of faculty reviews it")
	ErrNotRevisable  = errors.New("only what is live or retired can be revised; this is being worked on already")
	ErrRetired       = errors.New("this is retired: revise it to bring it back")
	ErrReasonMissing = errors.New("a reason is required")
)

// NewLife begins with the draft of version 1.
func NewLife(author string) Life {
	return Life{Version: 1, Status: Draft, Authors: []string{author}, Revision: 1}
}

// StarterLife is that of what came with the program, as the library of a programme that has not touched it shows it.
func StarterLife(version int) Life {
	return Life{Version: version, Status: Live, LiveVersion: version, LatestVersion: version}
}

// Author is who began the version, or empty for what came with the program.
func (l Life) Author() string {
	if len(l.Authors) == 0 {
		return ""
	}
	return l.Authors[0]
}

// StatusOf is the state of any version up to the one that is worked on.
func (l Life) StatusOf(version int) Status {
	switch {
	case version == l.LiveVersion:
		return Live
	case version == l.Version:
		return l.Status
	case version == l.LatestVersion && l.LiveVersion == 0:
		return Retired
	}
	return Superseded
}

// Edited is the life after somebody changed the draft: they are one of its authors, and its reviewer no longer. The error is ErrNotDraft.
func (l Life) Edited(by string) (Life, error) {
	if l.Status != Draft {
		return l, ErrNotDraft
	}
	l.Authors = withAuthor(l.Authors, by)
	if by == l.Reviewer {
		l.Reviewer = ""
	}
	return l.touched(), nil
}

// Submitted hands a draft to review. The error is ErrNotDraft.
func (l Life) Submitted() (Life, error) {
	if l.Status != Draft {
		return l, ErrNotDraft
	}
	l.Status = InReview
	return l.touched(), nil
}

// Returned hands what is in review back with the reason. An author may take back their own; that is no review. The error is
// ErrNotInReview, ErrReasonMissing or strict.Faults.
func (l Life) Returned(by, reason string) (Life, error) {
	if l.Status != InReview {
		return l, ErrNotInReview
	}
	if err := checkReason(reason); err != nil {
		return l, err
	}
	l.Status = Draft
	if !slices.Contains(l.Authors, by) {
		l.Reviewer = by
	}
	return l.touched(), nil
}

// Approved makes what is in review live; the version that was live until now is superseded. Nobody approves what they wrote in. The error
// is ErrNotInReview or ErrOwnEdition.
func (l Life) Approved(by string) (Life, error) {
	if l.Status != InReview {
		return l, ErrNotInReview
	}
	if by == "" || slices.Contains(l.Authors, by) {
		return l, ErrOwnEdition
	}
	l.Status, l.Reviewer = Live, by
	l.LiveVersion, l.LatestVersion = l.Version, l.Version
	return l.touched(), nil
}

// Published makes a draft live at once: for what is made of parts that were reviewed one by one. The error is ErrNotDraft.
func (l Life) Published() (Life, error) {
	if l.Status != Draft {
		return l, ErrNotDraft
	}
	l.Status, l.LiveVersion, l.LatestVersion = Live, l.Version, l.Version
	return l.touched(), nil
}

// TakenOut retires it with the reason, whatever is being worked on. Its versions stay for those who answered them. The error is ErrRetired,
// ErrReasonMissing or strict.Faults.
func (l Life) TakenOut(reason string) (Life, error) {
	if l.Status == Retired {
		return l, ErrRetired
	}
	if err := checkReason(reason); err != nil {
		return l, err
	}
	l.Status, l.LiveVersion = Retired, 0
	return l.touched(), nil
}

// Revised begins the next version as a draft of what is live, or of what was retired. What is live stays so meanwhile. A draft that was
// retired before it went live keeps its authors: it is still their text. The error is ErrNotRevisable.
func (l Life) Revised(by string) (Life, error) {
	if l.Status != Live && l.Status != Retired {
		return l, ErrNotRevisable
	}
	if l.Version > l.LatestVersion {
		l.Authors = withAuthor(l.Authors, by)
	} else {
		l.Authors = []string{by}
	}
	l.Version, l.Status, l.Reviewer = l.LatestVersion+1, Draft, ""
	return l.touched(), nil
}

// touched is the life after one more act.
func (l Life) touched() Life {
	l.Revision++
	return l
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
