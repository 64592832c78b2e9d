package outcome_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
	"isthmus/competency"
	"isthmus/competency/outcome"
)

// A month in days, as the package counts them.
const month = 365.25 / 12

func at(day string) time.Time {
	t, err := time.Parse(time.DateOnly, day)
	if err != nil {
		panic(err)
	}
	return t
}

// signed is a case of 10 January 2025, handed in ten days later and signed the day after.
func signed(id competency.CaseID, change func(*outcome.Signed)) outcome.Signed {
	s := outcome.Signed{
		Case: id, Version: 1, Trainee: "ines", Supervisor: "mei", Site: "Hill", OperatedOn: "2025-01-10", Operation: "mitral", Pattern: af.Persistent,
		Scope: atrium.ScopeBiatrial, SubmittedAt: at("2025-01-20"), SignedAt: at("2025-01-21"),
	}
	if change != nil {
		change(&s)
	}
	return s
}

// visit is a follow-up of a month, free and off drugs, recorded on 1 June 2026.
func visit(id competency.CaseID, month int, change func(*competency.FollowUp)) outcome.Recorded {
	f := competency.FollowUp{
		Month: month, Rhythm: "sinus", Monitoring: "ambulatory", MonitoringHours: 24, Arrhythmia: "none", Antiarrhythmic: "none", Repeat: []string{}, Stroke: "none",
	}
	if change != nil {
		change(&f)
	}
	return outcome.Recorded{ID: competency.FollowUpID(fmt.Sprintf("%s-%d", id, month)), Case: id, Version: 1, Content: f, At: at("2026-06-01")}
}

func arrhythmia(f *competency.FollowUp) { f.Arrhythmia = "over-30-s" }
func onDrug(f *competency.FollowUp)     { f.Antiarrhythmic = "class-iii" }
func unread(f *competency.FollowUp)     { f.Monitoring, f.MonitoringHours = "single-ecg", 0 }
func died(f *competency.FollowUp) {
	f.Died, f.Rhythm, f.Arrhythmia, f.MonitoringHours = true, "not-known", "not-known", 0
}
func ablated(f *competency.FollowUp) { f.Repeat = []string{"catheter-ablation"} }
func pacedEarly(f *competency.FollowUp) {
	f.Pacemaker = &competency.Pacemaker{Band: "before-discharge", Reason: "av-block"}
}
func pacedLate(f *competency.FollowUp) {
	f.Pacemaker = &competency.Pacemaker{Band: "later", Reason: "av-block"}
}

