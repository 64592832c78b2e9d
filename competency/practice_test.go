package competency

import (
	"encoding/json"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
)

// delivered is an operation of one letter: b biatrial on target, l left atrial where biatrial is asked for, v veins where a box is, n nothing asked.
func delivered(id string, kind byte, on Day, site string) Delivered {
	d := Delivered{ID: id, On: on, Known: on.Add(3), Site: site, Pattern: "persistent", Target: atrium.ScopeBiatrial}
	rings := []atrium.LesionID{atrium.LeftPulmonaryVeinIsolation, atrium.RightPulmonaryVeinIsolation}
	left := append(slices.Clone(rings), atrium.RoofLine, atrium.FloorLine, atrium.MitralIsthmusLine, atrium.CoronarySinusLesion, atrium.LeftAppendageLine)
	switch kind {
	case 'b':
		d.Scope, d.Policy, d.Made = atrium.ScopeBiatrial, "target", append(left, atrium.IntercavalLine, atrium.FreeWallLine)
	case 'l':
		d.Scope, d.Policy, d.Made = atrium.ScopeLeftAtrial, "minimum", append(left, atrium.CavotricuspidIsthmusLine)
	case 'v':
		d.Pattern, d.Target, d.Scope, d.Policy, d.Made = "paroxysmal", atrium.ScopeBox, atrium.ScopePulmonaryVeinIsolation, "below", append(rings, atrium.FloorLine)
	case 'n':
		d.Pattern, d.Target, d.Scope, d.Policy = "permanent", atrium.ScopeNone, atrium.ScopeNone, "not-applicable"
	}
	return d
}

// TestPractice counts a year by hand.
func TestPractice(t *testing.T) {
	var list []Delivered
	for i, kind := range "bbblvvn" {
		list = append(list, delivered(string(rune('1'+i)), byte(kind), Day("2026-01-10").Add(40*i), []string{"Hill", "Quay"}[i%2]))
	}
	p := PracticeOf(list, PracticeFilter{On: "2026-12-31"})
	if p.N != 7 || !slices.Equal(p.NotAsked.IDs, []string{"7"}) || p.Less.Hits != 3 || p.Less.N != 6 || p.Below.Hits != 2 || !slices.Equal(p.Less.IDs, []string{"4", "5", "6"}) {
		t.Errorf("%+v", p)
	}
	if *p.Less.Share != 0.5 || *p.Less.Low != 0.1876 || *p.Less.High != 0.8124 { // Wilson 3 of 6 at 95 %: 0.1876 to 0.8124 (base R, prop.test without correction)
		t.Errorf("interval %v to %v", *p.Less.Low, *p.Less.High)
	}
	right, box, left := p.Steps[3], p.Steps[1], p.Steps[2]
	if right.LeftOut.Hits != 1 || right.LeftOut.N != 4 || box.LeftOut.Hits != 2 || box.LeftOut.N != 6 || left.LeftOut.Hits != 0 || left.LeftOut.N != 4 {
		t.Errorf("steps %+v", p.Steps)
	}
	missing := map[string]int{}
	for _, step := range p.Steps {
		for _, l := range step.Lesions {
			missing[l.ID] = l.LeftOut.Hits
		}
	}
	for id, want := range map[atrium.LesionID]int{atrium.RoofLine: 2, atrium.FloorLine: 0, atrium.IntercavalLine: 1, atrium.FreeWallLine: 0, atrium.RightAppendageLine: 1, atrium.LeftPulmonaryVeinIsolation: 0} {
		if missing[string(id)] != want {
			t.Errorf("%s missing in %d, want %d", id, missing[string(id)], want)
		}
	}
	if p.SaysOf != "step:box" || p.Says != "The closed box: left out in 2 of 6 in which the policy asks for it (33 %, 95 % interval 10 to 70 %)." {
		t.Errorf("says %q", p.Says)
	}
	var quarters []string
	for _, q := range p.Quarters {
		quarters = append(quarters, q.Name+strings.Repeat("+", q.Less.N)+strings.Repeat("-", q.Less.Hits))
	}
	if got := strings.Join(quarters, " "); got != "2026-Q1+++ 2026-Q2++-- 2026-Q3+-" {
		t.Errorf("quarters %s", got)
	}
	if p = PracticeOf(list, PracticeFilter{From: "2026-02-01", On: "2026-05-12", Site: "Quay"}); p.N != 1 || p.Less.Hits != 0 { // the fourth, of 10 May, is known on the 13th
		t.Errorf("filtered %+v", p)
	}
	if p = PracticeOf(nil, PracticeFilter{On: "2026-05-10"}); p.Less.Share != nil || !strings.HasPrefix(p.Says, "Nothing is on record") {
		t.Errorf("of nothing %+v", p)
	}
}

// TestPracticeAddsUp: whatever comes, in whatever order, the parts add up to the whole, and everything counted is named.
func TestPracticeAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kinds := rapid.SliceOfN(rapid.SampledFrom([]byte("blvn")), 0, 40).Draw(t, "kinds")
		var list []Delivered
		for i, kind := range kinds {
			list = append(list, delivered(rapid.StringMatching(`[a-z]{12}`).Draw(t, "id"), kind, Day("2025-01-01").Add(rapid.IntRange(0, 700).Draw(t, "day")), []string{"Hill", "Quay", ""}[i%3]))
		}
		filter := PracticeFilter{On: "2026-06-30"}
		p := PracticeOf(list, filter)
		if p.Less.N+p.NotAsked.Hits != p.N || p.Below.Hits > p.Less.Hits {
			t.Fatalf("%+v", p)
		}
		sum := func(periods []PeriodPractice) (hits, n int) {
			for _, q := range periods {
				hits, n = hits+q.Less.Hits, n+q.Less.N
			}
			return hits, n
		}
		if hits, n := sum(p.Quarters); hits != p.Less.Hits || n != p.Less.N {
			t.Fatalf("quarters add up to %d of %d, not %d of %d", hits, n, p.Less.Hits, p.Less.N)
		}
		inPatterns := 0
		for _, pattern := range p.Patterns {
			for _, scope := range pattern.Scopes {
				inPatterns += scope.Hits
			}
		}
		if inPatterns != p.N {
			t.Fatalf("patterns hold %d of %d", inPatterns, p.N)
		}
		for _, step := range p.Steps {
			for _, l := range step.Lesions {
				if l.LeftOut.Hits > step.LeftOut.Hits {
					t.Fatalf("%s is missing more often than its step", l.ID)
				}
			}
		}
		before, _ := json.Marshal(p)
		rand.New(rand.NewPCG(1, uint64(len(list)))).Shuffle(len(list), func(i, j int) { list[i], list[j] = list[j], list[i] })
		if after, _ := json.Marshal(PracticeOf(list, filter)); string(after) != string(before) {
			t.Fatal("the order of operations matters")
		}
	})
}

// TestStumpNotAsked: where the appendage was kept, the line to its stump is neither asked for nor left out; an unknown pattern stands apart.
func TestStumpNotAsked(t *testing.T) {
	d := delivered("1", 'v', "2026-01-01", "Hill")
	d.Target, d.Pattern, d.AppendageKept = atrium.ScopeLeftAtrial, af.Pattern(""), true
	p := PracticeOf([]Delivered{d}, PracticeFilter{On: "2026-02-01"})
	lines := p.Steps[2].Lesions
	if p.Steps[2].LeftOut.Hits != 1 || lines[0].LeftOut.Hits != 1 || lines[2].LeftOut.N != 0 || len(p.Patterns) != 5 || p.Patterns[4].Pattern != "" {
		t.Errorf("%+v", p)
	}
}
