package assessment_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"isthmus/assessment"
	"isthmus/assessment/atrium"
)

// starters reads every starter scenario.
func starters(t testing.TB) []assessment.Scenario {
	t.Helper()
	names, err := filepath.Glob(filepath.Join("pack", "scenarios", "*.yaml"))
	if err != nil || len(names) == 0 {
		t.Fatal("no starter scenarios", err)
	}
	var list []assessment.Scenario
	for _, name := range names {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		s, err := assessment.DecodeScenario(name, data)
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, s)
	}
	return list
}

// TestExportOfThePack: every starter scenario is read back from its file as it was.
func TestExportOfThePack(t *testing.T) {
	for _, s := range starters(t) {
		wantSameFromFile(t, s)
	}
}

func wantSameFromFile(t interface {
	Helper()
	Fatalf(string, ...any)
}, s assessment.Scenario) {
	t.Helper()
	file := assessment.EncodeScenario(s)
	got, err := assessment.DecodeScenario("s.yaml", file)
	if err != nil {
		t.Fatalf("%v\n%s", err, file)
	}
	if diff := cmp.Diff(s, got, cmpopts.EquateEmpty()); diff != "" {
		t.Fatalf("exported and imported (-before +after):\n%s\n%s", diff, file)
	}
}

// nasty are texts that a careless writer of YAML gets wrong.
var nasty = []string{
	"no", "null", "~", "1", "1e3", "0x1f", "2026-01-02", "- a", "a: b", "a #b", "#", "'", `"`, `\`, "\\n", "{a", "[", "]", "!tag", "&a", "*a", "%", "@", "`", "|", ">",
	"? a", ":", "---", "...", "\u2028", "\u0085", "\ufeff", "\U0001fac0", "é", "\u200b", "\u00a0", "<<", "=", ",", "\u0001", "\u007f",
}

// text draws a text of words, nasty ones among them, between least and 200 characters.
func text(least int) *rapid.Generator[string] {
	return rapid.Custom(func(t *rapid.T) string {
		s := "w"
		for range rapid.IntRange(least/2, 40).Draw(t, "words") {
			s += rapid.SampledFrom([]string{" ", " ", " ", "  ", "\n", "\n\n", "\t", ""}).Draw(t, "gap")
			s += rapid.OneOf(rapid.SampledFrom(nasty), rapid.StringN(1, 6, 12)).Draw(t, "word")
		}
		return s + "w"
	})
}

// TestExportKeepsEverything: a scenario with any text, number and drawn path is read back as it was.
func TestExportKeepsEverything(t *testing.T) {
	all := starters(t)
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.SampledFrom(all).Draw(t, "scenario")
		s.Vignette = text(40).Draw(t, "vignette")
		s.Title, s.Author = text(0).Filter(upTo(120)).Draw(t, "title"), text(0).Filter(upTo(120)).Draw(t, "author")
		s.Patient.LeftAtriumMM = rapid.Float64Range(25, 90).Draw(t, "diameter")
		s.MinutesLimit = rapid.IntRange(0, 240).Draw(t, "minutes")
		s.Notes = append([]assessment.Note{{Text: text(0).Draw(t, "note"), Source: text(0).Draw(t, "source")}}, s.Notes...)
		ablate := true
		s.Expert = append([]assessment.Answer{{Title: "Drawn", Why: text(0).Draw(t, "why"), Plan: assessment.Plan{
			Ablate: &ablate, Lesions: []atrium.Lesion{drawn(t)}, LeftAppendage: assessment.Appendage{State: atrium.AppendageKept},
			Told: &assessment.Told{Pacemaker: assessment.Range{High: rapid.Float64Range(0, 100).Draw(t, "high")}}, Note: text(0).Draw(t, "note"),
		}}}, s.Expert...)
		if len(s.Validate().List) == 0 { // a drawn line can turn back on itself
			wantSameFromFile(t, s)
		}
	})
}

func upTo(most int) func(string) bool { return func(s string) bool { return len([]rune(s)) <= most } }

// drawn draws a line or a ring.
func drawn(t *rapid.T) atrium.Lesion {
	l := atrium.Lesion{Chamber: atrium.LeftAtrium, Closed: rapid.Bool().Draw(t, "closed"), Energy: atrium.Cryo}
	for range rapid.IntRange(3, 30).Draw(t, "points") {
		number := rapid.OneOf(rapid.Float64Range(-1, 1), rapid.Float64Range(-1e-9, 1e-9))
		l.Path = append(l.Path, atrium.Vec{number.Draw(t, "x"), number.Draw(t, "y"), rapid.Float64Range(0.2, 1).Draw(t, "z")})
	}
	return l
}