// TestFates: each rule of dating, one case each.
func TestFates(t *testing.T) {
	blanked, early := 90/month, 10/month
	for name, c := range map[string]struct {
		events    []string
		visits    []outcome.Recorded
		freedom   outcome.Fate
		pacemaker outcome.Fate
	}{
		"nothing on record":             {nil, nil, outcome.Fate{}, outcome.Fate{Known: true, Month: early}},
		"free twice":                    {nil, []outcome.Recorded{visit("a", 12, nil), visit("a", 3, nil)}, outcome.Fate{Known: true, Month: 12}, outcome.Fate{Known: true, Month: 12}},
		"within blanking":               {nil, []outcome.Recorded{visit("a", 2, arrhythmia)}, outcome.Fate{}, outcome.Fate{Known: true, Month: 2}},
		"first seen at the first":       {nil, []outcome.Recorded{visit("a", 3, arrhythmia)}, outcome.Fate{Known: true, Event: "arrhythmia", Month: 3, From: blanked}, outcome.Fate{Known: true, Month: 3}},
		"first seen at the second":      {nil, []outcome.Recorded{visit("a", 3, nil), visit("a", 6, arrhythmia), visit("a", 12, nil)}, outcome.Fate{Known: true, Event: "arrhythmia", Month: 6, From: 3}, outcome.Fate{Known: true, Month: 12}},
		"on a drug":                     {nil, []outcome.Recorded{visit("a", 3, nil), visit("a", 6, onDrug)}, outcome.Fate{Known: true, Event: "on-drug", Month: 6, From: 3}, outcome.Fate{Known: true, Month: 6}},
		"silence is not freedom":        {nil, []outcome.Recorded{visit("a", 3, nil), visit("a", 6, unread)}, outcome.Fate{Known: true, Month: 3}, outcome.Fate{Known: true, Month: 6}},
		"silence before is looked over": {nil, []outcome.Recorded{visit("a", 3, unread), visit("a", 6, arrhythmia)}, outcome.Fate{Known: true, Event: "arrhythmia", Month: 6, From: blanked}, outcome.Fate{Known: true, Month: 6}},
		"a repeat ablation":             {nil, []outcome.Recorded{visit("a", 2, ablated)}, outcome.Fate{Known: true, Event: "repeat-procedure", Month: 2}, outcome.Fate{Known: true, Month: 2}},
		"death ends it":                 {nil, []outcome.Recorded{visit("a", 3, nil), visit("a", 6, died)}, outcome.Fate{Known: true, Month: 3}, outcome.Fate{Known: true, Event: "death", Month: 6, From: 3}},
		"a pacemaker in the case":       {[]string{"pacemaker"}, []outcome.Recorded{visit("a", 3, nil)}, outcome.Fate{Known: true, Month: 3}, outcome.Fate{Known: true, Event: "pacemaker", Month: early}},
		"death in the case":             {[]string{"death"}, nil, outcome.Fate{}, outcome.Fate{Known: true, Event: "death", Month: early}},
		"a pacemaker told later":        {nil, []outcome.Recorded{visit("a", 3, pacedEarly)}, outcome.Fate{Known: true, Month: 3}, outcome.Fate{Known: true, Event: "pacemaker", Month: 30 / month, From: early}},
		"a late pacemaker":              {nil, []outcome.Recorded{visit("a", 3, nil), visit("a", 24, pacedLate)}, outcome.Fate{Known: true, Month: 24}, outcome.Fate{Known: true, Event: "pacemaker", Month: 24, From: 3}},
	} {
		t.Run(name, func(t *testing.T) {
			courses := outcome.Follow([]outcome.Signed{signed("a", func(s *outcome.Signed) { s.Events = c.events })}, c.visits, competency.DefaultFollowUpRule(), "2026-11-01")
			if len(courses) != 1 {
				t.Fatalf("%d courses", len(courses))
			}
			if diff := cmp.Diff([]outcome.Fate{c.freedom, c.pacemaker}, []outcome.Fate{courses[0].Freedom, courses[0].Pacemaker}); diff != "" {
				t.Error(diff)
			}
		})
	}
}

// TestFollow: what was known on a day, one operation of two trainees once, nothing withdrawn.
func TestFollow(t *testing.T) {
	amended := visit("a", 3, arrhythmia)
	amended.Version, amended.At = 2, at("2026-07-01")
	cases := []outcome.Signed{
		signed("a", func(s *outcome.Signed) { s.Group = "g" }), signed("b", func(s *outcome.Signed) { s.Group, s.Trainee = "g", "kofi" }),
		signed("c", func(s *outcome.Signed) { s.Withdrawn = true }), signed("d", nil), signed("d", func(s *outcome.Signed) { s.Version, s.Site, s.SignedAt = 2, "Quay", at("2026-07-01") }),
	}
	visits := []outcome.Recorded{visit("a", 3, nil), visit("b", 6, nil), amended}
	rule := competency.DefaultFollowUpRule()
	june, july := outcome.Follow(cases, visits, rule, "2026-06-30"), outcome.Follow(cases, visits, rule, "2026-07-01")
	if len(june) != 2 || june[0].Case != "a" || june[0].Also[0] != "b" || june[0].Freedom != (outcome.Fate{Known: true, Month: 6}) || june[1].Site != "Hill" {
		t.Errorf("in June %+v", june)
	}
	if len(july) != 2 || july[0].Freedom.Event != "arrhythmia" || july[0].Freedom.Month != 3 || july[1].Site != "Quay" {
		t.Errorf("in July %+v", july)
	}
	if none := outcome.Follow(cases, visits, rule, "2025-01-20"); len(none) != 0 {
		t.Errorf("before anything was signed %+v", none)
	}
	if got := (outcome.Choice{Site: "Quay", Year: 2025, Pattern: af.Persistent}).Of(july); len(got) != 1 || got[0].Case != "d" {
		t.Errorf("chosen %+v", got)
	}
}

