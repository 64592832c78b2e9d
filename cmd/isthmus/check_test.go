package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"isthmus/assessment"
	"isthmus/assessment/pack"
	"isthmus/competency"
)

// mistake is one that a test plants in a good file: what it replaces, and where it must be found.
type mistake struct{ good, bad, field, says string }

// planted are mistakes of every sort a file of each kind can have. Mistakes of form hide those of meaning, so they have files of their own.
var planted = []struct {
	name, kind string
	mistakes   []mistake
}{
	{"form of a scenario", "scenario", []mistake{
		{"status: live", "statuss: live", "statuss", "unknown field"},
		{"version: 1", "version: one", "version", "must be a number"},
		{"  age: 63", "  age: [63]", "patient.age", "must be a number"},
		{"on_bypass: true", "on_bypass: probably", "operation.on_bypass", "must be true or false"},
		{"  stroke_risk_items: [hypertension]", "  stroke_risk_items: hypertension", "patient.stroke_risk_items", "must be a list"},
		{"{lesion: roof-line, energy: cryo}", "{lesion: roof-line, enrgy: cryo}", "expert[0].plan.lesions[2].enrgy", "unknown field"},
	}},
	{"meaning of a scenario", "scenario", []mistake{
		{"id: persistent-mitral-repair", "id: Persistent Mitral", "id", "lower-case words joined by hyphens"},
		{"status: live", "status: alive", "status", `"alive" is unknown`},
		{"age: 63", "age: 630", "patient.age", "must be between 18 and 110"},
		{"continuous_months: 5", "continuous_months: 12", "patient.af.continuous_months", "exactly 12 months"},
		{"left_atrium_mm: 52", "left_atrium_mm: 520", "patient.left_atrium_mm", "must be between"},
		{"[hypertension]", "[hypertension, hypertension]", "patient.stroke_risk_items[1]", "given twice"},
		{"urgency: elective", "urgency: soon", "operation.urgency", `"soon" is unknown`},
		{"on_bypass: true", "on_bypass: false", "operation.left_atrium_opened", "cannot be opened off bypass"},
		{"{lesion: floor-line, energy: cryo}", "{lesion: moat, energy: cryo}", "expert[0].plan.lesions[3].lesion", `"moat"`},
		{"asks: [ablation,", "minutes_limit: 500\nasks: [ablation,", "minutes_limit", "must be between 0 and 240, not 500"},
		{"      left_appendage: {state: excised,", "      steps: [arrest, arrest]\n      left_appendage: {state: excised,", "expert[0].plan.steps[1]", "given twice"},
		{"\nnotes:", "\nalternatives:\n  - {finding: thrombus-handled, why: because}\nnotes:", "alternatives[0].finding", "is critical"},
	}},
	{"form of a policy", "policy", []mistake{
		{"title: Default scope policy", "titel: Default scope policy", "titel", "unknown field"},
		{"refractory_period_ms: 199", "refractory_period_ms: long", "wavelength.refractory_period_ms", "must be a number"},
		{"reasons: [emergency, risk-too-high]", "reasons: emergency", "rows[0].reasons", "must be a list"},
	}},
	{"meaning of a policy", "policy", []mistake{
		{"weights: {scope: 35", "weights: {scope: 30", "weights", "must add up to 100, not 95"},
		{"{letter: A, at_least: 93}", "{letter: A, at_least: 99}", "letters[1]", "a worse letter at a lower score"},
		{"critical: F\n", "critical: G\n", "caps.critical", `"G" is unknown`},
		{"  gap: 1\n", "  gap: -1\n", "deductions.gap", "between 0 and 100 points"},
		{"{structure: sinus-node, within_mm: 5,", "{structure: sinus-node, within_mm: 500,", "hazards[0].within_mm", "must be between 0 and 30"},
		{"    near-av-node: B-\n", "    near-av-node: Z\n", "caps.findings.near-av-node", `"Z" is unknown`},
		{"widest_pacemaker: 20", "widest_pacemaker: 200", "told.widest_pacemaker", "must be between 1 and 100"},
		{"urgency: [emergency]", "urgency: [soonish]", "rows[0].when.urgency[0]", `"soonish" is unknown`},
		{"- id: permanent\n", "- id: emergency\n", "rows[1].id", "given once"},
	}},
	{"form of a standard", "standard", []mistake{
		{"example: true", "example: perhaps", "example", "must be true or false"},
		{"at_least: 12", "at_leest: 12", "requirements[0].at_leest", "unknown field"},
		{"within_days: 180", "within_days: 180.5", "requirements[4].within_days", "whole number"},
	}},
	{"meaning of a standard", "standard", []mistake{
		{"kind: count", "kind: counting", "requirements[0].kind", `"counting" is unknown`},
		{"- id: paroxysmal-cases", "- id: biatrial-cases", "requirements[1].id", "is used twice"},
		{"scale: help_given", "scale: help", "requirements[2].scale", `not "help"`},
		{"share: 0.8", "share: 80", "requirements[2].share", "written 0.005 to 1"},
		{"letter: A-", "letter: A--", "requirements[3].letter", `not "A--"`},
		{"attempt: best", "attempt: any", "requirements[3].attempt", `not "any"`},
		{"within_days: 180", "within_days: 0", "requirements[4].within_days", "must be"},
	}},
}

