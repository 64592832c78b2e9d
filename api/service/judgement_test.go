package service

import (
	"errors"
	"testing"
	"time"

	"isthmus/api/store"
	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
	"isthmus/competency"
)

const today = competency.Day("2026-06-01")

func signed(operatedOn string, pattern af.Pattern, scope atrium.Scope, waited time.Duration) competency.SignedCase {
	signedAt := today.Start().Add(-time.Hour)
	return competency.SignedCase{OperatedOn: operatedOn, Pattern: pattern, Scope: scope, SubmittedAt: signedAt.Add(-waited), SignedAt: signedAt}
}

func TestAttention(t *testing.T) {
	lapsed := competency.Standing{Requirements: []competency.RequirementStanding{
		{State: competency.Met, Says: "Twelve cases"}, {State: competency.Lapsed, Says: "3 cases within 180 days."},
	}}
	recent := competency.Evidence{Cases: []competency.SignedCase{signed("2026-05-20", af.Persistent, atrium.ScopeBiatrial, 0)}}
	returned := competency.Evidence{Pending: []competency.PendingCase{{OperatedOn: "2026-05-20", Status: competency.CaseReturned}}}
	for _, c := range []struct {
		name     string
		standing competency.Standing
		evidence competency.Evidence
		since    competency.Day
		concern  Concern
		says     string
	}{
		{"lapsed comes first", lapsed, returned, "2025-01-01", ConcernLapsed, "Lapsed: 3 cases within 180 days."},
		{"stalled", competency.Standing{}, competency.Evidence{Cases: []competency.SignedCase{signed("2026-03-01", af.Persistent, "", 0)}}, "2025-01-01", ConcernStalled, "No case for 92 days."},
		{"never began", competency.Standing{}, competency.Evidence{}, "2026-03-01", ConcernStalled, "No case since joining 92 days ago."},
		{"just joined", competency.Standing{}, competency.Evidence{}, "2026-05-20", "", ""},
		{"a month counts to its end", competency.Standing{}, competency.Evidence{Cases: []competency.SignedCase{signed("2026-04", "", "", 0)}}, "2025-01-01", "", ""},
		{"a withdrawn case is none", competency.Standing{}, competency.Evidence{Pending: []competency.PendingCase{{OperatedOn: "2026-05-20", Status: competency.CaseWithdrawn}}}, "2026-01-01", ConcernStalled, "No case since joining 151 days ago."},
		{"returned", competency.Standing{}, returned, "2025-01-01", ConcernReturned, "1 returned case waits for the trainee."},
		{"ready", competency.Standing{Ready: true}, recent, "2025-01-01", ConcernReady, "Ready for committee review."},
		{"nothing", competency.Standing{}, recent, "2025-01-01", "", ""},
	} {
		work := cohortWork{since: c.since, now: c.evidence}
		if _, concern, says := work.attention(c.standing, nil, today, today.Add(-90)); concern != c.concern || says != c.says {
			t.Errorf("%s: %q %q, want %q %q", c.name, concern, says, c.concern, c.says)
		}
	}
	fell := []CohortLine{{Requirement: "help-given", State: competency.Short, Was: competency.Met}}
	if _, concern, says := (cohortWork{since: "2026-05-20"}).attention(competency.Standing{}, fell, today, today.Add(-90)); concern != ConcernSlipping || says != "Slipping: help given was met on "+string(today.Add(-90))+" and is short now." {
		t.Errorf("slipping: %q %q", concern, says)
	}
	short := competency.Standing{Requirements: []competency.RequirementStanding{{State: competency.Short}, {State: competency.Met}}}
	ends := cohortWork{since: "2026-05-20", until: today.Add(179)}
	if _, concern, says := ends.attention(short, nil, today, today.Add(-90)); concern != ConcernLate || says != "Training ends on "+string(ends.until)+"; 1 requirement is not met." {
		t.Errorf("late: %q %q", concern, says)
	}
	ends.until = today.Add(180)
	if _, concern, _ := ends.attention(short, nil, today, today.Add(-90)); concern != "" {
		t.Errorf("an end that is far off: %q", concern)
	}
}

func TestHeadline(t *testing.T) {
	const day = 24 * time.Hour
	withdrawn := signed("2026-05-01", af.Persistent, atrium.ScopeBox, day)
	withdrawn.Withdrawn = true
	later := signed("2026-05-01", af.Persistent, atrium.ScopeBox, day)
	later.SignedAt = today.Start().AddDate(0, 0, 2)
	all := map[competency.PersonID]competency.Evidence{
		"a": {
			Cases: []competency.SignedCase{
				signed("2026-05-01", af.Persistent, atrium.ScopeLeftAtrial, day), signed("2026-05-02", af.LongStandingPersistent, atrium.ScopeBiatrial, 2*day),
				signed("2026-05-03", af.Paroxysmal, atrium.ScopeBox, 9*day), withdrawn, later,
			},
			Pending: []competency.PendingCase{{OperatedOn: "2026-05-01", Status: competency.CaseSubmitted}, {OperatedOn: "2026-05-31", Status: competency.CaseSubmitted}, {OperatedOn: "2026-01-01", Status: competency.CaseDraft}},
		},
		"b": {Cases: []competency.SignedCase{signed("2026-05-04", af.Persistent, atrium.ScopePulmonaryVeinIsolation, 4*day), signed("2026-05-05", af.Persistent, atrium.ScopeBiatrial, 3*day)}},
	}
	got := headline(all, today, competency.Defaults())
	// Wilson, 2 of 4 at 95 %, by hand: 0.5 -+ 1.95996 sqrt(0.25/4 + 1.95996^2/64) / (1 + 1.95996^2/4) = 0.1500 and 0.8500.
	want := Headline{
		ScopeLeftOut: ScopeLeftOut{Count: 2, N: 4, Share: 0.5, Low: 0.15, High: 0.85, Level: 0.95,
			Says: "Right atrial lines were left out in 2 of 4 signed-off operations for non-paroxysmal AF (50 %, 95 % interval 15 to 85 %)."},
		SignOffWait: SignOffWait{MedianDays: 3, N: 5, Waiting: 2, Late: 1},
	}
	if got != want {
		t.Errorf("headline = %+v, want %+v", got, want)
	}
	if empty := headline(nil, today, competency.Defaults()); empty.ScopeLeftOut.N != 0 || empty.ScopeLeftOut.Share != 0 || empty.ScopeLeftOut.Says == "" || empty.SignOffWait.MedianDays != 0 {
		t.Errorf("headline of nothing = %+v", empty)
	}
}

