package competency

import (
	"encoding/json"
	"errors"
	"testing"
	"time"

	"pgregory.net/rapid"
)

var (
	meetingDay = time.Date(2026, time.May, 4, 10, 0, 0, 0, time.UTC)
	chair      = Signer{ID: "amara", Name: "Amara", ProvedAt: meetingDay.Add(-time.Minute)}
	verdict    = Verdict{Outcome: OutcomeContinue, Reasons: "Two of the thresholds are not reached yet."}
)

func ballot() Ballot {
	return Ballot{Trainee: "ines", Members: []PersonID{"mei", "tomasz", "leila"}}
}

func decide(b Ballot, v Verdict, by Signer) (Decision, error) {
	standing := Standing{Standard: "s", Requirements: []RequirementStanding{{Requirement: "a", State: Met}, {Requirement: "b", State: Short}}}
	return Decide("d1", "m1", b, v, standing, "", by, Defaults(), meetingDay)
}

func TestBallot(t *testing.T) {
	b := ballot()
	b.Conflicts = []Conflict{{Member: "leila", Reason: "Shares a household."}}
	b.Votes = []Vote{{Member: "leila", Outcome: OutcomeIndependent}, {Member: "mei", Outcome: OutcomeRemediate}, {Member: "mei", Outcome: OutcomeContinue}}
	if counting := b.Counting(); len(counting) != 1 || counting[0].Member != "mei" || counting[0].Outcome != OutcomeContinue {
		t.Errorf("counting %v: the newest of each member without a conflict", counting)
	}
	for person, sees := range map[PersonID]bool{"mei": true, "tomasz": false, "leila": false, "amara": true, "ines": false} {
		if b.Sees(person) != sees {
			t.Errorf("%s sees the votes: %v, want %v", person, !sees, sees)
		}
	}
	for _, c := range []struct {
		name string
		vote Vote
		want error
	}{
		{"about oneself", Vote{Member: "ines", Outcome: OutcomeIndependent}, ErrOwnDecision},
		{"with a conflict", Vote{Member: "leila", Outcome: OutcomeIndependent}, ErrConflict},
		{"in turn", Vote{Member: "tomasz", Outcome: OutcomeContinue, Remark: "Steady."}, nil},
	} {
		if err := b.CheckVote(c.vote); !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", c.name, err, c.want)
		}
	}
	for _, wrong := range []Vote{{Member: "mei", Outcome: "brilliant"}, {Member: "mei", Outcome: OutcomeContinue, Remark: "Mr Oakwood was well"}} {
		if err := b.CheckVote(wrong); err == nil {
			t.Errorf("%+v passes", wrong)
		}
	}
	b.Decided = true
	if err := b.CheckVote(Vote{Member: "mei", Outcome: OutcomeContinue}); !errors.Is(err, ErrDecided) {
		t.Error(err)
	}
	if err := b.CheckConflict(Conflict{Member: "mei", Reason: "Shares a household."}); !errors.Is(err, ErrDecided) {
		t.Error(err)
	}
	if !b.Sees("leila") {
		t.Error("the outcome is recorded: the votes are no secret")
	}
}

func TestDecide(t *testing.T) {
	b := ballot()
	b.Votes = []Vote{{Member: "mei", Outcome: OutcomeContinue}}
	d, err := decide(b, verdict, chair)
	if err != nil || len(d.NotMet) != 1 || d.NotMet[0] != "b" || d.Meaning == "" || len(d.Votes) != 1 || !d.Holds() {
		t.Fatalf("%+v, %v", d, err)
	}
	for _, c := range []struct {
		name  string
		spoil func(*Ballot, *Verdict, *Signer)
		want  error
	}{
		{"about oneself", func(_ *Ballot, _ *Verdict, s *Signer) { s.ID = "ines" }, ErrOwnDecision},
		{"with a conflict", func(b *Ballot, _ *Verdict, _ *Signer) { b.Conflicts = []Conflict{{Member: "amara"}} }, ErrConflict},
		{"twice", func(b *Ballot, _ *Verdict, _ *Signer) { b.Decided = true }, ErrDecided},
		{"without proof", func(_ *Ballot, _ *Verdict, s *Signer) { s.ProvedAt = time.Time{} }, ErrProofNeeded},
		{"with an old proof", func(_ *Ballot, _ *Verdict, s *Signer) { s.ProvedAt = meetingDay.Add(-time.Hour) }, ErrProofNeeded},
	} {
		b, v, s := ballot(), verdict, chair
		c.spoil(&b, &v, &s)
		if _, err := decide(b, v, s); !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", c.name, err, c.want)
		}
	}
	for name, wrong := range map[string]Verdict{
		"no outcome": {Reasons: verdict.Reasons}, "no reasons": {Outcome: OutcomeContinue},
		"conditions missing": {Outcome: OutcomeConditions, Reasons: verdict.Reasons}, "conditions out of place": {Outcome: OutcomeContinue, Conditions: "Not at night or alone.", Reasons: verdict.Reasons},
		"a patient": {Outcome: OutcomeContinue, Reasons: "After what happened to Mrs Oakwood."},
	} {
		if _, err := decide(ballot(), wrong, chair); err == nil {
			t.Errorf("%s passes", name)
		}
	}
}

// TestDecisionHolds: what was signed survives its way through JSON, and no change of any part goes unseen.
func TestDecisionHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		marks := rapid.SliceOfN(rapid.Bool(), 0, 30).Draw(t, "marks")
		standing := Stand(Standard{ID: "s", Version: 1, Requirements: []Requirement{curveLine()}}, casesOf(marks), "2026-05-04")
		d, err := Decide("d1", "m1", ballot(), verdict, standing, "", chair, Defaults(), meetingDay)
		if err != nil {
			t.Fatal(err)
		}
		data, err := json.Marshal(d)
		if err != nil {
			t.Fatal(err)
		}
		var again Decision
		if err := json.Unmarshal(data, &again); err != nil || !again.Holds() {
			t.Fatalf("does not hold after JSON: %v", err)
		}
		change := rapid.SampledFrom([]func(*Decision){
			func(d *Decision) { d.Outcome = OutcomeIndependent }, func(d *Decision) { d.Reasons += "." }, func(d *Decision) { d.Trainee = "kofi" },
			func(d *Decision) { d.Standing.EvidenceHash = "0" }, func(d *Decision) { d.SignedAt = d.SignedAt.Add(time.Microsecond) },
			func(d *Decision) { d.NotMet = append(d.NotMet, "x") }, func(d *Decision) { d.SignerName = "Somebody" }, func(d *Decision) { d.Follows = "d0" },
		}).Draw(t, "change")
		change(&again)
		if again.Holds() {
			t.Fatal("a change went unseen")
		}
	})
}
