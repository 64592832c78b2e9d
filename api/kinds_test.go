package api

import (
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/competency"
	"isthmus/policies"
)

// everyKind is a standard with one requirement of each kind.
const everyKind = `id: every-kind
title: One of every kind
version: 2
requirements:
  - {id: cases, kind: count, at_least: 6}
  - {id: help-given, kind: level, scale: help_given, level: 4, share: 0.8, last: 6}
  - {id: lines, kind: completeness, share: 0.8, last: 6}
  - {id: curve, kind: curve, scale: help_given, level: 4, acceptable_rate: 0.1, inadequate_rate: 0.3, horizon_cases: 40, false_declaration: 0.1, false_alarm: 0.1}
  - {id: plans, kind: plan, letter: A-, af_patterns: [paroxysmal], attempt: best}
  - {id: recent-cases, kind: recency, at_least: 3, within_days: 180}
  - {id: followed-up, kind: follow-up, month: 3, share: 0.8, at_least: 5}
  - {id: quizzes, kind: quiz, topics: [anatomy, concomitant-surgery], at_least: 2, attempt: best}
  - {id: trust-in-ratings, kind: dependability, scale: help_given, phi: 0.7, last: 6}
`

// judgedByEveryKind brings that standard into force on the day everybody joined, with three more trainees and one more supervisor.
func (w *world) judgedByEveryKind() (trainees, supervisors []string) {
	w.Helper()
	more := map[string]policies.Role{"sana": policies.Trainee, "tove": policies.Trainee, "umar": policies.Trainee, "vera": policies.Faculty}
	w.write(north, func(tx *store.Tx) error {
		for name, role := range more {
			id := competency.PersonID(name)
			if err := tx.CreatePerson(store.Person{ID: id, Email: name + "@example.org", Name: name, PasswordHash: hashed(), CreatedAt: w.clock.Now()}); err != nil {
				return err
			}
			if err := tx.AddMembership(store.Membership{Programme: north, Person: id, Role: string(role), From: joined}); err != nil {
				return err
			}
		}
		standard := store.Standard{Programme: north, Version: 2, InForceFrom: joined, YAML: everyKind, CreatedBy: "amara", CreatedAt: w.clock.Now()}
		if err := tx.AddStandard(standard); err != nil {
			return err
		}
		return tx.Audit("standard", "2", nil, standard)
	})
	return []string{"ines", "kofi", "sana", "tove", "umar"}, []string{"mei", "leila", "vera"}
}

// rated logs a case of a trainee and signs it off with a rating; it gives the case's path.
func (w *world) rated(trainee, supervisor, operatedOn string, help int) string {
	w.Helper()
	record := biatrial()
	record.Supervisor, record.OperatedOn = competency.PersonID(supervisor), operatedOn
	made := w.as(trainee).do("POST", in("/cases"), recordOf{record}).want(201)
	path := made.header.Get("Location")
	sent := w.as(trainee).do("POST", path+"/submission", nil, "If-Match", made.etag()).want(200)
	said := statement(record)
	said.HelpGiven = help
	w.as(supervisor).do("POST", path+"/sign-off", said, "If-Match", sent.etag()).want(200)
	return path
}

// filled gives every trainee seven cases three to four months ago, rated around a level of the trainee's own; four of those of ines that
// are due have a follow-up on record.
func (w *world) filled(trainees, supervisors []string) {
	w.Helper()
	for t, trainee := range trainees {
		for i := range 7 {
			path := w.rated(trainee, supervisors[(t+i)%len(supervisors)], fmt.Sprintf("2026-02-%02d", 20+i), []int{5, 4, 3, 2, 1}[t]-i%2*min(1, 4-t))
			if trainee == "ines" && i < 4 {
				w.as("ines").do("POST", path+"/follow-ups", followUpOf{FollowUp: monthThree()}).want(201)
			}
		}
	}
}

func (w *world) standingOf(who, trainee string) competency.Standing {
	w.Helper()
	var view service.TraineeStanding
	w.as(who).do("GET", in("/trainees/"+trainee+"/standing"), nil).want(200).into(&view)
	return view.Standing
}

func requirement(t *testing.T, standing competency.Standing, id string) competency.RequirementStanding {
	t.Helper()
	for _, r := range standing.Requirements {
		if r.Requirement == id {
			return r
		}
	}
	t.Fatalf("no requirement %s", id)
	return competency.RequirementStanding{}
}

