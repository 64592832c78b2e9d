package competency

import (
	"errors"
	"slices"
	"strings"
	"time"

	"isthmus/assessment/strict"
)

// MeetingID names a committee's meeting, DecisionID a recorded outcome; both are UUIDs of version 7.
type (
	MeetingID  string
	DecisionID string
)

// Outcome is what a committee recommends or a programme decides about a trainee.
type Outcome string

// The outcomes.
const (
	OutcomeIndependent Outcome = "independent"
	OutcomeConditions  Outcome = "independent-with-conditions"
	OutcomeContinue    Outcome = "continue"
	OutcomeRemediate   Outcome = "remediate"
)

// Outcomes lists the outcomes with their names.
var Outcomes = []Choice{
	{string(OutcomeIndependent), "Independent within the programme's scope"},
	{string(OutcomeConditions), "Independent with conditions"},
	{string(OutcomeContinue), "Continue training"},
	{string(OutcomeRemediate), "Remediate"},
}

// DecisionMeaning is the meaning bound to every decision's signature (21 CFR 11.50 asks for name, time and meaning).
const DecisionMeaning = "I record this outcome for the programme, on the evidence frozen with it."

// What a committee's work refuses; compare with errors.Is.
var (
	ErrOwnDecision = errors.New("nobody votes on or decides about themselves")
	ErrConflict    = errors.New("you declared a conflict of interest about this trainee: you neither vote nor decide")
	ErrDecided     = errors.New("the outcome is recorded: a vote comes too late, and only a new decision reverses it")
	ErrResponded   = errors.New("a decision is answered once")
)

// Conflict is a member's declared conflict of interest about a trainee.
type Conflict struct {
	Member     PersonID  `json:"member"`
	Reason     string    `json:"reason"`
	DeclaredAt time.Time `json:"declared_at"`
}

// Vote is a member's recommendation; the newest of a member counts.
type Vote struct {
	Member  PersonID  `json:"member"`
	Outcome Outcome   `json:"outcome"`
	Remark  string    `json:"remark,omitempty"`
	VotedAt time.Time `json:"voted_at"`
}

// Ballot is one trainee's turn in a meeting: who sits, who may not speak to it, who recommends what.
type Ballot struct {
	Trainee   PersonID
	Members   []PersonID
	Conflicts []Conflict
	Votes     []Vote // newest last
	Decided   bool
}

// Conflicted reports whether a person declared a conflict.
func (b Ballot) Conflicted(person PersonID) bool {
	return slices.ContainsFunc(b.Conflicts, func(c Conflict) bool { return c.Member == person })
}

// Counting are the votes that count: the newest of each member, without those who declared a conflict, in the order of the members.
func (b Ballot) Counting() []Vote {
	counting := []Vote{}
	for _, member := range b.Members {
		if b.Conflicted(member) {
			continue
		}
		for i := len(b.Votes) - 1; i >= 0; i-- {
			if b.Votes[i].Member == member {
				counting = append(counting, b.Votes[i])
				break
			}
		}
	}
	return counting
}

// Sees reports whether a person may see the votes of others: who declared a conflict never, not before the outcome is recorded; a member only once
// their own vote is in, so that nobody follows another; who is no member (the director who records it) always.
func (b Ballot) Sees(person PersonID) bool {
	switch {
	case b.Decided:
		return true
	case b.Conflicted(person) || person == b.Trainee:
		return false
	case !slices.Contains(b.Members, person):
		return true
	}
	return slices.ContainsFunc(b.Votes, func(v Vote) bool { return v.Member == person })
}

// CheckVote refuses a vote out of turn, and strict.Faults about what it says.
func (b Ballot) CheckVote(v Vote, kept ...Override) error {
	switch {
	case v.Member == b.Trainee:
		return ErrOwnDecision
	case b.Decided:
		return ErrDecided
	case b.Conflicted(v.Member):
		return ErrConflict
	}
	var faults strict.Faults
	checkOutcome(&faults, v.Outcome)
	if strings.TrimSpace(v.Remark) != "" {
		checkText(&faults, "remark", v.Remark, 3, 2000, kept...)
	}
	return faults.Err()
}

// CheckConflict refuses a declaration after the outcome, and strict.Faults about its reason.
func (b Ballot) CheckConflict(c Conflict, kept ...Override) error {
	switch {
	case c.Member == b.Trainee:
		return ErrOwnDecision
	case b.Decided:
		return ErrDecided
	}
	return CheckReason(c.Reason, kept...)
}

