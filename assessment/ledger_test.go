package assessment

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"isthmus/assessment/atrium"
)

// TestSettle: whatever the findings, their points add up to the score less 100 exactly, in hundredths; no part loses more than its
// weight; and what each part earned adds up to the score as well.
func TestSettle(t *testing.T) {
	codes := Codes()
	rapid.Check(t, func(t *rapid.T) {
		l := ledger{policy: DefaultPolicy()}
		for range rapid.IntRange(0, 30).Draw(t, "findings") {
			cost := rapid.IntRange(0, 4000).Draw(t, "cost")
			lesion := rapid.IntRange(0, 9).Draw(t, "lesion")
			l.findAt(rapid.SampledFrom(codes).Draw(t, "code"), "what", &Place{Lesion: &lesion}, cost)
		}
		findings, scores, score := l.settle()
		sum, lost := 0, map[Part]int{}
		for i, f := range findings {
			points := hundredths(f.Points)
			if math.Abs(f.Points*100-float64(points)) > 1e-9 || points > 0 {
				t.Fatalf("%s takes %v, not whole hundredths", f.Code, f.Points)
			}
			sum += points
			lost[f.Part] -= points
			if i > 0 && severities[f.Severity] < severities[findings[i-1].Severity] {
				t.Fatalf("%s stands after a less serious finding", f.Code)
			}
		}
		if fullScore+sum != score {
			t.Fatalf("100 + points = %d, score %d", fullScore+sum, score)
		}
		earned := 0
		for _, s := range scores {
			if lost[s.Part] > hundredths(s.Weight) || hundredths(s.Weight)-lost[s.Part] != hundredths(s.Earned) {
				t.Fatalf("part %s of %g earned %g and lost %d hundredths", s.Part, s.Weight, s.Earned, lost[s.Part])
			}
			earned += hundredths(s.Earned)
		}
		if earned != score {
			t.Fatalf("parts earned %d, score %d", earned, score)
		}
	})
}

func TestLetters(t *testing.T) {
	pol := DefaultPolicy()
	for score, want := range map[float64]Letter{100: "A+", 97: "A+", 96.99: "A", 93: "A", 92.99: "A-", 90: "A-", 89.99: "B+", 87: "B+", 86.99: "B", 83: "B", 82.99: "B-",
		80: "B-", 79.99: "C", 70: "C", 69.99: "D", 60: "D", 59.99: "F", 0: "F"} {
		if got := pol.letterOf(hundredths(score)); got != want {
			t.Errorf("letterOf(%g) = %s, want %s", score, got, want)
		}
	}
	if worse("A", "B+") != "B+" || worse("F", "B+") != "F" || Letter("E").Rank() != -1 {
		t.Error("worse or Rank is wrong")
	}
}

// TestKinds: every finding is complete, every price belongs to a finding, and what has no source says so.
func TestKinds(t *testing.T) {
	for _, code := range Codes() {
		k := kinds[code]
		if k.why == "" || k.source == "" || !slices.Contains(parts, k.part) {
			t.Errorf("%s is incomplete: %+v", code, k)
		}
		if _, known := severities[k.severity]; !known {
			t.Errorf("%s has severity %q", code, k.severity)
		}
	}
	for _, code := range deductionCodes {
		if _, known := kinds[code]; !known && code != "scope-further-below" {
			t.Errorf("%s has a price but is no finding", code)
		}
	}
}

// TestFromMemoryIsCheap: what rests on memory or habit alone takes few points, unless the model itself computes the harm or it is the
// one trap that cannot be put right: clot.
func TestFromMemoryIsCheap(t *testing.T) {
	for code, points := range DefaultPolicy().Deductions {
		k := kinds[code]
		if (k.source == fromMemory || k.source == commonPractice) && points > 3 && !slices.Contains([]string{"thrombus-handled", "thrombus-left-in-place", "clot-cleared-late", "scope-at-minimum"}, code) {
			t.Errorf("%s takes %g points on the word of %q", code, points, k.source)
		}
	}
}

func TestNearest(t *testing.T) {
	x, y, z := atrium.Vec{1, 0, 0}, atrium.Vec{0, 2, 0}, atrium.Vec{0, 0, 3}
	tests := []struct {
		name   string
		path   []atrium.Vec
		closed bool
		to     atrium.Vec
		want   float64 // degrees
	}{
		{"on an end", []atrium.Vec{x, y}, false, x, 0},
		{"on the arc", []atrium.Vec{x, y}, false, atrium.Vec{1, 1, 0}, 0},
		{"beside the arc", []atrium.Vec{x, y}, false, atrium.Vec{1, 1, math.Sqrt2}, 45},
		{"pole of the arc", []atrium.Vec{x, y}, false, z, 90},
		{"beyond an end", []atrium.Vec{x, y}, false, atrium.Vec{1, -1, 0}, 45},
		{"only the closing arc is near", []atrium.Vec{x, y, z}, true, atrium.Vec{1, 0, 1}, 0},
		{"the same, open", []atrium.Vec{x, y, z}, false, atrium.Vec{1, 0, 1}, 45},
		{"a point", []atrium.Vec{x}, false, y, 90},
	}
	for _, tt := range tests {
		if got := degrees(nearest(tt.path, tt.closed, tt.to)); math.Abs(got-tt.want) > 1e-6 {
			t.Errorf("%s: %.6f degrees, want %.6f", tt.name, got, tt.want)
		}
	}
	if !math.IsInf(nearest(nil, true, x), 1) {
		t.Error("an empty path is near something")
	}
}