// many is a programme of made-up operations drawn by rapid.
func many(t *rapid.T) ([]outcome.Signed, []outcome.Recorded) {
	var cases []outcome.Signed
	var visits []outcome.Recorded
	changes := []func(*competency.FollowUp){nil, nil, nil, arrhythmia, onDrug, unread, died, pacedLate}
	for i := range rapid.IntRange(0, 60).Draw(t, "cases") {
		id := competency.CaseID(fmt.Sprintf("c%02d", i))
		cases = append(cases, signed(id, func(s *outcome.Signed) {
			s.Scope = rapid.SampledFrom([]atrium.Scope{atrium.ScopeBox, atrium.ScopeLeftAtrial, atrium.ScopeBiatrial}).Draw(t, "scope")
			s.Pattern = rapid.SampledFrom([]af.Pattern{af.Paroxysmal, af.Persistent}).Draw(t, "pattern")
			s.Site = rapid.SampledFrom([]string{"Hill", "Quay", "Moor"}).Draw(t, "site")
		}))
		for _, m := range []int{3, 6, 12} {
			if rapid.IntRange(0, 5).Draw(t, "seen") > 0 {
				visits = append(visits, visit(id, m, rapid.SampledFrom(changes).Draw(t, "found")))
			}
		}
	}
	return cases, visits
}

// TestHiding: nothing that leaves the programme names a case, or tells a count below the limit, of a row or of what is left of it, or leaves
// one hidden row to be worked out; and no order of the input changes a figure.
func TestHiding(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cases, visits := many(t)
		rule, limit, on := competency.DefaultFollowUpRule(), rapid.IntRange(1, 8).Draw(t, "limit"), competency.Day("2026-11-01")
		courses := outcome.Follow(cases, visits, rule, on)
		f, p := outcome.FreedomBy(courses, outcome.ByScope, 12), outcome.PacemakersBy(courses, outcome.ByScope, 12)
		u, r := outcome.UnitsBy(courses, outcome.BySite, rule, 12, on, strings.ToUpper), outcome.RunningOf(courses, rule, 12, on)
		full := outcome.CompletenessOf(courses, rule, on)
		f.Hide(limit, 12)
		p.Hide(limit)
		u.Hide(limit)
		r.Hide(limit)
		outcome.HideCompleteness(full, limit)
		data, err := json.Marshal([]any{f, p, u, r, full})
		if err != nil || strings.Contains(string(data), `"c0`) || strings.Contains(string(data), `"c1`) {
			t.Fatalf("%v names a case: %s", err, data)
		}
		ok := func(what string, counts ...int) {
			for _, n := range counts {
				if n > 0 && n < limit {
					t.Fatalf("%s tells %v under %d: %s", what, counts, limit, data)
				}
			}
		}
		hidden := 0
		for _, g := range f.Groups {
			ok("freedom", g.N, g.Events, g.N-g.Events, g.OnDrug, g.Unknown)
			if g.Hidden {
				hidden++
			}
			before := g.N
			for _, n := range g.AtRisk(24) {
				ok("at risk", n, before-n)
				before = n
			}
			if g.At != nil {
				ok("at the month", g.At.AtRisk, g.N-g.At.AtRisk)
			}
		}
		if hidden == 1 && len(f.Groups) > 1 {
			t.Fatalf("one hidden row can be worked out: %s", data)
		}
		for _, g := range p.Groups {
			ok("pacemakers", g.N, g.Events, g.N-g.Events, g.Deaths)
		}
		shown := [2]int{}
		for _, row := range u.Rows {
			ok("units", row.N, row.Free, row.N-row.Free, row.Due)
			shown[0], shown[1] = shown[0]+row.N, shown[1]+row.N-row.Free
		}
		if len(u.Rows) > 0 && r.N > 0 {
			ok("all less the units shown", r.N-shown[0], r.Observed-shown[1])
		}
		for _, row := range full {
			ok("completeness", row.Due, row.Done, row.Due-row.Done)
		}
		ok("running", r.N, r.Observed)
	})
}

