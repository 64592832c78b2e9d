package api

import (
	"strings"
	"testing"
	"time"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/assessment"
	"isthmus/assessment/pack"
)

// sit starts a test of a person's.
func (w *world) sit(who string, scenario assessment.ScenarioID) (service.SittingView, *reply) {
	w.Helper()
	var view service.SittingView
	got := w.as(who).do("POST", in("/sittings"), map[string]any{"scenario": scenario}).want(201).into(&view)
	return view, got
}

// answering is the expert's plan for the timed scenario, as a submission of a test or for practice.
func answering(sitting service.SittingID) map[string]any {
	return map[string]any{"scenario": timedID(), "plan": pack.Scenarios()[1].Expert[0].Plan, "sitting": sitting}
}

// TestSittingStory: a test from its start to its grade, gone on with on another device.
func TestSittingStory(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		w.as("ines").do("POST", in("/plans"), answering("")).want(201)
		start := w.clock.Now()
		view, made := w.sit("ines", timedID())
		if view.Status != assessment.SittingOpen || !view.EndsAt.Equal(start.Add(20*time.Minute)) || view.Attempt != 2 || view.PractisedBefore != 1 ||
			view.Plan == nil || view.Scenario.Scenario.Vignette == "" || len(view.Scenario.Scenario.Expert) > 0 || len(view.Scenario.Scenario.Flawed) > 0 || view.Caution == "" {
			t.Errorf("started %+v", view)
		}
		path, tag := made.header.Get("Location"), made.etag()
		var empty struct{ Plan map[string]any }
		made.into(&empty)
		if _, list := empty.Plan["lesions"].([]any); !list {
			t.Errorf("a new plan without a list of lesions: %v", empty.Plan)
		}
		w.as("ines").do("PUT", path+"/plan", map[string]any{"plan": empty.Plan}, "If-Match", tag).want(200) // sent back as it came
		tag = w.as("ines").do("GET", path, nil).want(200).etag()
		w.clock.advance(time.Minute)
		draft := `{"plan":{"lesions":[{"lesion":"roof-line"}],"note":"Roof first."}}` // no decision yet
		w.as("ines").do("PUT", path+"/plan", draft).want(428)
		saved := w.as("ines").do("PUT", path+"/plan", draft, "If-Match", tag).want(200)
		if again := w.as("ines").do("PUT", path+"/plan", draft, "If-Match", tag).want(200); again.etag() != saved.etag() {
			t.Errorf("the same save again: %s, want %s", again.etag(), saved.etag())
		}
		w.as("ines").do("PUT", path+"/plan", `{"plan":{"note":"From the other device."}}`, "If-Match", tag).want(412)
		other := &client{w: w, cookies: map[string]string{}, token: w.tokenOf("ines")}
		var list service.List[service.SittingSummary]
		other.do("GET", in("/sittings?status=open"), nil).want(200).into(&list)
		if len(list.Items) != 1 || list.Items[0].ID != view.ID || !list.Items[0].ServerTime.Equal(w.clock.Now()) {
			t.Fatalf("open tests on another device: %+v", list.Items)
		}
		resumed := other.do("GET", in("/sittings/"+string(list.Items[0].ID)), nil).want(200).into(&view)
		if resumed.etag() != saved.etag() || view.Plan.Note != "Roof first." || len(view.Plan.Lesions) != 1 || !view.SavedAt.Equal(w.clock.Now()) {
			t.Errorf("resumed %+v", view)
		}
		if p := w.as("ines").do("POST", in("/plans"), map[string]any{"scenario": timedID(), "sitting": view.ID, "plan": view.Plan}).want(422).problem(); p.Errors[0].Location != "body.plan.ablate" {
			t.Errorf("an unfinished plan: %+v", p.Errors)
		}
		w.as("ines").do("POST", in("/plans"), map[string]any{"scenario": scenarioID(), "sitting": view.ID, "plan": pack.Scenarios()[1].Expert[0].Plan}).want(422)
		var plan service.Plan
		key := []string{"Idempotency-Key", "the answer"}
		first := w.as("ines").do("POST", in("/plans"), answering(view.ID), key...).want(201).into(&plan)
		if plan.Mode != service.Test || plan.Sitting != view.ID || plan.Attempt != 2 || plan.PractisedBefore != 1 || plan.Grade.Letter == "" || plan.Grade.Policy == "" {
			t.Errorf("graded %+v", plan)
		}
		if again := w.as("ines").do("POST", in("/plans"), answering(view.ID), key...).want(201); string(again.body) != string(first.body) {
			t.Errorf("the resend gave another thing:\n%s\n%s", first.body, again.body)
		}
		if p := w.as("ines").do("POST", in("/plans"), answering(view.ID)).want(409).problem(); p.Type != "/problems/test-over" {
			t.Errorf("a second submission: %s", p.Type)
		}
		if p := w.as("ines").do("PUT", path+"/plan", draft, "If-Match", saved.etag()).want(409).problem(); p.Type != "/problems/test-over" {
			t.Errorf("a save after submission: %s", p.Type)
		}
		if p := w.as("ines").do("POST", in("/sittings"), map[string]any{"scenario": timedID()}).want(409).problem(); p.Type != "/problems/test-taken" {
			t.Errorf("a second test: %s", p.Type)
		}
		w.as("ines").do("GET", path, nil).want(200).into(&view)
		if view.Status != assessment.SittingSubmitted || view.PlanID != plan.ID || !view.ClosedAt.Equal(plan.SubmittedAt) {
			t.Errorf("submitted %+v", view)
		}
		var plans service.List[service.PlanSummary]
		w.as("amara").do("GET", in("/plans?trainee=ines"), nil).want(200).into(&plans)
		if len(plans.Items) != 2 || plans.Items[0].Mode != service.Test || plans.Items[0].PractisedBefore != 1 || plans.Items[1].Mode != service.Practice {
			t.Errorf("plans %+v", plans.Items)
		}
	})
}

