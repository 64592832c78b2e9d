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
	"isthmus/competency"
)

// TestStory walks the whole job: a plan is graded, a case is logged, returned, corrected, signed off, and the standing moves.
func TestStory(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		ines, mei := w.as("ines"), w.as("mei")

		before := standingOf(ines, "ines")
		if before.Standing.Ready || before.Standing.Caution == "" {
			t.Errorf("at first: ready %v, caution %q", before.Standing.Ready, before.Standing.Caution)
		}
		scenario := pack.Scenarios()[0]
		var view service.ScenarioView
		shown := ines.do("GET", in("/scenarios/"+string(scenario.ID)), nil).want(200).into(&view)
		if view.Scenario.Expert != nil || view.Scenario.Flawed != nil || strings.Contains(string(shown.body), `"expert"`) {
			t.Error("the scenario shows its answers")
		}
		var plan service.Plan
		ines.do("POST", in("/plans"), map[string]any{"scenario": scenario.ID, "plan": scenario.Expert[0].Plan}).want(201).into(&plan)
		if plan.Grade.Letter.Rank() < assessment.Letter("A-").Rank() || plan.Attempt != 1 || plan.TraineeName != "Ines" || plan.Grade.Caution == "" {
			t.Errorf("plan: letter %s, attempt %d, by %q", plan.Grade.Letter, plan.Attempt, plan.TraineeName)
		}

		path, tag := w.submitted(biatrial())
		var detail service.CaseDetail
		mei.do("GET", path, nil).want(200).into(&detail)
		if c := detail.Case; c.Computed.Scope != "biatrial" || c.Computed.Role != competency.RolePrimary || c.Computed.Policy != "target" || c.Version != 1 {
			t.Errorf("submitted: %+v", c.Computed)
		}
		if got := strings.Join(detail.May, " "); got != "return sign-off" {
			t.Errorf("mei may %q", got)
		}
		returned := mei.do("POST", path+"/return", map[string]string{"reason": "The appendage was excluded, not excised."}, "If-Match", tag).want(200)
		corrected := biatrial()
		corrected.Appendage.State, corrected.Appendage.Method = "excluded", "epicardial-occluder"
		edited := ines.do("PUT", path, recordOf{corrected}, "If-Match", returned.etag()).want(200)
		again := ines.do("POST", path+"/submission", nil, "If-Match", edited.etag()).want(200)

		w.clock.advance(26 * time.Hour)
		w.clients = map[string]*client{}
		mei, ines = w.as("mei"), w.as("ines")
		amara := w.as("amara")
		mei.do("POST", path+"/sign-off", statement(corrected), "If-Match", again.etag()).want(200).into(&detail)
		signed := detail.SignOffs[0]
		if detail.Case.Status != competency.CaseSignedOff || signed.CaseVersion != 2 || signed.AssessorName != "Mei" || signed.Meaning != competency.SignOffMeaning || signed.ContentHash != detail.Case.ContentHash {
			t.Errorf("signed: %+v", signed)
		}
		if got := kindsOf(detail.Acts); got != "submit return submit sign-off" {
			t.Errorf("acts: %s", got)
		}

		after := standingOf(ines, "ines")
		if used(after.Standing) <= used(before.Standing) || after.Standing.EvidenceHash == before.Standing.EvidenceHash {
			t.Errorf("the standing did not move: %d, then %d pieces of evidence used", used(before.Standing), used(after.Standing))
		}
		if seen := standingOf(mei, "ines"); seen.Standing.EvidenceHash != after.Standing.EvidenceHash {
			t.Error("trainee and supervisor see different standings")
		}
		var cohort service.Cohort
		amara.do("GET", in("/cohort"), nil).want(200).into(&cohort)
		if len(cohort.Trainees) != 2 || cohort.Trainees[0].Name != "Kofi" || cohort.Trainees[0].Attention == "" || cohort.Caution == "" {
			t.Errorf("cohort: %+v", cohort.Trainees)
		}
		if h := cohort.Headline; h.ScopeLeftOut.N != 1 || h.ScopeLeftOut.Count != 0 || h.SignOffWait.N != 1 || h.SignOffWait.MedianDays != 1.1 {
			t.Errorf("headline: %+v", h)
		}
		var audit service.List[store.AuditEntry]
		amara.do("GET", in("/audit?limit=3"), nil).want(200).into(&audit)
		if len(audit.Items) != 3 || audit.Items[0].Act != "case.sign-off" || audit.Items[0].ActorName != "Mei" || audit.Next == "" {
			t.Errorf("audit: %+v", audit.Items)
		}
	})
}

func standingOf(c *client, trainee string) (view service.TraineeStanding) {
	c.w.Helper()
	c.do("GET", in("/trainees/"+trainee+"/standing"), nil).want(200).into(&view)
	return view
}

// used counts the evidence all requirements together rest on.
func used(standing competency.Standing) (n int) {
	for _, requirement := range standing.Requirements {
		n += len(requirement.Used)
	}
	return n
}

func kindsOf(acts []service.CaseAct) string {
	kinds := make([]string, len(acts))
	for i, act := range acts {
		kinds[i] = act.Kind
	}
	return strings.Join(kinds, " ")
}