// TestStandardAt: a trainee is judged by the standard in force when joining, or the first one there was.
func TestStandardAt(t *testing.T) {
	line := timeline{standards: []datedStandard{
		{"2026-01-01", competency.Standard{Version: 1}}, {"2026-03-01", competency.Standard{Version: 2}}, {"2026-03-01", competency.Standard{Version: 3}},
	}}
	for day, want := range map[competency.Day]int{"2025-06-01": 1, "2026-01-01": 1, "2026-02-28": 1, "2026-03-01": 3, "2027-01-01": 3} {
		if got, err := line.at(day); err != nil || got.Version != want {
			t.Errorf("at(%s) = version %d, %v, want %d", day, got.Version, err, want)
		}
	}
	if _, err := (timeline{}).at(today); err != ErrNoStandard {
		t.Errorf("no standards: %v", err)
	}
}

// TestJudging: the latest move on or before the day decides, of several on one day the last made; nobody else is moved with them.
func TestJudging(t *testing.T) {
	line := timeline{
		standards: []datedStandard{{"2026-01-01", competency.Standard{Version: 1}}, {"2026-03-01", competency.Standard{Version: 2, Title: "Second", Example: true}}},
		moves: map[competency.PersonID][]store.StandardMove{"ines": {
			{Trainee: "ines", Number: 1, Version: 2, From: "2026-04-01", Reason: "Asked for it.", MovedBy: "amara"},
			{Trainee: "ines", Number: 2, Version: 1, From: "2026-05-01"}, {Trainee: "ines", Number: 3, Version: 2, From: "2026-05-01"},
		}},
	}
	for _, c := range []struct {
		trainee competency.PersonID
		joined  competency.Day
		day     competency.Day
		version int
		because string
		since   competency.Day
	}{
		{"ines", "2026-02-01", "2026-03-31", 1, becauseJoined, "2026-02-01"}, {"ines", "2026-02-01", "2026-04-01", 2, becauseMoved, "2026-04-01"},
		{"ines", "2026-02-01", "2026-04-30", 2, becauseMoved, "2026-04-01"}, {"ines", "2026-02-01", "2026-06-01", 2, becauseMoved, "2026-05-01"},
		{"kofi", "2026-02-01", "2026-06-01", 1, becauseJoined, "2026-02-01"}, {"kofi", "2026-03-01", "2026-06-01", 2, becauseJoined, "2026-03-01"},
	} {
		standard, applied, err := line.judging(c.trainee, c.joined, c.day)
		if err != nil || standard.Version != c.version || applied.Version != c.version || applied.Because != c.because || applied.Since != c.since || (applied.Move != nil) != (c.because == becauseMoved) {
			t.Errorf("%s on %s: %+v, %v, want %+v", c.trainee, c.day, applied, err, c)
		}
	}
	if _, applied, _ := line.judging("ines", "2026-02-01", "2026-04-02"); applied.Move.Reason != "Asked for it." || applied.Move.MovedBy != "amara" || applied.Title != "Second" || !applied.Example {
		t.Errorf("the move says %+v", applied)
	}
	if _, _, err := (timeline{}).judging("ines", "2026-02-01", today); err != ErrNoStandard {
		t.Errorf("no standards: %v", err)
	}
	line.moves["kofi"] = []store.StandardMove{{Version: 9, From: "2026-01-01"}}
	if _, _, err := line.judging("kofi", "2026-02-01", today); err == nil {
		t.Error("a move to nothing is taken")
	}
}

func TestPageOf(t *testing.T) {
	letters := []string{"a", "b", "c", "d", "e"}
	var got []string
	after := ""
	for range letters {
		shown, next, err := pageOf(letters, store.Page{Limit: 2, After: after}, func(s string) string { return s })
		if err != nil {
			t.Fatal(err)
		}
		got = append(got, shown...)
		if after = next; next == "" {
			break
		}
	}
	if len(got) != len(letters) {
		t.Errorf("pages gave %v", got)
	}
	if _, _, err := pageOf(letters, store.Page{After: "z"}, func(s string) string { return s }); !errors.Is(err, store.ErrCursor) {
		t.Errorf("an unknown cursor: %v", err)
	}
}

func TestMedian(t *testing.T) {
	for _, c := range []struct {
		values []float64
		want   float64
	}{{nil, 0}, {[]float64{3}, 3}, {[]float64{4, 1}, 2.5}, {[]float64{9, 1, 2}, 2}} {
		if got := median(c.values); got != c.want {
			t.Errorf("median(%v) = %g, want %g", c.values, got, c.want)
		}
	}
}
