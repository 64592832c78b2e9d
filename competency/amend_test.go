package competency

import (
	"errors"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"isthmus/assessment/strict"
)

// signedOnce is sampleRecord's case signed off as version 1, with its signature and the version that was signed.
func signedOnce(t interface{ Fatal(...any) }) (Case, SignOff, SubmittedVersion) {
	c := submitted(t)
	c, signed, err := SignOffCase(c, supervisor, goodStatement(c.Record), Defaults(), march20)
	if err != nil {
		t.Fatal(err)
	}
	return c, signed, SubmittedVersion{Version: c.Version, Record: c.Record, Computed: *c.Computed, ContentHash: c.ContentHash, SubmittedAt: c.SubmittedAt}
}

func TestAmendment(t *testing.T) {
	c, first, _ := signedOnce(t)
	c, err := Amend(c, "trainee", "the floor line had three applications", march20)
	if err != nil || c.Status != CaseDraft || c.Version != 1 || c.SignedVersion != 1 || !c.Amending() {
		t.Fatalf("after the trainee amends: %+v, %v", c, err)
	}
	record := c.Record
	record.Supervisor = "another"
	var faults strict.Faults
	if _, err := EditDraft(c, record, Defaults(), march20); !errors.As(err, &faults) || faults.List[0].Field != "supervisor" {
		t.Errorf("another supervisor for an amendment: %v", err)
	}
	record.Supervisor, record.Note = "supervisor", "floor line three times"
	if c, err = EditDraft(c, record, Defaults(), march20); err != nil {
		t.Fatal(err)
	}
	later := march20.AddDate(0, 2, 0)
	if c, err = Submit(c, Computed{Role: RolePrimary}, Defaults(), later); err != nil || c.Version != 2 || c.SignedVersion != 1 {
		t.Fatalf("after submission: %+v, %v", c, err)
	}
	signer := supervisor
	signer.Before, signer.ProvedAt = &first, later
	again, second, err := SignOffCase(c, signer, goodStatement(c.Record), Defaults(), later)
	if err != nil || again.Status != CaseSignedOff || again.SignedVersion != 2 || again.Amending() {
		t.Fatalf("after the second signature: %+v, %v", again, err)
	}
	if second.CaseVersion != 2 || second.AgeDays != first.AgeDays || second.LateRecall || !second.ProvedAt.Equal(later.Truncate(time.Microsecond)) {
		t.Errorf("the same judgement keeps its age: %+v", second)
	}
	other := goodStatement(c.Record)
	other.HelpGiven--
	if _, third, err := SignOffCase(c, signer, other, Defaults(), later); err != nil || !third.LateRecall || third.AgeDays <= first.AgeDays {
		t.Errorf("another judgement after two months is late: %+v, %v", third, err)
	}
}

// TestAmendmentAsked: what the supervisor asks for comes back to the trainee as a returned case.
func TestAmendmentAsked(t *testing.T) {
	c, _, _ := signedOnce(t)
	asked, err := Amend(c, "supervisor", "the appendage line is missing", march20)
	if err != nil || asked.Status != CaseReturned || asked.SignedVersion != 1 {
		t.Fatalf("asked for: %+v, %v", asked, err)
	}
	for name, refusal := range map[string]struct {
		from Case
		by   PersonID
		why  string
		want error
	}{
		"twice":          {asked, "trainee", "again", ErrNotSignedOff},
		"somebody else":  {c, "stranger", "because", ErrNotParty},
		"nobody":         {c, "", "because", ErrNotParty},
		"no reason":      {c, "trainee", " ", ErrReasonMissing},
		"withdrawn":      {inState(t, CaseWithdrawn), "trainee", "because", ErrWithdrawn},
		"never signed":   {submitted(t), "trainee", "because", ErrNotSignedOff},
		"only a patient": {c, "trainee", "", ErrReasonMissing},
	} {
		if after, err := Amend(refusal.from, refusal.by, refusal.why, march20); !errors.Is(err, refusal.want) || cmp.Diff(refusal.from, after) != "" {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// TestRestore gives an amendment up: the case is as it was signed, and a number once submitted is never given again.
func TestRestore(t *testing.T) {
	c, _, version := signedOnce(t)
	open, err := Amend(c, "trainee", "to be changed", march20)
	if err != nil {
		t.Fatal(err)
	}
	record := open.Record
	record.Note = "changed"
	edited, err := EditDraft(open, record, Defaults(), march20)
	if err != nil {
		t.Fatal(err)
	}
	handed, err := Submit(edited, Computed{}, Defaults(), march20)
	if err != nil {
		t.Fatal(err)
	}
	for _, from := range []Case{open, edited, handed} {
		back, err := Restore(from, version, "it was right as it stood", march20)
		want := c
		want.Revision, want.UpdatedAt = from.Revision+1, march20.Truncate(time.Microsecond)
		if from.Version > 1 {
			want.LastVersion = from.Version
		}
		if diff := cmp.Diff(want, back); err != nil || diff != "" {
			t.Errorf("from %s: %v\n%s", from.Status, err, diff)
		}
	}
	back, _ := Restore(handed, version, "it was right as it stood", march20)
	once, err := Amend(back, "trainee", "after all", march20)
	if err != nil {
		t.Fatal(err)
	}
	if once, err = Submit(once, Computed{}, Defaults(), march20); err != nil || once.Version != 3 || once.LastVersion != 0 {
		t.Errorf("the version after a version given up: %+v, %v", once, err)
	}
	if _, err := Restore(c, version, "nothing is open", march20); !errors.Is(err, ErrNoAmendment) {
		t.Errorf("restoring what is signed off: %v", err)
	}
	if _, err := Restore(submitted(t), version, "never signed", march20); !errors.Is(err, ErrNoAmendment) {
		t.Errorf("restoring what was never signed: %v", err)
	}
	if _, err := Restore(open, SubmittedVersion{Version: 2}, "another version", march20); !errors.Is(err, ErrNoAmendment) {
		t.Errorf("restoring another version: %v", err)
	}
}

// TestStandAmended: on a day before the amendment was signed a case counts as it was signed then, and afterwards as amended; on each day once.
func TestStandAmended(t *testing.T) {
	standard := Standard{ID: "s", Version: 1, Requirements: []Requirement{{ID: "primary", Kind: KindCount, AtLeast: 1, Filter: Filter{Role: []Role{RolePrimary}}}}}
	rapid.Check(t, func(t *rapid.T) {
		signed := march20.AddDate(0, 0, rapid.IntRange(0, 20).Draw(t, "signed"))
		amended := signed.AddDate(0, 0, rapid.IntRange(1, 40).Draw(t, "amended"))
		was := SignedCase{ID: "c", OperatedOn: "2026-03-01", SubmittedAt: march20, SignedAt: signed, Role: RoleAssistant}
		is := was
		is.SignedAt, is.Role = amended, RolePrimary
		evidence := Evidence{Cases: []SignedCase{is}, Earlier: []SignedCase{was}}
		on := DayOf(march20).Add(rapid.IntRange(0, 70).Draw(t, "day"))
		got := Stand(standard, evidence, on).Requirements[0]
		want := 0
		if DayOf(amended) <= on {
			want = 1
		}
		if got.N != want || len(got.Used)+len(got.LeftOut) != 1 {
			t.Fatalf("on %s, signed %s, amended %s: %+v", on, DayOf(signed), DayOf(amended), got)
		}
	})
}
