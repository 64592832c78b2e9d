package main

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"isthmus/assessment/pack"
)

// TestCoverage: the table of the starter scenarios, the same counts as JSON, and every hole listed.
func TestCoverage(t *testing.T) {
	want, err := pack.Cover(pack.Scenarios())
	if err != nil {
		t.Fatal(err)
	}
	code, out, errs := command(t, "coverage")
	says := append([]string{"paroxysmal  persistent  long-standing-persistent  permanent  total", "right atrial lesions left out in non-paroxysmal AF",
		fmt.Sprintf("live scenarios: %d, holes: %d", len(pack.Scenarios()), len(want.Holes))}, want.Holes...)
	for _, say := range says {
		if code != 0 || !strings.Contains(out, say) {
			t.Errorf("exit %d, no %q in\n%s%s", code, say, out, errs)
		}
	}
	var got pack.Coverage
	if code, out, errs = command(t, "coverage", "--json"); code != 0 || json.Unmarshal([]byte(out), &got) != nil || got.Scenarios != want.Scenarios || len(got.Holes) != len(want.Holes) {
		t.Errorf("exit %d\n%s%s", code, out, errs)
	}
}

// TestCoverageOfFiles: the scenarios of a programme's own files, and their mistakes.
func TestCoverageOfFiles(t *testing.T) {
	code, out, errs := command(t, "coverage", starter)
	if code != 0 || !strings.Contains(out, "\nlive scenarios: 1, ") || !strings.Contains(out, "  persistent, coronary grafts, left atrium closed\n") {
		t.Errorf("exit %d\n%s%s", code, out, errs)
	}
	for _, tt := range []struct{ file, says string }{
		{write(t, "wrong.yaml", "id: a\n"), "wrong.yaml:1:"},
		{"absent.yaml", "absent.yaml"},
	} {
		if code, out, errs := command(t, "coverage", tt.file); code != 1 || out != "" || !strings.Contains(errs, tt.says) {
			t.Errorf("exit %d, no %q in\n%s%s", code, tt.says, out, errs)
		}
	}
}
