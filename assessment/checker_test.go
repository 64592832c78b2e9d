package assessment_test

import (
	"slices"
	"strings"
	"testing"

	"isthmus/assessment"
	"isthmus/assessment/atrium"
)

// screened finds one word.
func screened(text string) []string {
	if strings.Contains(text, "Mrs Oakwood") {
		return []string{`"Mrs Oakwood": looks like a person's name: leave it out`}
	}
	return nil
}

var checker = assessment.Checker{Model: atrium.Default(), Policy: assessment.DefaultPolicy(), Screen: screened}

// TestChecker plants mistakes of every sort in a good file: each has its place, and answers are graded only when nothing else is wrong.
func TestChecker(t *testing.T) {
	right := starter(t, "01-persistent-mitral-repair.yaml")
	if found := checker.File("s.yaml", []byte(right)); found.Err() != nil || len(found.Answers) != 4 {
		t.Fatalf("%v, %d answers", found.Err(), len(found.Answers))
	}
	for _, tt := range []struct {
		name, old, new string
		line           string // how the line it is found at begins
		field, says    string
	}{
		{"form", "version: 1", "version: one", "version: one", "version", "must be a number"},
		{"meaning", "age: 63", "age: 630", "  age: 630", "patient.age", "between 18 and 110"},
		{"a patient", "A choirmaster of 63", "Mrs Oakwood of 63", "vignette: >-", "vignette", "leave it out"},
		{"a flawed plan of another letter", "letter: D\n", "letter: B\n", "    letter: B", "flawed[1].letter", "points, not B"},
		{"a finding that is not raised", "codes: [scope-below-minimum, perimitral-circuit]", "codes: [thrombus-handled]", "    codes: [thrombus", "flawed[1].codes", "does not raise thrombus-handled"},
	} {
		text := strings.Replace(right, tt.old, tt.new, 1)
		found := checker.File("s.yaml", []byte(text))
		lines := strings.Split(text, "\n")
		if n := len(found.Faults.List); n != 1 {
			t.Errorf("%s: %d faults: %v", tt.name, n, found.Err())
			continue
		}
		fault := found.Faults.List[0]
		if fault.Field != tt.field || !strings.Contains(fault.Message, tt.says) || !strings.HasPrefix(lines[fault.Line-1], tt.line) || fault.Column < 1 {
			t.Errorf("%s: %+v", tt.name, fault)
		}
		if graded := strings.HasPrefix(tt.field, "flawed"); graded != (len(found.Answers) == 4) {
			t.Errorf("%s: %d answers", tt.name, len(found.Answers))
		}
	}
}

// TestCheckerOfAnswers: an expert's plan below A is a mistake; the answers say what they got.
func TestCheckerOfAnswers(t *testing.T) {
	s := firstStarter(t)
	s.Expert = append(slices.Clone(s.Expert), assessment.Answer{Title: "Weak", Why: "It saves time.", Plan: s.Flawed[1].Plan})
	found := checker.Scenario(s)
	if len(found.Faults.List) != 1 || found.Faults.List[0].Field != "expert[1].plan" || !strings.Contains(found.Faults.List[0].Message, "must get A or better") {
		t.Errorf("faults %v", found.Err())
	}
	var said []string
	for _, a := range found.Answers {
		said = append(said, a.Kind+" "+string(a.Wanted))
		if a.OK != (a.Title != "Weak") || len(a.Codes) == 0 && a.Letter != "A+" || a.MissingCodes == nil || a.Score <= 0 {
			t.Errorf("answer %+v", a)
		}
	}
	want := []string{"expert A", "expert A"}
	for _, flawed := range s.Flawed {
		want = append(want, "flawed "+string(flawed.Letter))
	}
	if !slices.Equal(said, want) {
		t.Errorf("answers %v, want %v", said, want)
	}
	many := s
	many.Patient.StrokeRiskItems = make([]string, 5000)
	if found := checker.Scenario(many); len(found.Faults.List) != 100 {
		t.Errorf("%d faults reported, want 100", len(found.Faults.List))
	}
}