// TestLists checks who finds what in the lists, and that pages neither repeat nor miss an item.
func TestLists(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		w.draft(biatrial())
		for range 3 {
			w.submitted(biatrial())
			w.clock.advance(time.Second)
		}
		for name, want := range map[string]int{"ines": 4, "kofi": 0, "mei": 3, "leila": 0, "amara": 4, "jonas": 4} {
			var list service.List[service.CaseSummary]
			w.as(name).do("GET", in("/cases"), nil).want(200).into(&list)
			if len(list.Items) != want {
				t.Errorf("%s finds %d cases, want %d", name, len(list.Items), want)
			}
			for _, item := range list.Items {
				if clinical := item.Operation != "" || item.Scope != "" || item.Role != ""; clinical != (name != "jonas") || item.TraineeName != "Ines" || item.SupervisorName != "Mei" {
					t.Errorf("%s sees %+v", name, item)
				}
			}
		}
		w.as("ruth").do("GET", in("/cases"), nil).want(403)
		w.as("ines").do("GET", in("/cases?trainee=kofi"), nil).want(403)
		seen := map[competency.CaseID]bool{}
		for after, pages := "", 0; ; pages++ {
			var list service.List[service.CaseSummary]
			w.as("amara").do("GET", in("/cases?limit=3&after="+after), nil).want(200).into(&list)
			for _, item := range list.Items {
				seen[item.ID] = true
			}
			if after = list.Next; after == "" {
				if len(seen) != 4 || pages != 1 {
					t.Errorf("%d cases on %d pages", len(seen), pages+1)
				}
				break
			}
		}
		var people service.List[service.Member]
		w.as("ines").do("GET", in("/people?role=faculty"), nil).want(200).into(&people)
		if len(people.Items) != 2 || people.Items[0].Name != "Leila" {
			t.Errorf("faculty: %+v", people.Items)
		}
	})
}

// TestRelations tries what stands between the roles of the story.
func TestRelations(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		draft := w.draft(biatrial()).header.Get("Location")
		path, tag := w.submitted(biatrial())
		sign := statement(biatrial())
		for _, c := range []struct {
			who, method, path string
			body              any
			want              int
			kind              *kind
		}{
			{"kofi", "GET", path, nil, 403, forbidden},
			{"leila", "GET", path, nil, 403, forbidden},
			{"jonas", "GET", path, nil, 403, forbidden},
			{"oskar", "GET", path, nil, 403, forbidden},
			{"amara", "GET", path, nil, 200, nil},
			{"ruth", "GET", path, nil, 200, nil},
			{"amara", "GET", draft, nil, 200, nil},
			{"mei", "GET", draft, nil, 403, forbidden},
			{"ruth", "GET", draft, nil, 403, forbidden},
			{"mei", "POST", path + "/submission", nil, 403, forbidden},
			{"ines", "POST", path + "/sign-off", sign, 403, selfSignOff},
			{"ines", "POST", path + "/return", map[string]string{"reason": "mine"}, 403, selfSignOff},
			{"leila", "POST", path + "/sign-off", sign, 403, forbidden},
			{"amara", "POST", path + "/sign-off", sign, 403, forbidden},
			{"jonas", "POST", path + "/return", map[string]string{"reason": "not mine"}, 403, forbidden},
			{"mei", "POST", path + "/withdrawal", map[string]string{"reason": "not mine"}, 403, forbidden},
			{"kofi", "GET", in("/trainees/ines/standing"), nil, 403, forbidden},
			{"leila", "GET", in("/trainees/ines/standing"), nil, 403, forbidden},
			{"mei", "GET", in("/trainees/ines/standing"), nil, 200, nil},
			{"mei", "GET", in("/trainees/kofi/standing"), nil, 403, forbidden},
			{"amara", "GET", in("/trainees/mei/standing"), nil, 404, notFound},
			{"ines", "GET", in("/cohort"), nil, 403, forbidden},
			{"ruth", "GET", in("/cohort"), nil, 200, nil},
			{"jonas", "GET", in("/cohort"), nil, 403, forbidden},
			{"mei", "GET", in("/audit"), nil, 403, forbidden},
			{"oskar", "GET", in(""), nil, 403, forbidden},
		} {
			before := w.state()
			got := w.as(c.who).do(c.method, c.path, c.body, "If-Match", tag)
			if got.status != c.want || c.kind != nil && got.problem().Type != "/problems/"+c.kind.name {
				t.Errorf("%s: %s = %d %s, want %d", c.who, got.request, got.status, got.body, c.want)
			}
			w.unchanged(before, c.who+" "+got.request)
		}
		w.as("yuki").do("GET", path, nil).want(200) // which leaves an entry, so it stands apart
		w.as("mei").do("POST", path+"/sign-off", sign, "If-Match", tag).want(200)
		withdrawn := map[string]string{"reason": "Logged twice."}
		latest := w.as("ines").do("GET", path, nil).want(200)
		w.as("ines").do("POST", path+"/withdrawal", withdrawn, "If-Match", latest.etag()).want(403)
		w.as("amara").do("POST", path+"/withdrawal", withdrawn, "If-Match", latest.etag()).want(200)
	})
}
