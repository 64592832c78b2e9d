package main

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/assessment"
	"isthmus/assessment/atrium"
	"isthmus/assessment/pack"
	"isthmus/competency"
	"isthmus/migrations"
	"isthmus/policies"
)

// brokenScenarios are files with mistakes of every sort, made from a good one; beside them go the files of TestCheckFindsEveryMistake.
var brokenScenarios = []struct{ name, old, new string }{
	{"sound", "", ""},
	{"no YAML", "patient:", "patient: ["},
	{"tabs", "  age: 63", "\tage: 63"},
	{"an anchor", "  age: 63", "  age: &age 63"},
	{"two documents", "notes:", "---\nnotes:"},
	{"a field given twice", "version: 1", "version: 1\nversion: 2"},
	{"unknown fields", "  age: 63", "  age: 63\n  shoe_size: 44\n  hat: large"},
	{"a list for a number", "  age: 63", "  age: [63]"},
	{"nothing for a list", "asks: [ablation, lesion-set, appendage, aftercare]", "asks:"},
	{"words out of the lists", "urgency: elective", "urgency: soon"},
	{"a contradiction", "ends: does-not-end", "ends: by-itself"},
	{"a patient", "A choirmaster of 63", "Mrs Oakwood, born 3 March 1961,"},
	{"an expert's plan that is none", "{lesion: roof-line, energy: cryo}", "{lesion: rooftop-line, energy: laser}"},
	{"an expert's plan that falls short", "        - {lesion: roof-line, energy: cryo}\n", ""},
	{"a flawed plan of another letter", "letter: D\n", "letter: A-\n"},
	{"a finding that is not raised", "codes: [scope-at-minimum", "codes: [thrombus-handled, scope-at-minimum"},
	{"a live scenario without experts", "status: live", "status: retired\nminutes_limit: 999"},
}

// TestLibraryAgrees gives broken files to the command and to the library: both find the same mistakes at the same places in the same words.
func TestLibraryAgrees(t *testing.T) {
	data, err := os.ReadFile(starter)
	if err != nil {
		t.Fatal(err)
	}
	texts := map[string]string{"empty": "", "not a mapping": "- a\n- b\n", "large": "vignette: " + strings.Repeat("word ", 220_000)}
	for _, b := range brokenScenarios {
		if b.old != "" && !strings.Contains(string(data), b.old) {
			t.Fatalf("no %q to replace", b.old)
		}
		texts[b.name] = strings.Replace(string(data), b.old, b.new, 1)
	}
	for _, p := range planted {
		text := string(data)
		for _, m := range p.mistakes {
			text = strings.Replace(text, m.good, m.bad, 1)
		}
		if p.kind == "scenario" {
			texts[p.name] = text
		}
	}
	for _, s := range pack.Scenarios()[:3] {
		texts[string(s.ID)] = string(assessment.EncodeScenario(s))
	}
	library, programme := openLibrary(t)
	for name, text := range texts {
		t.Run(name, func(t *testing.T) {
			file := filepath.Join(t.TempDir(), "scenario.yaml")
			if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
				t.Fatal(err)
			}
			code, out, errs := command(t, "check", "--kind", "scenario", file)
			found, err := library.CheckScenario(t.Context(), service.Actor{Person: "mei"}, programme, service.EditionText{YAML: text})
			if text == "" {
				if err == nil || code != 1 {
					t.Errorf("nothing at all: exit %d, %v", code, err)
				}
				return
			}
			if err != nil || errs != "" {
				t.Fatal(err, errs)
			}
			var want strings.Builder
			for _, fault := range found.Faults {
				want.WriteString(fault.In(file) + "\n")
			}
			if len(found.Faults) > 0 && len(found.Answers) > 0 {
				want.WriteString(found.Caution + "\n")
			}
			if len(found.Faults) == 0 {
				want.WriteString(file + ": scenario, no mistakes\n")
			}
			if out != want.String() || (code == 0) != (len(found.Faults) == 0) {
				t.Errorf("exit %d, the command says\n%sthe library\n%s", code, out, want.String())
			}
			if good := name == "sound" || !strings.Contains(name, " ") && strings.Contains(name, "-"); good != (code == 0) {
				t.Errorf("exit %d\n%s", code, out)
			}
		})
	}
}

// openLibrary is the service on an empty database with one programme, in which mei is faculty.
func openLibrary(t *testing.T) (*service.Service, competency.ProgrammeID) {
	t.Helper()
	s := storetest.Open(t, migrations.SQLite)
	now := time.Date(2026, time.May, 4, 10, 0, 0, 0, time.UTC)
	err := s.Write(context.Background(), store.Act{Programme: "north", Name: "test.prepare", At: now}, func(tx *store.Tx) error {
		if err := tx.CreateProgramme(store.Programme{ID: "north", Name: "North", Settings: competency.Defaults(), CreatedAt: now}); err != nil {
			return err
		}
		if err := tx.CreatePerson(store.Person{ID: "mei", Email: "mei@example.org", Name: "Mei", CreatedAt: now}); err != nil {
			return err
		}
		if err := tx.AddMembership(store.Membership{Programme: "north", Person: "mei", Role: "faculty", From: "2026-01-01"}); err != nil {
			return err
		}
		return tx.Audit("programme", "north", nil, nil)
	})
	if err != nil {
		t.Fatal(err)
	}
	allow, err := policies.New()
	if err != nil {
		t.Fatal(err)
	}
	library, err := service.New(service.Deps{
		Store: s, Authorizer: allow, Model: atrium.Default(), Policy: assessment.DefaultPolicy(), Scenarios: pack.Scenarios(),
		Clock: func() time.Time { return now }, NewID: newID,
	})
	if err != nil {
		t.Fatal(err)
	}
	return library, "north"
}