// TestTimeUp: what was saved before the end is graded as of the end by whoever looks next; nothing later counts.
func TestTimeUp(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		for _, looker := range []string{"ines", "amara"} {
			t.Run(looker, func(t *testing.T) {
				w := newWorld(t, storetest.Open(t, db.Dialect()))
				view, made := w.sit("ines", timedID())
				path := made.header.Get("Location")
				good := map[string]any{"plan": pack.Scenarios()[1].Expert[0].Plan}
				tag := w.as("ines").do("PUT", path+"/plan", good, "If-Match", made.etag()).want(200).etag()
				w.clock.advance(20*time.Minute + assessment.SittingGrace)
				tag = w.as("ines").do("PUT", path+"/plan", good, "If-Match", tag).want(200).etag() // was on its way at the end
				w.clock.advance(time.Microsecond)
				for _, got := range []*reply{
					w.as("ines").do("PUT", path+"/plan", good, "If-Match", tag), w.as("ines").do("POST", in("/plans"), answering(view.ID)),
				} {
					if p := got.want(409).problem(); p.Type != "/problems/test-over" || !strings.Contains(p.Detail, "what had been saved by then counts") {
						t.Errorf("%s: %+v", got.request, p)
					}
				}
				w.clock.advance(72 * time.Hour)
				w.clients = map[string]*client{} // everybody's sign-in has ended
				var plans service.List[service.PlanSummary]
				w.as(looker).do("GET", in("/plans?trainee=ines"), nil).want(200).into(&plans)
				if len(plans.Items) != 1 || plans.Items[0].Mode != service.Test || plans.Items[0].Letter == "" || !plans.Items[0].SubmittedAt.Equal(view.EndsAt) {
					t.Fatalf("plans %+v, want one as of %v", plans.Items, view.EndsAt)
				}
				w.as("ines").do("GET", path, nil).want(200).into(&view)
				if view.Status != assessment.SittingEnded || view.PlanID != plans.Items[0].ID || !view.ClosedAt.Equal(view.EndsAt) || len(view.Faults) > 0 {
					t.Errorf("ended %+v", view)
				}
			})
		}
	})
}