// TestRefusals: too few cases for a curve, too few events for a comparison, too few known for a funnel; each with its reason.
func TestRefusals(t *testing.T) {
	rule, on := competency.DefaultFollowUpRule(), competency.Day("2026-11-01")
	programme := func(n, failing int) []outcome.Course {
		var cases []outcome.Signed
		var visits []outcome.Recorded
		for i := range n {
			id := competency.CaseID(fmt.Sprintf("c%02d", i))
			cases = append(cases, signed(id, func(s *outcome.Signed) {
				if i%2 == 0 {
					s.Scope, s.Site = atrium.ScopeBox, "Quay"
				}
			}))
			found := (func(*competency.FollowUp))(nil)
			if i < failing {
				found = arrhythmia
			}
			visits = append(visits, visit(id, 12, found))
		}
		return outcome.Follow(cases, visits, rule, on)
	}
	for _, c := range []struct {
		n, failing                 int
		curve, comparison, compare string
	}{
		{8, 4, "4 cases followed: 10 are needed", "fewer than two groups", "known of 8 operations"},
		{20, 4, "", "4 events in these groups, 5 are needed", "16 free and 4 not"},
		{20, 8, "", "", ""},
	} {
		courses := programme(c.n, c.failing)
		f, u := outcome.FreedomBy(courses, outcome.ByScope, 12), outcome.UnitsBy(courses, outcome.BySite, rule, 12, on, strings.ToUpper)
		for _, pair := range [][2]string{{f.Groups[0].Refused, c.curve}, {f.Refused, c.comparison}, {u.Refused, c.compare}} {
			if !strings.Contains(pair[0], pair[1]) || (pair[1] == "") != (pair[0] == "") {
				t.Errorf("%d cases, %d failing: %q, want %q", c.n, c.failing, pair[0], pair[1])
			}
		}
		if (f.Test == nil) != (c.comparison != "") {
			t.Errorf("%d cases, %d failing: test %+v", c.n, c.failing, f.Test)
		}
	}
}

// TestSmallUnits: four of four is no outlier where half are free, whatever the interpolated limit says: 1 in 16 get there by chance.
func TestSmallUnits(t *testing.T) {
	rule, on := competency.DefaultFollowUpRule(), competency.Day("2026-11-01")
	var cases []outcome.Signed
	var visits []outcome.Recorded
	for i := range 40 {
		id := competency.CaseID(fmt.Sprintf("c%02d", i))
		site, found := "Quay", (func(*competency.FollowUp))(nil)
		switch {
		case i < 4:
			site = "Hill"
		case i < 24:
			found = arrhythmia
		}
		if i >= 30 {
			site = "Moor" // ten of ten
		}
		cases = append(cases, signed(id, func(s *outcome.Signed) { s.Site = site }))
		visits = append(visits, visit(id, 12, found))
	}
	u := outcome.UnitsBy(outcome.Follow(cases, visits, rule, on), outcome.BySite, rule, 12, on, strings.ToUpper)
	places := map[string]string{}
	for _, row := range u.Rows {
		places[row.ID] = row.Place
	}
	// exact binomial, target 1/2: 4 of 4 has 0.0625; 10 of 10 has 0.00098; 6 of 26 or fewer 0.0047
	if diff := cmp.Diff(map[string]string{"Hill": "", "Moor": "outside the 99.8 % limits", "Quay": "outside the 95 % limits"}, places); diff != "" {
		t.Error(diff)
	}
	if limit, err := u.Limit(4, 0.999); err != nil || limit != 1 {
		t.Errorf("limit %g, %v", limit, err)
	}
}
