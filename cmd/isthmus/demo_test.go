package main

import (
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/assessment"
	"isthmus/assessment/atrium"
	"isthmus/assessment/pack"
	"isthmus/competency"
	"isthmus/policies"
)

var demoNow = time.Date(2026, time.May, 4, 10, 0, 0, 0, time.UTC)

// demoCohort opens a filled folder and reads the cohort as the director sees it.
func demoCohort(t *testing.T, folder string, book demoBook) service.Cohort {
	t.Helper()
	s, err := store.Open(t.Context(), store.Config{URL: "sqlite:" + filepath.Join(folder, demoDatabase)})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	if report, err := s.VerifyAudit(t.Context()); err != nil {
		t.Errorf("the audit trail does not hold: %v, %v", report, err)
	}
	authorizer, err := policies.New()
	if err != nil {
		t.Fatal(err)
	}
	sv, err := service.New(service.Deps{
		Store: s, Authorizer: authorizer, Model: atrium.Default(), Policy: assessment.DefaultPolicy(), Scenarios: pack.Scenarios(),
		Clock: func() time.Time { return demoNow }, NewID: func() string { return "" },
	})
	if err != nil {
		t.Fatal(err)
	}
	director := service.Actor{Person: book.Accounts[0].ID}
	cohort, err := sv.Cohort(t.Context(), director, book.Programme, "")
	if err != nil {
		t.Fatal(err)
	}
	return cohort
}

func fill(t *testing.T) (string, demoBook) {
	t.Helper()
	folder := t.TempDir()
	started := time.Now()
	book, err := openDemo(context.Background(), folder, demoNow)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("filled in %v", time.Since(started).Round(10*time.Millisecond))
	return folder, book
}

// TestDemoStory: the people stand where the story says, and the headline shows what it is about.
func TestDemoStory(t *testing.T) {
	folder, book := fill(t)
	cohort := demoCohort(t, folder, book)
	states := map[string]map[string]competency.State{}
	for _, trainee := range cohort.Trainees {
		states[trainee.Name] = map[string]competency.State{}
		for _, r := range trainee.Standing.Requirements {
			states[trainee.Name][r.Requirement] = r.State
		}
		if ready := trainee.Name == "Ines Haddad"; trainee.Ready != ready || trainee.Standing.Caution == "" || !trainee.Standing.Example {
			t.Errorf("%s: %s", trainee.Name, trainee.Overall)
		}
	}
	const met, course, short, lapsed, none = competency.Met, competency.OnCourse, competency.Short, competency.Lapsed, competency.NotEnoughData
	row := func(biatrial, paroxysmal, help, plans, recent competency.State) map[string]competency.State {
		return map[string]competency.State{"biatrial-cases": biatrial, "paroxysmal-cases": paroxysmal, "help-given": help, "plans": plans, "recent-cases": recent}
	}
	want := map[string]map[string]competency.State{
		"Ines Haddad":    row(met, met, met, met, met),
		"Kofi Marchetti": row(course, course, short, met, lapsed),
		"Sana Petrov":    row(short, short, none, short, short),
		"Mateo Yilmaz":   row(course, course, short, met, met),
		"Hana Dubois":    row(short, short, none, short, met),
		"Noor Eriksen":   row(short, short, none, short, short),
	}
	if diff := cmp.Diff(want, states); diff != "" {
		t.Errorf("standings differ (-want +got):\n%s", diff)
	}
	if first := cohort.Trainees[0]; first.Name != "Kofi Marchetti" || first.Attention == "" {
		t.Errorf("first in the cohort is %s: %q", first.Name, first.Attention)
	}
	left := cohort.Headline.ScopeLeftOut
	if left.Share < 0.15 || left.Share > 0.25 || cohort.Headline.SignOffWait.Waiting != 3 || cohort.Headline.SignOffWait.Late != 1 {
		t.Errorf("headline %+v", cohort.Headline)
	}
}

// TestDemoIsReproducible: the same day gives the same evidence, to the hash.
func TestDemoIsReproducible(t *testing.T) {
	hashes := func() map[string]string {
		folder, book := fill(t)
		found := map[string]string{}
		for _, trainee := range demoCohort(t, folder, book).Trainees {
			found[string(trainee.ID)+" "+trainee.Name] = trainee.Standing.EvidenceHash
		}
		return found
	}
	if diff := cmp.Diff(hashes(), hashes()); diff != "" {
		t.Errorf("filling twice gives other evidence:\n%s", diff)
	}
}

// TestDemoKeepsItsFolder: a second start changes nothing, an interrupted one is begun anew, and a broken one is not overwritten.
func TestDemoKeepsItsFolder(t *testing.T) {
	folder, book := fill(t)
	database := filepath.Join(folder, demoDatabase)
	before, err := os.ReadFile(database)
	if err != nil {
		t.Fatal(err)
	}
	again, err := openDemo(t.Context(), folder, demoNow.AddDate(0, 0, 7))
	if err != nil || !cmp.Equal(book, again) {
		t.Errorf("the second start gives %v, %v", again, err)
	}
	if after, _ := os.ReadFile(database); !cmp.Equal(before, after) {
		t.Error("the second start changed the database")
	}
	var saved demoBook
	data, err := os.ReadFile(filepath.Join(folder, demoAccounts))
	if err == nil {
		err = json.Unmarshal(data, &saved)
	}
	if err != nil || len(saved.Accounts) != len(demoPeople) || saved.Accounts[0].Password != demoPassword {
		t.Errorf("accounts.json: %+v, %v", saved, err)
	}
	if err := os.WriteFile(filepath.Join(folder, demoAccounts), []byte("{"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := openDemo(t.Context(), folder, demoNow); err == nil {
		t.Error("a folder without its accounts is accepted")
	}
	if err := os.Rename(database, filepath.Join(folder, demoFilling)); err != nil {
		t.Fatal(err)
	}
	if _, err := openDemo(t.Context(), folder, demoNow); err != nil {
		t.Errorf("after an interrupted start: %v", err)
	}
}

// TestDemoPlansGetTheirLetters: what the story calls flawed loses what the pack says it must.
func TestDemoPlansGetTheirLetters(t *testing.T) {
	for _, p := range demoPlans {
		scenario, known := pack.Scenario(p.scenario)
		if !known || p.flawed > len(scenario.Flawed) {
			t.Errorf("%s has no flawed answer %d", p.scenario, p.flawed)
		}
	}
}