func checkOutcome(faults *strict.Faults, outcome Outcome) {
	if !has(Outcomes, string(outcome)) {
		faults.Add("outcome", "%q is unknown: use one of %s", outcome, idsOf(Outcomes))
	}
}

// Verdict is what the director records.
type Verdict struct {
	Outcome    Outcome `json:"outcome"`
	Conditions string  `json:"conditions,omitempty"` // with independent-with-conditions: what must hold
	Reasons    string  `json:"reasons"`              // for the trainee to read
}

// Validate reports what is missing or does not belong.
func (v Verdict) Validate(kept ...Override) strict.Faults {
	var faults strict.Faults
	checkOutcome(&faults, v.Outcome)
	checkText(&faults, "reasons", v.Reasons, 10, 4000, kept...)
	switch {
	case v.Outcome == OutcomeConditions:
		checkText(&faults, "conditions", v.Conditions, 10, 2000, kept...)
	case v.Conditions != "":
		faults.Add("conditions", "belong to the outcome %s only: leave them out", OutcomeConditions)
	}
	return faults
}

// Decision is a recorded outcome with the evidence frozen when it was made. It never changes: only a later decision takes its place.
type Decision struct {
	ID      DecisionID `json:"id"`
	Meeting MeetingID  `json:"meeting"`
	Trainee PersonID   `json:"trainee"`
	Verdict
	NotMet      []string   `json:"not_met"` // requirements that were not met: people decide, and the record says on what
	Votes       []Vote     `json:"votes"`   // those that counted
	Conflicts   []Conflict `json:"conflicts"`
	Standing    Standing   `json:"standing"` // frozen
	Follows     DecisionID `json:"follows,omitempty"`
	Signer      PersonID   `json:"signer"`
	SignerName  string     `json:"signer_name"`
	Meaning     string     `json:"meaning"`
	SignedAt    time.Time  `json:"signed_at"`
	ProvedAt    time.Time  `json:"proved_at"`
	ContentHash string     `json:"content_hash"` // SHA-256 of everything above
}

// Decide records an outcome: signed with name, time and meaning (21 CFR 11.50) and bound to the frozen standing by a hash (21 CFR 11.70).
// follows is the trainee's decision before, empty for the first. The caller gives the id. The error is ErrOwnDecision, ErrConflict, ErrDecided,
// ErrProofNeeded or strict.Faults.
func Decide(id DecisionID, meeting MeetingID, b Ballot, verdict Verdict, standing Standing, follows DecisionID, by Signer, settings Settings, now time.Time, kept ...Override) (Decision, error) {
	switch {
	case by.ID == b.Trainee:
		return Decision{}, ErrOwnDecision
	case b.Conflicted(by.ID):
		return Decision{}, ErrConflict
	case b.Decided:
		return Decision{}, ErrDecided
	}
	if err := verdict.Validate(kept...).Err(); err != nil {
		return Decision{}, err
	}
	if err := CheckProof(by.ProvedAt, settings, now); err != nil {
		return Decision{}, err
	}
	d := Decision{
		ID: id, Meeting: meeting, Trainee: b.Trainee, Verdict: verdict, NotMet: []string{}, Votes: b.Counting(), Conflicts: append([]Conflict{}, b.Conflicts...), Standing: standing, Follows: follows,
		Signer: by.ID, SignerName: by.Name, Meaning: DecisionMeaning, SignedAt: instant(now), ProvedAt: instant(by.ProvedAt),
	}
	d.Reasons, d.Conditions = strings.TrimSpace(d.Reasons), strings.TrimSpace(d.Conditions)
	for _, r := range standing.Requirements {
		if r.State != Met {
			d.NotMet = append(d.NotMet, r.Requirement)
		}
	}
	d.ContentHash = d.hash()
	return d, nil
}

// hash binds the signature to everything the decision says.
func (d Decision) hash() string {
	d.ContentHash = ""
	return hashOf(d)
}

// Holds reports whether the decision still says what was signed.
func (d Decision) Holds() bool { return d.ContentHash == d.hash() }

// CheckNote reports a note on a meeting that is endless or names a patient, with strict.Faults.
func CheckNote(note string) error {
	var faults strict.Faults
	checkText(&faults, "note", note, 3, 500)
	return faults.Err()
}

// Response is what the trainee answers to a decision, once.
type Response struct {
	Text        string    `json:"text"`
	RespondedAt time.Time `json:"responded_at"`
}

// CheckResponse refuses an empty or endless answer, with strict.Faults.
func CheckResponse(text string, kept ...Override) error {
	var faults strict.Faults
	checkText(&faults, "text", text, 3, 4000, kept...)
	return faults.Err()
}