// TestEveryKindOfRequirement: all nine are judged through the API, from the follow-ups and the whole programme's ratings; the cohort and
// the meeting see the same; and a decision keeps enough to compute the standing again when the programme has gone on.
func TestEveryKindOfRequirement(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		trainees, supervisors := w.judgedByEveryKind()
		if s := requirement(t, w.standingOf("ines", "ines"), "trust-in-ratings"); s.State != competency.NotEnoughData || s.Ratings.Components.Refused == "" {
			t.Errorf("without any ratings: %+v", s)
		}
		w.filled(trainees, supervisors)
		standing := w.standingOf("ines", "ines")
		if len(standing.Requirements) != len(competency.RequirementKinds()) {
			t.Fatalf("%d requirements", len(standing.Requirements))
		}
		for id, want := range map[string]competency.State{
			"cases": competency.Met, "help-given": competency.Met, "lines": competency.Met, "plans": competency.NotEnoughData, "recent-cases": competency.Met,
			"followed-up": competency.Short, "quizzes": competency.NotEnoughData, "trust-in-ratings": competency.Met,
		} {
			if s := requirement(t, standing, id); s.State != want {
				t.Errorf("%s is %s, want %s: %s", id, s.State, want, s.Explanation)
			}
		}
		followed := requirement(t, standing, "followed-up")
		if followed.N != 7 || len(followed.Used) != 7 || len(followed.Misses) != 3 || followed.Interval == nil || followed.UsedKind != "case" {
			t.Errorf("followed up: %+v", followed)
		}
		trust := requirement(t, standing, "trust-in-ratings").Ratings
		if k := trust.Components; k.Ratings != 35 || k.Trainees != 5 || k.Assessors != 3 || k.Trainee <= k.Residual || trust.Cases != 6 || trust.Assessors != 3 || len(trust.Sources) < 3 {
			t.Errorf("ratings: %+v", trust)
		}
		var cohort service.Cohort
		w.as("amara").do("GET", in("/cohort"), nil).want(200).into(&cohort)
		for _, row := range cohort.Trainees {
			if row.ID != "ines" {
				continue
			}
			for i, line := range row.Lines {
				if r := standing.Requirements[i]; line.State != r.State || line.Value != r.Value || line.N != r.N || cmp.Diff(line.Interval, r.Interval) != "" {
					t.Errorf("the cohort sees %+v, the standing %+v", line, r)
				}
			}
		}
		w.frozen(t, standing)
	})
}

// frozen records a decision about ines, lets the programme go on, and computes the standing again from what was kept.
func (w *world) frozen(t *testing.T, seen competency.Standing) {
	t.Helper()
	body := map[string]any{"held_on": "2026-06-01", "trainees": []string{"kofi", "ines"}, "members": []string{"ruth"}}
	path := w.as("amara").do("POST", in("/meetings"), body).want(201).header.Get("Location")
	turn := w.meetingOf("amara", path).Turns[1]
	if diff := cmp.Diff(seen, turn.Standing); diff != "" {
		t.Errorf("the meeting sees another standing:\n%s", diff)
	}
	verdict := map[string]any{"outcome": "continue", "reasons": "The thresholds are not reached yet.", "evidence_hash": turn.Standing.EvidenceHash}
	var made service.DecisionView
	w.as("amara").do("POST", path+"/trainees/ines/decision", verdict).want(201).into(&made)
	w.rated("kofi", "vera", "2026-03-02", 5)
	if now := w.standingOf("ines", "ines"); now.EvidenceHash == seen.EvidenceHash {
		t.Error("another trainee's rating changes the components, but not the hash of the evidence")
	}
	w.must(w.store.Read(t.Context(), func(tx *store.Tx) error {
		kept, err := tx.DecisionByID(north, made.ID)
		if err != nil {
			return err
		}
		standard, err := competency.DecodeStandard("kept.yaml", []byte(kept.Standard))
		if err != nil {
			return err
		}
		again := competency.Stand(standard, kept.Evidence, competency.Day(kept.Standing.On))
		if diff := cmp.Diff(seen, again); diff != "" {
			t.Errorf("computed again (-seen +again):\n%s", diff)
		}
		return nil
	}))
	report, err := w.store.VerifyAudit(t.Context())
	if err != nil || !report.Sound() {
		t.Errorf("the audit chain: %+v, %v", report, err)
	}
}
