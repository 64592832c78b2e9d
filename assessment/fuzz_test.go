package assessment_test

import (
	"errors"
	"os"
	"path/filepath"
	"testing"

	"isthmus/assessment"
	"isthmus/assessment/strict"
)

// FuzzDecodePlan: any bytes give a valid plan or Faults, never a panic.
func FuzzDecodePlan(f *testing.F) {
	f.Add([]byte(plan))
	f.Add([]byte(`{"ablate": false, "reason": "thrombus", "lesions": [], "left_appendage": {"state": "kept"}}`))
	f.Add([]byte(`{"lesions": [{"path": [[1e308, -1e308, 0]]}]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := assessment.DecodePlan(data)
		wantFaultsOrValid(t, err, p.Validate)
	})
}

// FuzzDecodeScenario is FuzzDecodePlan for scenarios.
func FuzzDecodeScenario(f *testing.F) {
	names, err := filepath.Glob(filepath.Join("pack", "scenarios", "*.yaml"))
	if err != nil || len(names) == 0 {
		f.Fatal("no starter scenarios", err)
	}
	for _, name := range names {
		data, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := assessment.DecodeScenario("s.yaml", data)
		wantFaultsOrValid(t, err, s.Validate)
	})
}

// FuzzDecodePolicy is FuzzDecodePlan for policies.
func FuzzDecodePolicy(f *testing.F) {
	f.Add(assessment.DefaultPolicyYAML())
	f.Add([]byte("rows:\n  - when: {}\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := assessment.DecodePolicy("p.yaml", data)
		wantFaultsOrValid(t, err, p.Validate)
	})
}

func wantFaultsOrValid(t *testing.T, err error, validate func() strict.Faults) {
	t.Helper()
	var faults strict.Faults
	if err == nil {
		if again := validate(); len(again.List) > 0 {
			t.Fatalf("decoded, but not valid: %v", again)
		}
		return
	}
	if !errors.As(err, &faults) || len(faults.List) == 0 {
		t.Fatalf("error is no Faults: %v", err)
	}
}
