package api

import (
	"testing"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/competency"
)

// TestAgreement: two accounts of one case are counted step by step; a withdrawn case is not; who may not see the standing sees neither.
func TestAgreement(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		path, tag := w.submitted(biatrial())
		seen := statement(biatrial())
		seen.Steps[0].PerformedBy = competency.BySupervisor
		signed := w.as("mei").do("POST", path+"/sign-off", seen, "If-Match", tag).want(200)
		var view service.TraineeAgreement
		w.as("amara").do("GET", in("/trainees/ines/agreement"), nil).want(200).into(&view)
		n := len(seen.Steps)
		if view.Cases != 1 || view.Steps.N != n || view.Steps.Hits != n-1 || view.ClaimedMore.Hits != 1 || view.Steps.Low == nil || len(view.Steps.CaseList) != 1 ||
			view.Roles.N != 1 || view.Roles.Hits != 0 || len(view.Periods) != 1 || view.Trainee.Name != "Ines" || view.Caution == "" {
			t.Errorf("agreement %+v", view)
		}
		w.as("ines").do("GET", in("/trainees/ines/agreement"), nil).want(200)
		for _, who := range []string{"kofi", "leila", "jonas"} {
			w.as(who).do("GET", in("/trainees/ines/agreement"), nil).want(403)
		}
		if len(view.Differing) != 1 || len(view.Differing[0].Steps) != 1 || view.Differing[0].Steps[0].Supervisor != competency.BySupervisor || view.Differing[0].Trainee != "ines" {
			t.Errorf("what differs: %+v", view.Differing)
		}
		var all service.ProgrammeAgreement
		w.as("amara").do("GET", in("/agreement"), nil).want(200).into(&all)
		if all.Cases != 1 || len(all.Differing) != 1 || len(all.Trainees) < 2 || all.Trainees[0].Trainee.Name > all.Trainees[1].Trainee.Name || all.Caution == "" {
			t.Errorf("agreement of the programme %+v", all)
		}
		for _, row := range all.Trainees {
			if want := map[bool]int{true: 1}[row.Trainee.ID == "ines"]; row.Cases != want || row.Steps.CaseList != nil {
				t.Errorf("row %+v", row)
			}
		}
		w.as("ines").do("GET", in("/agreement"), nil).want(403)
		w.as("amara").do("POST", path+"/withdrawal", map[string]string{"reason": "Logged twice."}, "If-Match", signed.etag()).want(200)
		w.as("amara").do("GET", in("/trainees/ines/agreement"), nil).want(200).into(&view)
		if view.Cases != 0 || view.Steps.N != 0 {
			t.Errorf("a withdrawn case counts: %+v", view)
		}
	})
}

// TestEventsCorrected: a supervisor who does not agree with the events lists those known; the list stands in the signed statement.
func TestEventsCorrected(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		path, tag := w.submitted(biatrial())
		seen := statement(biatrial())
		seen.ComplicationsAgreed = false
		w.as("mei").do("POST", path+"/sign-off", seen, "If-Match", tag).want(422)
		seen.Events = []string{"hiccup"}
		w.as("mei").do("POST", path+"/sign-off", seen, "If-Match", tag).want(422)
		seen.Events = []string{"pacemaker"}
		var detail service.CaseDetail
		w.as("mei").do("POST", path+"/sign-off", seen, "If-Match", tag).want(200).into(&detail)
		if got := detail.SignOffs[0].Statement; got.ComplicationsAgreed || len(got.Events) != 1 || got.Events[0] != "pacemaker" {
			t.Errorf("stated %+v", got)
		}
		var view service.TraineeAgreement
		w.as("amara").do("GET", in("/trainees/ines/agreement"), nil).want(200).into(&view)
		if view.Events.N != 1 || view.Events.Hits != 0 || len(view.Differing) != 1 || view.Differing[0].EventsAgreed {
			t.Errorf("agreement %+v", view)
		}
	})
}
