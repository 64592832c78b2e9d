package main

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"isthmus/assessment"
)

// command runs the program in this process and returns its exit code and what it wrote.
func command(t *testing.T, args ...string) (code int, out, errs string) {
	t.Helper()
	var stdout, stderr bytes.Buffer
	code = run(context.Background(), args, nil, Streams{In: strings.NewReader(""), Out: &stdout, Err: &stderr})
	return code, stdout.String(), stderr.String()
}

// samplePlan is a plan file shared between packages.
func samplePlan(name string) string { return filepath.Join("..", "..", "testdata", "plans", name) }

func TestGrade(t *testing.T) {
	tests := []struct {
		plan, scenario string
		letter         assessment.Letter
		unsafe         bool
		code           string
	}{
		{"persistent-mitral-repair-expert.json", "persistent-mitral-repair", "A+", false, "scope-on-target"},
		{"persistent-mitral-repair-right-atrium-left-out.json", "persistent-mitral-repair", "B", false, "tricuspid-circuit"},
		{"persistent-mitral-repair-coronary-sinus-left-out.json", "persistent-mitral-repair", "C", false, "coronary-sinus-left"},
		{"clot-thoracoscopic-expert.json", "clot-thoracoscopic", "A+", false, "no-ablation-on-target"},
		{"clot-thoracoscopic-carried-on.json", "clot-thoracoscopic", "F", true, "thrombus-handled"},
	}
	for _, tt := range tests {
		t.Run(tt.plan, func(t *testing.T) {
			code, out, errs := command(t, "grade", samplePlan(tt.plan), "--scenario", tt.scenario, "--json")
			var g assessment.Grade
			if err := json.Unmarshal([]byte(out), &g); code != 0 || err != nil {
				t.Fatalf("exit %d, %v\n%s", code, err, errs)
			}
			if g.Letter != tt.letter || g.Unsafe != tt.unsafe || !strings.Contains(out, `"code": "`+tt.code+`"`) || g.Caution != assessment.Caution {
				t.Errorf("letter %s, unsafe %t, want %s, %t and a finding %s\n%s", g.Letter, g.Unsafe, tt.letter, tt.unsafe, tt.code, out)
			}
			if _, again, _ := command(t, "grade", samplePlan(tt.plan), "-s", tt.scenario, "--json"); again != out {
				t.Error("the same input gives other bytes")
			}
			_, text, _ := command(t, "grade", samplePlan(tt.plan), "-s", tt.scenario)
			if !strings.HasPrefix(text, string(tt.letter)+"  ") || !strings.Contains(text, assessment.Caution) || strings.Contains(text, "UNSAFE") != tt.unsafe {
				t.Errorf("report:\n%s", text)
			}
		})
	}
}

func TestGradeFromFiles(t *testing.T) {
	scenario := filepath.Join("..", "..", "assessment", "pack", "scenarios", "01-persistent-mitral-repair.yaml")
	strict := strings.Replace(string(assessment.DefaultPolicyYAML()), "{letter: A+, at_least: 97}", "{letter: A+, at_least: 100}", 1)
	policy := write(t, "policy.yaml", strings.Replace(strict, "version: 2", "version: 7", 1))
	code, out, errs := command(t, "grade", samplePlan("persistent-mitral-repair-expert.json"), "-s", scenario, "--policy", policy, "--json")
	if code != 0 || !strings.Contains(out, `"policy_version": 7`) {
		t.Errorf("exit %d\n%s%s", code, out, errs)
	}
}

func TestGradeRefuses(t *testing.T) {
	plan := samplePlan("persistent-mitral-repair-expert.json")
	tests := []struct {
		name string
		args []string
		code int
		says string
	}{
		{"no such scenario", []string{"grade", plan, "-s", "nothing-like-it"}, 1, `no starter scenario and no file is called "nothing-like-it"`},
		{"no such plan", []string{"grade", "absent.json", "-s", "clot-thoracoscopic"}, 1, "absent.json"},
		{"no scenario named", []string{"grade", plan}, 2, "--scenario"},
		{"broken plan", []string{"grade", write(t, "broken.json", "{\n  \"ablate\": tru\n}"), "-s", "clot-thoracoscopic"}, 1, "broken.json:2:16: not JSON"},
		{"unknown lesion", []string{"grade", write(t, "unknown.json", `{"ablate": true, "lesions": [{"lesion": "moat"}], "left_appendage": {"state": "kept"}}`), "-s", "clot-thoracoscopic"}, 1, "unknown.json:1:"},
		{"broken policy", []string{"grade", plan, "-s", "clot-thoracoscopic", "--policy", write(t, "policy.yaml", "id: p\n")}, 1, "policy.yaml:1:1: version"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if code, out, errs := command(t, tt.args...); code != tt.code || out != "" || !strings.Contains(errs, tt.says) {
				t.Errorf("exit %d, want %d with %q\n%s%s", code, tt.code, tt.says, out, errs)
			}
		})
	}
}

func TestCheck(t *testing.T) {
	scenario := filepath.Join("..", "..", "assessment", "pack", "scenarios", "01-persistent-mitral-repair.yaml")
	data, err := os.ReadFile(scenario)
	if err != nil {
		t.Fatal(err)
	}
	wrong := write(t, "wrong.yaml", strings.NewReplacer("age: 63", "age: 630", "status: live", "status: alive").Replace(string(data)))
	policy := write(t, "policy.yaml", string(assessment.DefaultPolicyYAML()))
	odd := write(t, "odd.yaml", "a: 1\n")
	tests := []struct {
		name string
		args []string
		code int
		says []string
	}{
		{"right", []string{"check", scenario, policy}, 0, []string{"01-persistent-mitral-repair.yaml: scenario, no mistakes", "policy.yaml: policy, no mistakes"}},
		{"every mistake, and on to the next file", []string{"check", wrong, policy}, 1, []string{"wrong.yaml:4:1: status: ", "wrong.yaml:12:3: patient.age: must be between 18 and 110", "policy.yaml: policy, no mistakes"}},
		{"of another kind", []string{"check", "--kind", "policy", scenario}, 1, []string{"01-persistent-mitral-repair.yaml:5:1: author: unknown field"}},
		{"unknown kind of file", []string{"check", odd}, 1, []string{"odd.yaml:1:1: cannot tell what this is"}},
		{"absent", []string{"check", "absent.yaml"}, 1, []string{"absent.yaml"}},
		{"unknown kind", []string{"check", "--kind", "novel", scenario}, 2, nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			code, out, errs := command(t, tt.args...)
			if code != tt.code {
				t.Errorf("exit %d, want %d\n%s%s", code, tt.code, out, errs)
			}
			for _, want := range tt.says {
				if !strings.Contains(out, want) {
					t.Errorf("no %q in\n%s", want, out)
				}
			}
		})
	}
}

// write makes a file for one test.
func write(t *testing.T, name, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}
