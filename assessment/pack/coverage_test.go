package pack_test

import (
	"slices"
	"strings"
	"testing"

	"isthmus/assessment"
	"isthmus/assessment/pack"
)

// TestCover: a count goes up by one where a scenario belongs and nowhere else, drafts do not count, and what is filled is no hole.
func TestCover(t *testing.T) {
	none, err := pack.Cover(nil)
	if err != nil || none.Scenarios != 0 {
		t.Fatal(none.Scenarios, err)
	}
	// 12 kinds of operation in 4 patterns, less 2 stand-alone ones in permanent AF, then every modifier and every omission.
	if want := 12*4 - 2 + len(none.Modifiers) + len(none.Omissions); len(none.Holes) != want {
		t.Errorf("%d holes in nothing, want %d", len(none.Holes), want)
	}
	first, _ := pack.Scenario("persistent-mitral-repair")
	draft := first
	draft.Status = assessment.Draft
	one, err := pack.Cover([]assessment.Scenario{first, draft})
	if err != nil || one.Scenarios != 1 {
		t.Fatal(one.Scenarios, err)
	}
	filled := slices.DeleteFunc(slices.Clone(none.Holes), func(hole string) bool { return slices.Contains(one.Holes, hole) })
	want := []string{
		"persistent, mitral valve, left atrium opened",
		"left atrium of 45 mm or more",
		"no flawed plan: right atrial lesions left out in non-paroxysmal AF",
		"no flawed plan: mitral line without the coronary sinus",
	}
	if !slices.Equal(filled, want) {
		t.Errorf("filled\n%s\nwant\n%s", strings.Join(filled, "\n"), strings.Join(want, "\n"))
	}
	total := 0
	for _, row := range one.Operations {
		total += row.Total()
	}
	if total != 1 {
		t.Errorf("one scenario counts %d times", total)
	}
}

// TestCoverRefuses: a history that contradicts itself has no pattern.
func TestCoverRefuses(t *testing.T) {
	s, _ := pack.Scenario("persistent-mitral-repair")
	s.Patient.AF.Ends = "by-itself"
	if _, err := pack.Cover([]assessment.Scenario{s}); err == nil || !strings.Contains(err.Error(), "patient.af.ends") {
		t.Errorf("error %v", err)
	}
}
