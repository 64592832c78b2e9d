package store_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"testing"
	"time"

	"isthmus/api/store"
	"isthmus/assessment"
	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
	"isthmus/assessment/question"
	"isthmus/competency"
)

// start is when the tests' world begins.
var start = time.Date(2026, 3, 2, 8, 30, 0, 123456000, time.UTC)

// The people and programmes of every test. North and south are two programmes; ann and ben train in north, sue supervises in both.
const (
	north = competency.ProgrammeID("north")
	south = competency.ProgrammeID("south")
	ann   = competency.PersonID("ann")
	ben   = competency.PersonID("ben")
	cara  = competency.PersonID("cara") // trains in south
	sue   = competency.PersonID("sue")
	dan   = competency.PersonID("dan") // director of north
)

// act is an act of dan's in a programme.
func act(programme competency.ProgrammeID) store.Act {
	return store.Act{Programme: programme, Actor: dan, Name: "test.act", RequestID: "request-1", At: start}
}

// write runs fn with an audit entry and fails the test when it cannot.
func write(tb testing.TB, s *store.Store, programme competency.ProgrammeID, fn func(tx *store.Tx) error) {
	tb.Helper()
	if err := tryWrite(s, programme, fn); err != nil {
		tb.Fatal(err)
	}
}

// tryWrite runs fn with an audit entry.
func tryWrite(s *store.Store, programme competency.ProgrammeID, fn func(tx *store.Tx) error) error {
	return s.Write(context.Background(), act(programme), func(tx *store.Tx) error {
		if err := fn(tx); err != nil {
			return err
		}
		return tx.Audit("test", "1", nil, "something")
	})
}

// read runs fn and fails the test when it cannot.
func read(tb testing.TB, s *store.Store, fn func(tx *store.Tx) error) {
	tb.Helper()
	if err := s.Read(context.Background(), fn); err != nil {
		tb.Fatal(err)
	}
}

// wantErr fails the test unless err is want.
func wantErr(tb testing.TB, what string, err, want error) {
	tb.Helper()
	if !errors.Is(err, want) {
		tb.Errorf("%s: error %v, want %v", what, err, want)
	}
}

// populate adds the programmes and people of every test.
func populate(tb testing.TB, s *store.Store) {
	tb.Helper()
	write(tb, s, "", func(tx *store.Tx) error {
		for _, id := range []competency.ProgrammeID{north, south} {
			settings := competency.Settings{Sites: []string{"Main"}, DatePrecision: "day", LateRecallDays: 14}
			if err := tx.CreateProgramme(store.Programme{ID: id, Name: "Programme " + string(id), Settings: settings, CreatedAt: start}); err != nil {
				return err
			}
		}
		for _, id := range []competency.PersonID{ann, ben, cara, sue, dan} {
			person := store.Person{ID: id, Email: string(id) + "@example.org", Name: "Name of " + string(id), PasswordHash: "hash", CreatedAt: start}
			if err := tx.CreatePerson(person); err != nil {
				return err
			}
		}
		return nil
	})
	roles := map[competency.ProgrammeID]map[competency.PersonID]string{
		north: {ann: "trainee", ben: "trainee", sue: "faculty", dan: "director"},
		south: {cara: "trainee", sue: "faculty"},
	}
	for programme, members := range roles {
		write(tb, s, programme, func(tx *store.Tx) error {
			for person, role := range members {
				if err := tx.AddMembership(store.Membership{Programme: programme, Person: person, Role: role, From: "2026-01-01"}); err != nil {
					return err
				}
			}
			return nil
		})
	}
}

// draft is a new case of a trainee's.
func draft(programme competency.ProgrammeID, id competency.CaseID, trainee competency.PersonID, at time.Time) competency.Case {
	return competency.Case{
		ID: id, Programme: programme, Trainee: trainee, Status: competency.CaseDraft, CreatedAt: at, UpdatedAt: at, Revision: 1,
		Record: competency.Record{
			Supervisor: sue, Site: "Main", OperatedOn: "2026-03-01", LeftAtriumBand: "45-49", Operation: "mitral", Approach: "sternotomy",
			Urgency: "elective", OnBypass: true, LeftAtriumOpened: true,
			AF:      af.History{},
			Lesions: []atrium.Lesion{{Name: atrium.LeftPulmonaryVeinIsolation}, {Name: atrium.RoofLine}},
			Steps:   []competency.Step{{Step: string(atrium.LeftPulmonaryVeinIsolation), PerformedBy: competency.ByTrainee}, {Step: string(atrium.RoofLine), PerformedBy: competency.BySupervisor}},
			Events:  []string{}, Note: "Long pump run, nothing else. Schräg – 50 µm.",
		},
	}
}

