package assessment_test

import (
	"errors"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"isthmus/assessment"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// TestGradeReport holds the readable report of an unsafe plan to its golden file.
func TestGradeReport(t *testing.T) {
	s := scenario(t, "clot-thoracoscopic")
	var b strings.Builder
	if err := assessment.GradeReport(&b, grade(t, s, s.Flawed[0].Plan)); err != nil {
		t.Fatal(err)
	}
	golden := filepath.Join("testdata", "report-unsafe.txt")
	if *update {
		if err := os.WriteFile(golden, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), b.String()); diff != "" {
		t.Errorf("report (-want +got):\n%s", diff)
	}
	for i, line := range strings.Split(b.String(), "\n") {
		if len([]rune(line)) > 102 {
			t.Errorf("line %d is %d characters long", i+1, len([]rune(line)))
		}
	}
}

// full is a writer with no room left.
type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("no room") }

func TestGradeReportFails(t *testing.T) {
	if err := assessment.GradeReport(full{}, assessment.Grade{}); err == nil {
		t.Error("a report that could not be written is no error")
	}
}

// TestReportSaysTheFloor: a low score with a D would look like a mistake.
func TestReportSaysTheFloor(t *testing.T) {
	s := scenario(t, "long-standing-coronary-closed")
	decline := false
	g := grade(t, s, assessment.Plan{Ablate: &decline, Reason: assessment.RiskTooHigh, LeftAppendage: s.Expert[0].Plan.LeftAppendage})
	var b strings.Builder
	if err := assessment.GradeReport(&b, g); err != nil {
		t.Fatal(err)
	}
	if g.Floor != "D" || g.Score >= 60 || !strings.HasPrefix(b.String(), "D  ") || !strings.Contains(b.String(), "Held at D: less is for what is unsafe.") {
		t.Errorf("floor %q, score %v\n%.300s", g.Floor, g.Score, b.String())
	}
}
