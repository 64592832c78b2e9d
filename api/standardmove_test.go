package api

import (
	"strings"
	"testing"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/competency"
)

// secondStandard is a version that asks for one case only.
const secondStandard = "id: own\ntitle: Our own\nversion: 2\nrequirements:\n  - {id: one, kind: count, at_least: 1}\n"

// TestMoveTrainee: the director moves a trainee to another version on record; it judges from its day on, in the standing, the cohort, the
// curves and a meeting, and another move brings them back.
func TestMoveTrainee(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		w.as("amara").do("POST", in("/standards"), map[string]string{"yaml": secondStandard, "in_force_from": "2026-06-01"}).want(201)
		moves := in("/trainees/ines/standard-moves")
		body := map[string]any{"version": 2, "reason": "Asked to be judged by it."}
		for _, name := range []string{"ines", "kofi", "mei", "ruth", "yuki", "jonas", "oskar"} {
			w.as(name).do("POST", moves, body).want(403)
		}
		if before := standingOf(w.as("ines"), "ines"); before.Applied.Version != 1 || before.Applied.Because != "joined" || before.Applied.Since != joined || !before.Applied.Example {
			t.Errorf("before: %+v", before.Applied)
		}
		w.as("amara").do("POST", moves, body).want(201)
		after := standingOf(w.as("ines"), "ines")
		if a := after.Applied; a.Version != 2 || a.Because != "moved" || a.Since != "2026-06-01" || a.Move.Reason != body["reason"] || a.Move.MovedByName != "Amara" || after.Standing.StandardVersion != 2 {
			t.Errorf("after: %+v", a)
		}
		if past := w.standingOn("ines", "2026-05-31"); past.Standing.StandardVersion != 1 {
			t.Errorf("the day before is judged by version %d", past.Standing.StandardVersion)
		}
		if other := standingOf(w.as("kofi"), "kofi"); other.Standing.StandardVersion != 1 {
			t.Error("another trainee is moved too")
		}
		var cohort service.Cohort
		w.as("amara").do("GET", in("/cohort"), nil).want(200).into(&cohort)
		for _, row := range cohort.Trainees {
			if want := map[competency.PersonID]int{"ines": 2}[row.ID]; want > 0 && row.StandardVersion != want {
				t.Errorf("the cohort judges %s by version %d", row.ID, row.StandardVersion)
			}
		}
		var curves service.TraineeCurves
		w.as("ines").do("GET", in("/trainees/ines/curves"), nil).want(200).into(&curves)
		if curves.StandardVersion != 2 {
			t.Errorf("curves by version %d", curves.StandardVersion)
		}
		var meeting service.MeetingView
		w.as("amara").do("GET", w.called(), nil).want(200).into(&meeting)
		if got := meeting.Turns[0].Standing.StandardVersion; got != 2 {
			t.Errorf("the meeting judges by version %d", got)
		}
		w.as("amara").do("POST", moves, map[string]any{"version": 1, "from": "2026-06-10", "reason": "Moved by mistake."}).want(201)
		var list service.List[service.StandardMoveView]
		w.as("ines").do("GET", moves, nil).want(200).into(&list)
		if len(list.Items) != 2 || list.Items[0].Version != 1 || list.Items[1].MovedByName != "Amara" || list.Items[1].Title != "Our own" {
			t.Errorf("moves %+v", list.Items)
		}
		w.as("kofi").do("GET", moves, nil).want(403)
		w.as("amara").do("GET", in("/trainees/mei/standard-moves"), nil).want(404)
	})
}

// standingOn is a trainee's standing on a day.
func (w *world) standingOn(trainee, day string) service.TraineeStanding {
	w.Helper()
	var standing service.TraineeStanding
	w.as(trainee).do("GET", in("/trainees/"+trainee+"/standing?on="+day), nil).want(200).into(&standing)
	return standing
}

// TestMoveRefused: nothing moves into the past, nowhere, without a reason, or with a patient's name in it.
func TestMoveRefused(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	w.as("amara").do("POST", in("/standards"), map[string]string{"yaml": secondStandard, "in_force_from": "2026-07-01"}).want(201)
	before := w.state()
	for _, c := range []struct {
		name, body, field string
		status            int
	}{
		{"to the same", `{"version":1,"reason":"Asked for it."}`, "body.version", 422},
		{"to nowhere", `{"version":7,"reason":"Asked for it."}`, "body.version", 422},
		{"before it is in force", `{"version":2,"from":"2026-06-30","reason":"Asked for it."}`, "body.version", 422},
		{"into the past", `{"version":2,"from":"2026-05-31","reason":"Asked for it."}`, "body.from", 422},
		{"no day", `{"version":2,"from":"2026-02-30","reason":"Asked for it."}`, "body.from", 422},
		{"a patient in the reason", `{"version":2,"from":"2026-07-01","reason":"After the patient in MRN 4432187."}`, "body.reason", 422},
		{"no reason", `{"version":2,"from":"2026-07-01","reason":" "}`, "", 422},
	} {
		got := w.as("amara").do("POST", in("/trainees/ines/standard-moves"), c.body)
		if got.status != c.status || c.field != "" && !strings.Contains(string(got.body), `"`+c.field+`"`) {
			t.Errorf("%s: %d %s", c.name, got.status, got.body)
		}
	}
	w.as("amara").do("POST", in("/trainees/mei/standard-moves"), `{"version":2,"from":"2026-07-01","reason":"Asked for it."}`).want(404)
	w.unchanged(before, "refused moves")
}