// starter is the file of a starter scenario.
var starter = filepath.Join("..", "..", "assessment", "pack", "scenarios", "01-persistent-mitral-repair.yaml")

// TestCheckFindsEveryMistake: each planted mistake is named with file, line, column and field, and nothing else is.
func TestCheckFindsEveryMistake(t *testing.T) {
	scenario, err := os.ReadFile(starter)
	if err != nil {
		t.Fatal(err)
	}
	good := map[string]string{"scenario": string(scenario), "policy": string(assessment.DefaultPolicyYAML()), "standard": string(competency.ExampleStandardYAML())}
	for _, tt := range planted {
		t.Run(tt.name, func(t *testing.T) {
			text := good[tt.kind]
			for _, m := range tt.mistakes {
				if !strings.Contains(text, m.good) {
					t.Fatalf("no %q to replace", m.good)
				}
				text = strings.Replace(text, m.good, m.bad, 1)
			}
			file := write(t, tt.kind+".yaml", text)
			code, out, errs := command(t, "check", "--kind", tt.kind, file)
			if lines := strings.Count(out, "\n"); code != 1 || errs != "" || lines != len(tt.mistakes) {
				t.Errorf("exit %d, %d lines, want %d\n%s%s", code, lines, len(tt.mistakes), out, errs)
			}
			for _, m := range tt.mistakes {
				if !found(out, file, m) {
					t.Errorf("%q is not found as %s: %s in\n%s", m.bad, m.field, m.says, out)
				}
			}
			if tt.kind == "standard" || strings.HasPrefix(tt.name, "meaning") {
				if code, auto, _ := command(t, "check", file); code != 1 || auto != out {
					t.Errorf("the kind is not found out:\n%s", auto)
				}
			}
		})
	}
	for kind, text := range good {
		file := write(t, kind+".yaml", text)
		if code, out, errs := command(t, "check", file); code != 0 || errs != "" || out != fmt.Sprintf("%s: %s, no mistakes\n", file, kind) {
			t.Errorf("exit %d\n%s%s", code, out, errs)
		}
		if code, out, _ := commandIn(t, nil, text, "check", "-"); code != 0 || out != "-: "+kind+", no mistakes\n" {
			t.Errorf("exit %d\n%s", code, out)
		}
	}
}

// found looks for a line file:line:column: field: message with the mistake's field, at a line the file really has.
func found(out, file string, m mistake) bool {
	for _, line := range strings.Split(out, "\n") {
		var row, column int
		rest, ours := strings.CutPrefix(line, file+":")
		if _, err := fmt.Sscanf(rest, "%d:%d:", &row, &column); !ours || err != nil || row < 1 || column < 1 {
			continue
		}
		if strings.Contains(rest, ": "+m.field+": ") && strings.Contains(rest, m.says) {
			return true
		}
	}
	return false
}

// TestGradeStarterScenarios: from the command line too, an expert's plan of each scenario grades A or better and a flawed one gets its
// letter. The pack's own test grades all of them.
func TestGradeStarterScenarios(t *testing.T) {
	for _, scenario := range pack.Scenarios() {
		t.Run(string(scenario.ID), func(t *testing.T) {
			grade := func(plan assessment.Plan) assessment.Letter {
				t.Helper()
				data, err := json.Marshal(plan)
				if err != nil {
					t.Fatal(err)
				}
				code, out, errs := commandIn(t, nil, string(data), "grade", "-", "-s", string(scenario.ID), "--json")
				var got struct {
					Letter  assessment.Letter `json:"letter"`
					Caution string            `json:"caution"`
				}
				if err := json.Unmarshal([]byte(out), &got); code != 0 || err != nil || got.Caution != assessment.Caution {
					t.Fatalf("exit %d, %v\n%s%s", code, err, out, errs)
				}
				return got.Letter
			}
			if letter := grade(scenario.Expert[0].Plan); letter != "A" && letter != "A+" {
				t.Errorf("expert %q: %s", scenario.Expert[0].Title, letter)
			}
			if flawed := scenario.Flawed[0]; grade(flawed.Plan) != flawed.Letter {
				t.Errorf("flawed %q: %s, want %s", flawed.Title, grade(flawed.Plan), flawed.Letter)
			}
		})
	}
}

// TestGradeFromStandardInput: either file may come from there.
func TestGradeFromStandardInput(t *testing.T) {
	const name = "persistent-mitral-repair-expert.json"
	scenario, err := os.ReadFile(starter)
	if err != nil {
		t.Fatal(err)
	}
	_, want, _ := command(t, "grade", samplePlan(name), "-s", "persistent-mitral-repair", "--json")
	if code, out, errs := commandIn(t, nil, string(scenario), "grade", samplePlan(name), "-s", "-", "--json"); code != 0 || out != want {
		t.Errorf("exit %d\n%s", code, errs)
	}
	if code, out, errs := commandIn(t, nil, "", "grade", samplePlan(name), "-s", "-"); code != 1 || out != "" || !strings.HasPrefix(errs, "-:1:1: ") {
		t.Errorf("an empty scenario: exit %d\n%s%s", code, out, errs)
	}
}