// TestTimeUpUnfinished: a draft that is no valid plan has no grade, and the faults say why; its attempt number is taken all the same.
func TestTimeUpUnfinished(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		view, made := w.sit("ines", timedID())
		w.clock.advance(time.Hour)
		w.as("amara").do("GET", in("/sittings"), nil).want(200)
		w.as("ines").do("GET", made.header.Get("Location"), nil).want(200).into(&view)
		if view.Status != assessment.SittingEnded || view.PlanID != "" || len(view.Faults) == 0 || view.Faults[0].Field != "ablate" {
			t.Errorf("ended %+v", view)
		}
		var plan service.Plan
		w.as("ines").do("POST", in("/plans"), answering("")).want(201).into(&plan)
		if plan.Attempt != 2 || plan.PractisedBefore != 0 || plan.Mode != service.Practice {
			t.Errorf("the next attempt is %d, practised %d", plan.Attempt, plan.PractisedBefore)
		}
	})
}

// TestSittingRefusals: who may not, what may not be kept, and nothing of it leaves a trace.
func TestSittingRefusals(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		_, made := w.sit("ines", timedID())
		path, tag := made.header.Get("Location"), made.etag()
		before := w.state()
		for _, who := range []string{"mei", "amara", "jonas", "ruth"} {
			w.as(who).do("POST", in("/sittings"), map[string]any{"scenario": timedID()}).want(403)
		}
		for _, who := range []string{"kofi", "mei", "jonas", "yuki"} { // mei supervises nobody yet
			w.as(who).do("GET", path, nil).want(403)
			w.as(who).do("PUT", path+"/plan", `{"plan":{}}`, "If-Match", tag).want(403)
		}
		w.as("kofi").do("POST", in("/plans"), map[string]any{"scenario": timedID(), "sitting": path[strings.LastIndex(path, "/")+1:], "plan": pack.Scenarios()[1].Expert[0].Plan}).want(403)
		if p := w.as("ines").do("POST", in("/sittings"), map[string]any{"scenario": scenarioID()}).want(409).problem(); p.Type != "/problems/test-open" {
			t.Errorf("a second open test: %s", p.Type)
		}
		w.as("kofi").do("POST", in("/sittings"), `{"scenario":"none"}`).want(422)
		for name, body := range map[string]string{
			"a name in the note":        `{"plan":{"note":"Seen with Dr Oakwood on 3 March 2026."}}`,
			"a name instead of a word":  `{"plan":{"reason":"Dr Oakwood said so"}}`,
			"a text instead of a word":  `{"plan":{"reason":"` + strings.Repeat("x", 101) + `"}}`,
			"an endless note":           `{"plan":{"note":"` + strings.Repeat("x", 2001) + `"}}`,
			"more lesions than anybody": `{"plan":{"lesions":[` + strings.Repeat(`{"lesion":"roof-line"},`, 9000) + `{}]}}`,
			"an unknown field":          `{"plan":{"patient":"x"}}`,
		} {
			if p := w.as("ines").do("PUT", path+"/plan", body, "If-Match", tag).want(422).problem(); len(p.Errors) == 0 || !strings.HasPrefix(p.Errors[0].Location, "body.plan") {
				t.Errorf("%s: %+v", name, p)
			}
		}
		w.unchanged(before, "a refusal")
		w.as("amara").do("GET", path, nil).want(200)
		if body := string(w.as("amara").do("GET", path, nil).want(200).body); strings.Contains(body, `"plan":`) {
			t.Errorf("the draft is its trainee's alone: %s", body)
		}
	})
}

// TestLaterRules: a test keeps the scope policy it was started with.
func TestLaterRules(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	view, _ := w.sit("ines", timedID())
	body := map[string]any{"policy": ownPolicy(7), "in_force_from": "2026-06-01"}
	w.as("amara").do("POST", in("/scope-policies"), body).want(201)
	var plan service.Plan
	w.as("ines").do("POST", in("/plans"), answering(view.ID)).want(201).into(&plan)
	if plan.Grade.Policy == "northern" {
		t.Errorf("graded by %s %d, made after the start", plan.Grade.Policy, plan.Grade.PolicyVersion)
	}
	w.as("ines").do("POST", in("/plans"), answering("")).want(201).into(&plan)
	if plan.Grade.Policy != "northern" || plan.Grade.PolicyVersion != 7 {
		t.Errorf("practice graded by %s %d", plan.Grade.Policy, plan.Grade.PolicyVersion)
	}
}
