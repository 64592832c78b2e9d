package competency

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"isthmus/assessment/atrium"
)

// supplied is two sites, one trainee posted 100 days to each with 10 biatrial cases at the first and 2 at the second.
func supplied(on Day) (map[PersonID][]Posting, map[PersonID]Evidence) {
	var e Evidence
	for i := range 12 {
		site, back := "First", 150+i
		if i >= 10 {
			site, back = "Second", 20+i
		}
		day := on.Add(-back)
		e.Cases = append(e.Cases, SignedCase{ID: CaseID(fmt.Sprint("c", i)), OperatedOn: string(day), SubmittedAt: day.Start(), SignedAt: day.Start(), Site: site, Scope: atrium.ScopeBiatrial, Role: RolePrimary})
	}
	elsewhere := e.Cases[0] // at the first site on a day when posted to the second: no exposure belongs to it
	elsewhere.ID, elsewhere.OperatedOn, elsewhere.SubmittedAt = "stray", string(on.Add(-30)), on.Add(-30).Start()
	e.Cases = append(e.Cases, elsewhere)
	return map[PersonID][]Posting{"a": {{"First", on.Add(-199), on.Add(-100)}, {"Second", on.Add(-99), ""}}}, map[PersonID]Evidence{"a": e}
}

// TestSupply counts by hand: 10 in 100 days and 2 in 100 days, 50 days ahead at each: 10.5/100*50 + 2.5/100*50 = 6.5.
func TestSupply(t *testing.T) {
	const on = Day("2026-06-30")
	postings, evidence := supplied(on)
	histories := SiteHistories([]string{"First", "Second"}, postings, evidence, on)
	if histories[0].Days != 100 || len(histories[0].Cases) != 10 || histories[1].Days != 100 || len(histories[1].Cases) != 2 {
		t.Fatalf("%+v", histories)
	}
	standard := Standard{ID: "s", Version: 1, Requirements: []Requirement{
		{ID: "biatrial", Kind: KindCount, AtLeast: 6, Filter: Filter{Scope: []atrium.Scope{atrium.ScopeBiatrial}}}, {ID: "recent", Kind: KindRecency, AtLeast: 3, WithinDays: 90},
	}}
	plan := []Posting{{"First", on.Add(1), on.Add(50)}, {"Second", on.Add(51), ""}}
	list := Supplies(standard, Evidence{}, plan, on.Add(100), histories, on)
	if len(list) != 1 {
		t.Fatalf("%+v", list)
	}
	s := list[0]
	if s.Lacks != 6 || s.Expected != 6.5 || len(s.Sources) != 2 || s.Sources[0].Ahead != 50 || s.Sources[1].Cases != 2 || s.CannotSay != "" {
		t.Errorf("%+v", s)
	}
	if !(s.Low < 6 && s.High > 6) || math.Abs(s.Chance-0.54) > 0.05 {
		t.Errorf("%d to %d, chance %g", s.Low, s.High, s.Chance)
	}
	done := Supplies(standard, evidence["a"], plan, on.Add(100), histories, on)[0]
	if done.Lacks != 0 || done.Chance != 1 {
		t.Errorf("nothing is lacking: %+v", done)
	}
	for why, got := range map[string]Supply{
		"no end set":               Supplies(standard, Evidence{}, plan, "", histories, on)[0],
		"no posting is planned":    Supplies(standard, Evidence{}, nil, on.Add(100), histories, on)[0],
		"no trainee was posted to": Supplies(standard, Evidence{}, plan, on.Add(100), SiteHistories([]string{"First", "Second"}, nil, evidence, on), on)[0],
	} {
		if !strings.Contains(got.CannotSay, why) {
			t.Errorf("%q: %+v", why, got)
		}
	}
}

// TestSupplyGrows: a longer plan never lowers the chance, and whatever the plan the figures are numbers.
func TestSupplyGrows(t *testing.T) {
	const on = Day("2026-06-30")
	postings, evidence := supplied(on)
	histories := SiteHistories([]string{"First", "Second"}, postings, evidence, on)
	rapid.Check(t, func(t *rapid.T) {
		standard := Standard{ID: "s", Version: 1, Requirements: []Requirement{{ID: "b", Kind: KindCount, AtLeast: rapid.IntRange(1, 40).Draw(t, "least")}}}
		days := rapid.IntRange(0, 400).Draw(t, "days")
		one := Supplies(standard, Evidence{}, []Posting{{"First", on, ""}}, on.Add(days), histories, on)[0]
		more := Supplies(standard, Evidence{}, []Posting{{"First", on, ""}}, on.Add(days+30), histories, on)[0]
		if more.Chance < one.Chance-1e-9 || more.Expected <= one.Expected && more.CannotSay == "" {
			t.Fatalf("%+v, longer %+v", one, more)
		}
		if _, err := json.Marshal(one); err != nil || one.Low > one.High {
			t.Fatal(one, err)
		}
	})
}
