package main

import (
	"errors"
	"strings"
	"testing"
	"time"

	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/competency"
)

// decide keeps a decision about somebody whose evidence is these cases, straight in the database.
func (on database) decide(t *testing.T, programme competency.ProgrammeID, evidence competency.Evidence) {
	t.Helper()
	at := time.Date(2026, 6, 1, 9, 0, 0, 0, time.UTC)
	standing := competency.Stand(competency.ExampleStandard(), evidence, "2026-06-01")
	verdict := competency.Verdict{Outcome: competency.OutcomeContinue, Reasons: "The thresholds are not reached yet."}
	ballot, by := competency.Ballot{Trainee: "ann"}, competency.Signer{ID: "dan", Name: "Dan", ProvedAt: at}
	d, err := competency.Decide("x1", "m1", ballot, verdict, standing, "", by, competency.Defaults(), at)
	if err != nil {
		t.Fatal(err)
	}
	err = onCurrent(t.Context(), Config{Database: on.url}, func(s *store.Store) error {
		return s.Write(t.Context(), store.Act{Programme: programme, Name: "test.prepare", At: at}, func(tx *store.Tx) error {
			var all []error
			for _, who := range []competency.PersonID{"ann", "dan"} {
				all = append(all, tx.CreatePerson(store.Person{ID: who, Email: string(who) + "@example.org", Name: string(who), PasswordHash: "x", CreatedAt: at}))
			}
			meeting := store.Meeting{ID: "m1", Programme: programme, HeldOn: "2026-06-01", Trainees: []competency.PersonID{"ann"}, Members: []competency.PersonID{"dan"}, CreatedBy: "dan", CreatedAt: at}
			all = append(all, tx.AddMeeting(meeting), tx.AddDecision(store.Decision{Programme: programme, Decision: d, Evidence: evidence, Standard: string(competency.ExampleStandardYAML())}))
			return errors.Join(all...)
		})
	})
	if err != nil {
		t.Fatal(err)
	}
}

// TestRecompute: a frozen standing comes out of its frozen evidence and standard again; one that was tampered with does not, and is named.
func TestRecompute(t *testing.T) {
	eachDatabase(t, storetest.URL, func(t *testing.T, on database) {
		programme := strings.TrimSpace(on.do(t, "programme", "add", "North"))
		on.do(t, "programme", "add", "South")
		at := time.Date(2026, 5, 20, 9, 0, 0, 0, time.UTC)
		on.decide(t, competency.ProgrammeID(programme), competency.Evidence{Cases: []competency.SignedCase{{
			ID: "c1", OperatedOn: "2026-05-18", SubmittedAt: at, SignedAt: at, Role: competency.RolePrimary, Scope: "biatrial", Pattern: "persistent", Assessor: "mei", HelpGiven: 4,
		}}})
		want := "North: 1 of 1 frozen standings are the same when computed again\nSouth: 0 of 0 frozen standings are the same when computed again\n"
		if out := on.do(t, "standing", "recompute"); out != want {
			t.Fatalf("untouched:\n%s", out)
		}
		guard := "DROP TRIGGER decisions_no_change ON decisions"
		if strings.HasPrefix(on.url, "sqlite:") {
			guard = "DROP TRIGGER decisions_no_update"
		}
		on.tamper(t, guard, "UPDATE decisions SET standard = replace(standard, 'at_least: 12', 'at_least: 1')")
		code, out, errs := command(t, "standing", "recompute", "--database", on.url)
		says := `North: decision x1: requirements[0].state is "short", computed again "met"`
		if code != 1 || !strings.Contains(out, says) || !strings.Contains(out, "North: 0 of 1 frozen") || errs != "isthmus: 1 frozen standings are another one when computed again\n" {
			t.Errorf("exit %d, want 1 with %q\n%s%s", code, says, out, errs)
		}
		on.tamper(t, "UPDATE decisions SET standard = 'nonsense'")
		if code, out, _ := command(t, "standing", "recompute", "--database", on.url); code != 1 || !strings.Contains(out, "its standard cannot be read") {
			t.Errorf("an unreadable standard: exit %d\n%s", code, out)
		}
	})
}
