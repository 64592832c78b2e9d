package store_test

import (
	"errors"
	"strings"
	"testing"

	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/competency"
	"isthmus/migrations"
)

// decided is what a meeting about ann decided.
func decided(programme competency.ProgrammeID, meeting competency.MeetingID) store.Decision {
	var evidence competency.Evidence
	standing := competency.Stand(competency.ExampleStandard(), evidence, "2026-03-02")
	verdict := competency.Verdict{Outcome: competency.OutcomeContinue, Reasons: "The thresholds are not reached yet."}
	by := competency.Signer{ID: dan, Name: "Dan", ProvedAt: start}
	d, err := competency.Decide("x1", meeting, competency.Ballot{Trainee: ann}, verdict, standing, "", by, competency.Defaults(), start)
	if err != nil {
		panic(err)
	}
	return store.Decision{Programme: programme, Decision: d, Evidence: evidence, Standard: string(competency.ExampleStandardYAML())}
}

func meeting(programme competency.ProgrammeID, id competency.MeetingID) store.Meeting {
	return store.Meeting{ID: id, Programme: programme, HeldOn: "2026-03-02", Trainees: []competency.PersonID{ann, ben}, Members: []competency.PersonID{dan}, CreatedBy: dan, CreatedAt: start}
}

// addDecided holds a meeting about ann from the first word to her answer.
func addDecided(tx *store.Tx, programme competency.ProgrammeID) error {
	return errors.Join(
		tx.AddMeeting(meeting(programme, "m1")),
		tx.AddConflict(programme, "m1", ben, competency.Conflict{Member: dan, Reason: "Shares a household.", DeclaredAt: start}),
		tx.AddVote(programme, "m1", ann, competency.Vote{Member: dan, Outcome: competency.OutcomeRemediate, VotedAt: start}),
		tx.AddVote(programme, "m1", ann, competency.Vote{Member: dan, Outcome: competency.OutcomeContinue, Remark: "Steady.", VotedAt: start}),
		tx.AddDecision(decided(programme, "m1")),
		tx.AddResponse(programme, "x1", competency.Response{Text: "I agree.", RespondedAt: start}))
}

func TestDecisions(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		write(t, s, north, func(tx *store.Tx) error { return addDecided(tx, north) })
		read(t, s, func(tx *store.Tx) error {
			m, err := tx.MeetingByID(north, "m1")
			if err != nil || len(m.Trainees) != 2 || m.Trainees[1] != ben || len(m.Members) != 1 {
				t.Errorf("%+v, %v", m, err)
			}
			ballots, err := tx.Ballots(north, "m1")
			if err != nil || len(ballots[ann].Votes) != 2 || ballots[ann].Votes[1].Remark != "Steady." || len(ballots[ben].Conflicts) != 1 {
				t.Errorf("%+v, %v", ballots, err)
			}
			d, err := tx.DecisionByID(north, "x1")
			if err != nil || !d.Holds() || d.Response == nil || d.Response.Text != "I agree." || d.Standing.EvidenceHash != competency.EvidenceHash(d.Evidence) {
				t.Errorf("%+v, %v", d, err)
			}
			list, err := tx.Decisions(north, store.DecisionFilter{Trainee: ann, Meeting: "m1"})
			if err != nil || len(list) != 1 {
				t.Errorf("%d decisions, %v", len(list), err)
			}
			return nil
		})
		again := decided(north, "m1")
		again.ID = "x2"
		wantErr(t, "twice in a meeting", tryWrite(s, north, func(tx *store.Tx) error { return tx.AddDecision(again) }), store.ErrDuplicate)
		again.Meeting = "m9"
		wantErr(t, "in no meeting", tryWrite(s, north, func(tx *store.Tx) error { return tx.AddDecision(again) }), store.ErrReference)
		wantErr(t, "a second answer", tryWrite(s, north, func(tx *store.Tx) error {
			return tx.AddResponse(north, "x1", competency.Response{Text: "No.", RespondedAt: start})
		}), store.ErrDuplicate)
	})
}

// TestDecisionSeal changes one thing of a decision straight in the database, past the guards: the audit names the decision.
func TestDecisionSeal(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		write(t, s, north, func(tx *store.Tx) error {
			return errors.Join(tx.AddMeeting(meeting(north, "m1")), tx.AddDecision(decided(north, "m1")))
		})
		named := func() string {
			report, err := s.VerifyAudit(t.Context())
			if err != nil {
				t.Fatal(err)
			}
			var names []string
			for _, chain := range report.Chains {
				for _, fault := range chain.Decisions.Faults {
					names = append(names, string(fault.Decision))
				}
			}
			if report.Sound() != (len(names) == 0) {
				t.Errorf("sound: %v, with %d decisions that are not", report.Sound(), len(names))
			}
			return strings.Join(names, " ")
		}
		if got := named(); got != "" {
			t.Fatalf("%s is not sound", got)
		}
		unguarded(t, s, "decisions")
		for column, value := range map[string]string{
			"outcome": "'independent'", "standard": "standard || ' '", "evidence": `'{"cases":[],"pending":[],"plans":[],"x":1}'`, "signed_at": "'2026-03-02 08:30:00.123457+00:00'",
			"content": `replace(CAST(content AS text), 'not reached', 'now reached')`,
		} {
			if s.Dialect() == migrations.PostgreSQL && column == "content" {
				value = "(" + value + ")::jsonb"
			}
			exec(t, s, "CREATE TABLE aside AS SELECT "+column+" AS was FROM decisions", "UPDATE decisions SET "+column+" = "+value)
			if got := named(); got != "x1" {
				t.Errorf("%s changed: the audit names %q", column, got)
			}
			exec(t, s, "UPDATE decisions SET "+column+" = (SELECT was FROM aside)", "DROP TABLE aside")
			if got := named(); got != "" {
				t.Errorf("%s put back: the audit names %q", column, got)
			}
		}
	})
}