// submitted is the case as its next version.
func submitted(c competency.Case, at time.Time) competency.Case {
	c.Version++
	c.Revision++
	c.Status, c.SubmittedAt, c.UpdatedAt, c.ContentHash = competency.CaseSubmitted, at, at, "content-hash"
	c.Computed = &competency.Computed{
		Pattern: "persistent", PatternRule: "rule", Scope: "left-atrial", CircuitsLeft: 1, LinesComplete: true, BlockTested: true,
		Role: competency.RolePrimary, RoleReason: "both", Policy: "minimum", PolicyVersion: 1, Model: "1",
	}
	return c
}

// signature is sue's on the case's version.
func signature(id competency.SignOffID, c competency.Case, at time.Time) competency.SignOff {
	return competency.SignOff{
		ID: id, Case: c.ID, CaseVersion: c.Version, ContentHash: c.ContentHash, Assessor: sue, AssessorName: "Name of sue", Meaning: "meaning",
		Statement: competency.Statement{Steps: c.Record.Steps, HelpGiven: 4, SupervisionNext: 3, ComplicationsAgreed: true, Keep: "Calm hands", Change: "Test block"},
		Role:      competency.RoleAssistant, RoleReason: "one step", RoleClaimed: competency.RolePrimary, AgeDays: 3, LateRecall: true, SignedAt: at, ProvedAt: at.Add(-time.Minute),
	}
}

// addSigned adds a case that went from draft to signature.
func addSigned(tx *store.Tx, programme competency.ProgrammeID, id string, trainee competency.PersonID, at time.Time) (competency.Case, error) {
	c := draft(programme, competency.CaseID(id), trainee, at)
	if err := tx.CreateCase(c); err != nil {
		return c, err
	}
	c = submitted(c, at.Add(time.Hour))
	err := errors.Join(tx.SaveCase(c, 1), tx.AddCaseVersion(c))
	if err != nil {
		return c, err
	}
	c.Status, c.Revision, c.SignedVersion = competency.CaseSignedOff, c.Revision+1, c.Version
	return c, errors.Join(tx.SaveCase(c, c.Revision-1), tx.AddSignOff(programme, signature(competency.SignOffID("s-"+id), c, at.Add(2*time.Hour))))
}

// plan is a graded plan.
func plan(programme competency.ProgrammeID, id string, trainee competency.PersonID, scenario string, attempt int, at time.Time) store.PlanRow {
	row := store.PlanRow{Plan: json.RawMessage(`{"ablate":true,  "note":"as written"}`), Grade: json.RawMessage(fmt.Sprintf(`{"score":%d.50}`, 60+attempt))}
	row.ID, row.Programme, row.Trainee, row.Attempt, row.ScenarioVersion = competency.PlanID(id), programme, trainee, attempt, 2
	row.Scenario = assessment.ScenarioID(scenario)
	row.Pattern, row.Letter, row.Score, row.Unsafe, row.SubmittedAt = "persistent", "B", float64(60+attempt)+0.5, attempt == 1, at
	return row
}

// sitting is a test of half an hour.
func sitting(programme competency.ProgrammeID, id store.SittingID, trainee competency.PersonID, scenario string, at time.Time) store.Sitting {
	return store.Sitting{
		ID: id, Programme: programme, Trainee: trainee, Scenario: assessment.ScenarioID(scenario), ScenarioVersion: 2, Attempt: 1, ScopePolicy: 3,
		Sitting: assessment.StartSitting(assessment.Scenario{MinutesLimit: 30}, at),
	}
}

// quiz is practice on the lines.
func quiz(programme competency.ProgrammeID, id competency.QuizID, trainee competency.PersonID, at time.Time) store.Quiz {
	b, _ := question.OnTopic(question.Starter(), "lines")
	attempt, err := question.Begin(question.Starter(), question.Practice, b, -7, at, at.Add(24*time.Hour))
	if err != nil {
		panic(err)
	}
	return store.Quiz{ID: id, Programme: programme, Trainee: trainee, Attempt: attempt}
}

// scopePolicy is a version of north's.
func scopePolicy(version int, from competency.Day) store.ScopePolicy {
	return store.ScopePolicy{
		Programme: north, Version: version, InForceFrom: from, Policy: json.RawMessage(`{"id":"own",  "version":1}`), YAML: "id: own # ä\n",
		CreatedBy: dan, CreatedAt: start,
	}
}
