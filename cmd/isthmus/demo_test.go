package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/google/uuid"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/assessment"
	"isthmus/assessment/atrium"
	"isthmus/assessment/pack"
	"isthmus/competency"
	"isthmus/policies"
)

var demoNow = time.Date(2026, time.May, 4, 10, 0, 0, 0, time.UTC)

// demoService is the program over a demo's database, on the day it was filled.
func demoService(t *testing.T, s *store.Store) *service.Service {
	t.Helper()
	return serviceOver(t, s, func() time.Time { return demoNow })
}

// serviceOver is the program over a database, by a clock.
func serviceOver(t *testing.T, s *store.Store, clock func() time.Time) *service.Service {
	t.Helper()
	authorizer, err := policies.New()
	if err != nil {
		t.Fatal(err)
	}
	sv, err := service.New(service.Deps{
		Store: s, Authorizer: authorizer, Model: atrium.Default(), Policy: assessment.DefaultPolicy(), Scenarios: pack.Scenarios(),
		Clock: clock, NewID: uuid.NewString,
	})
	if err != nil {
		t.Fatal(err)
	}
	return sv
}

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
	sv := demoService(t, s)
	director := service.Actor{Person: book.Accounts[0].ID}
	cohort, err := sv.Cohort(t.Context(), director, book.Programme, service.CohortQuery{})
	if err != nil {
		t.Fatal(err)
	}
	library, err := sv.Library(t.Context(), director, book.Programme, store.Page{Limit: 200})
	if err != nil {
		t.Fatal(err)
	}
	var written []string
	for _, head := range library.Items[len(pack.Scenarios()):] {
		written = append(written, string(head.Status)+" by "+head.AuthorName)
	}
	if want := []string{"draft by Tomasz Adeyemi", "in-review by Leila Brandt"}; !slices.Equal(written, want) {
		t.Errorf("the library holds %v besides the starter scenarios, want %v", written, want)
	}
	return cohort
}

func fill(t *testing.T, folder string) demoBook {
	t.Helper()
	started := time.Now()
	book, err := openDemo(t.Context(), folder, demoNow)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("filled in %v", time.Since(started).Round(10*time.Millisecond))
	return book
}

// openedDemo is a demo filled on demoNow, as its director reads it.
type openedDemo struct {
	store     *store.Store
	service   *service.Service
	director  service.Actor
	programme competency.ProgrammeID
}

// filledDemo fills a folder of its own and opens it until the test ends.
func filledDemo(t *testing.T) openedDemo {
	t.Helper()
	folder := t.TempDir()
	book := fill(t, folder)
	s, err := store.Open(t.Context(), store.Config{URL: "sqlite:" + filepath.Join(folder, demoDatabase)})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return openedDemo{s, demoService(t, s), service.Actor{Person: book.Accounts[0].ID}, book.Programme}
}

// TestDemo fills two folders, the second one over what an interrupted start left: the story is the same to the evidence hash.
func TestDemo(t *testing.T) {
	folder, other := t.TempDir(), t.TempDir()
	book := fill(t, folder)
	cohort := demoCohort(t, folder, book)
	checkStory(t, cohort)
	if err := os.WriteFile(filepath.Join(other, demoFilling), []byte("half a story"), 0o600); err != nil {
		t.Fatal(err)
	}
	again := demoCohort(t, other, fill(t, other))
	if diff := cmp.Diff(cohort, again, cmpopts.IgnoreUnexported(service.CohortTrainee{})); diff != "" {
		t.Errorf("filling twice gives another cohort:\n%s", diff)
	}
	checkKept(t, folder, book)
}

// checkStory: the people stand where the story says, and the headline shows what it is about.
func checkStory(t *testing.T, cohort service.Cohort) {
	t.Helper()
	states := map[string]map[string]competency.State{}
	for _, trainee := range cohort.Trainees {
		states[trainee.Name] = map[string]competency.State{}
		for _, r := range trainee.Lines {
			states[trainee.Name][r.Requirement] = r.State
		}
		if ready := trainee.Name == "Ines Haddad"; trainee.Ready != ready || !trainee.Example {
			t.Errorf("%s: %s", trainee.Name, trainee.Overall)
		}
	}
	const met, course, short, lapsed, none = competency.Met, competency.OnCourse, competency.Short, competency.Lapsed, competency.NotEnoughData
	row := func(biatrial, paroxysmal, help, plans, recent, curve competency.State) map[string]competency.State {
		return map[string]competency.State{"biatrial-cases": biatrial, "paroxysmal-cases": paroxysmal, "help-given": help, "plans": plans, "recent-cases": recent, "learning-curve": curve}
	}
	want := map[string]map[string]competency.State{
		"Ines Haddad":    row(met, met, met, met, met, met),
		"Kofi Marchetti": row(course, course, short, met, lapsed, course),
		"Sana Petrov":    row(short, short, none, short, short, none),
		"Mateo Yilmaz":   row(course, course, short, met, met, short),
		"Hana Dubois":    row(short, short, none, short, met, none),
		"Noor Eriksen":   row(short, short, none, short, short, none),
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

// checkKept: a second start changes nothing, and a folder without its accounts is not overwritten.
func checkKept(t *testing.T, folder string, book demoBook) {
	t.Helper()
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
	if err != nil || len(saved.Accounts) != len(demoPeople)+1 || saved.Accounts[len(demoPeople)].Role != "reviewer" || saved.Accounts[0].Password != demoPassword {
		t.Errorf("accounts.json: %+v, %v", saved, err)
	}
	if err := os.Remove(filepath.Join(folder, demoAccounts)); err != nil {
		t.Fatal(err)
	}
	if _, err := openDemo(t.Context(), folder, demoNow); err == nil {
		t.Error("a folder without its accounts is accepted")
	}
}
