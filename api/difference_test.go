package api

import (
	"strings"
	"testing"
	"time"

	"isthmus/api/service"
	"isthmus/api/store/storetest"
	"isthmus/competency"
)

// TestStandingDifference: what changed between two days names what came in and why it was out, and whoever may read the standing may read it.
func TestStandingDifference(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	w.signedCase()
	w.clock.advance(48 * time.Hour)
	clear(w.clients) // everybody signs in again
	path := in("/trainees/ines/standing-difference")
	var d service.StandingDifference
	w.as("ines").do("GET", path+"?from=2026-05-01", nil).want(200).into(&d)
	if len(d.Requirements) != 4 || d.Same != 1 || d.Before.On != "2026-05-01" || d.After.On != "2026-06-03" || d.Caution == "" || len(d.Hindsight) != 1 || d.Trainee.ID != "ines" {
		t.Fatalf("got %+v", d)
	}
	first := d.Requirements[0]
	if first.Requirement != "biatrial-cases" || first.Before.Value != 0 || first.After.Value != 1 || len(first.Came) != 1 || first.Came[0].Reason != "signed off after 2026-05-01" || len(first.Went) != 0 {
		t.Errorf("first is %+v", first)
	}
	w.as("ines").do("GET", path+"?from=2026-06-02&to=2026-06-03", nil).want(200).into(&d)
	if len(d.Requirements) != 0 || d.Same != 5 {
		t.Errorf("nothing happened, yet %+v", d)
	}
	w.as("ines").do("GET", path, nil).want(200).into(&d)
	if d.Before.On != "2026-03-04" {
		t.Errorf("without days it begins on %s", d.Before.On)
	}
	for who, want := range map[string]int{"mei": 200, "amara": 200, "kofi": 403, "jonas": 403, "leila": 403} {
		w.as(who).do("GET", path, nil).want(want)
	}
	for query, field := range map[string]string{
		"?from=spring": "query.from", "?to=2026-13-01": "query.to", "?to=2026-06-04": "query.to", "?from=2026-06-03": "query.from", "?from=2026-05-02&to=2026-05-01": "query.from",
	} {
		problem := w.as("ines").do("GET", path+query, nil).want(422).problem()
		if len(problem.Errors) != 1 || problem.Errors[0].Location != field {
			t.Errorf("%s: %+v", query, problem)
		}
	}
}

// TestOutlookOfADay: today knows what waits; a past day does not, and says what it knows only as it is today.
func TestOutlookOfADay(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	w.signedCase()
	record := biatrial()
	record.OperatedOn = "2026-05-30"
	w.submitted(record)
	w.clock.advance(48 * time.Hour)
	clear(w.clients) // everybody signs in again
	var today, past service.TraineeStanding
	w.as("ines").do("GET", in("/trainees/ines/standing"), nil).want(200).into(&today)
	if act := today.Outlook.Act; act == nil || act.Kind != "sign-off" || !strings.Contains(act.Why, "biatrial cases") || len(today.Hindsight) != 0 || today.Outlook.Note == "" {
		t.Errorf("today: %+v", today.Outlook)
	}
	if p := today.Outlook.Projections[0]; p.Requirement != "biatrial-cases" || p.More != 11 || p.CannotSay == "" {
		t.Errorf("today's first projection: %+v", p)
	}
	w.as("ines").do("GET", in("/trainees/ines/standing?on=2026-06-02"), nil).want(200).into(&past)
	if act := past.Outlook.Act; act == nil || act.Kind == "sign-off" || len(past.Hindsight) != 2 || past.Standing.On != "2026-06-02" {
		t.Errorf("on a past day: %+v %q", past.Outlook.Act, past.Hindsight)
	}
	if past.Standing.Requirements[0].State != competency.Short || past.Waiting.Submitted != 1 {
		t.Errorf("on a past day: %+v", past.Standing.Requirements[0])
	}
}
