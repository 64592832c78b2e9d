package api

import (
	"net/http"
	"slices"
	"strings"
	"testing"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/assessment"
	"isthmus/assessment/pack"
)

// edits is a scenario as it is sent.
type edits struct {
	Scenario assessment.Scenario `json:"scenario"`
}

// short is a scenario of a programme's own with one expert's plan and one flawed one, so that checking it is quick.
func short(id assessment.ScenarioID) assessment.Scenario {
	s := toldAgain(id)
	s.Expert, s.Flawed = s.Expert[:1], s.Flawed[:1]
	return s
}

// act does something to a scenario of the library at the revision last seen.
func (w *world) act(who, id, what string, body any, view *service.EditionView) *reply {
	w.Helper()
	method, path := "POST", in("/library/"+id+"/"+what)
	if what == "edit" {
		method, path = "PUT", in("/library/"+id)
	}
	got := w.as(who).do(method, path, body, "If-Match", etag(view.Head.Revision))
	if got.status == http.StatusOK {
		*view = service.EditionView{}
		got.into(view)
		if got.etag() != etag(view.Head.Revision) {
			w.Errorf("%s: ETag %s of revision %d", got.request, got.etag(), view.Head.Revision)
		}
	}
	return got
}

// begin creates a scenario of mei's.
func (w *world) begin(s assessment.Scenario) (view service.EditionView) {
	w.Helper()
	w.as("mei").do("POST", in("/library"), edits{s}).want(201).into(&view)
	return view
}

// live creates a scenario of mei's that leila approves.
func (w *world) live(s assessment.Scenario) service.EditionView {
	w.Helper()
	view := w.begin(s)
	w.act("mei", string(s.ID), "submit", nil, &view).want(200)
	w.act("leila", string(s.ID), "approve", nil, &view).want(200)
	return view
}

// seen are the ids of the scenarios somebody can answer.
func (w *world) seen(who string) map[assessment.ScenarioID]service.ScenarioSummary {
	w.Helper()
	var list service.List[service.ScenarioSummary]
	w.as(who).do("GET", in("/scenarios?limit=200"), nil).want(200).into(&list)
	seen := map[assessment.ScenarioID]service.ScenarioSummary{}
	for _, item := range list.Items {
		seen[item.ID] = item
	}
	return seen
}

// answer submits the expert's plan of a scenario.
func (w *world) answer(s assessment.Scenario, version int) service.Plan {
	w.Helper()
	var plan service.Plan
	body := map[string]any{"scenario": s.ID, "plan": s.Expert[0].Plan}
	if version > 0 {
		body["scenario_version"] = version
	}
	w.as("ines").do("POST", in("/plans"), body).want(201).into(&plan)
	return plan
}

// TestLibraryStory takes a scenario from draft to its second version and out of use. Attempts stay with what they answered.
func TestLibraryStory(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		s := short("told-again")
		view := w.begin(s)
		if h := view.Head; h.Status != assessment.Draft || h.Version != 1 || h.LiveVersion != 0 || h.Author != "mei" || h.AuthorName != "Mei" || h.Source != service.SourceOwn ||
			h.Pattern != "persistent" || !slices.Equal(h.May, []string{"edit", "submit", "retire"}) || view.Scenario.Status != assessment.Draft {
			t.Errorf("draft %+v", view.Head)
		}
		if _, shown := w.seen("ines")[s.ID]; shown {
			t.Error("a trainee sees a draft")
		}
		unfinished := s
		unfinished.Vignette, unfinished.Expert = "", nil
		w.act("mei", "told-again", "edit", edits{unfinished}, &view).want(200)
		if len(view.Faults) != 2 {
			t.Errorf("an unfinished draft has %v", view.Faults)
		}
		if p := w.act("mei", "told-again", "submit", nil, &view).want(422).problem(); len(p.Errors) != 2 || !strings.HasPrefix(p.Errors[0].Location, "body.scenario.") {
			t.Errorf("submitted unfinished: %+v", p)
		}
		weak := s
		weak.Expert = []assessment.Answer{{Title: "Weak", Why: "It is quick.", Plan: s.Flawed[0].Plan}}
		w.act("mei", "told-again", "edit", edits{weak}, &view).want(200)
		if p := w.act("mei", "told-again", "submit", nil, &view).want(422).problem(); len(p.Errors) != 1 || p.Errors[0].Location != "body.scenario.expert[0].plan" || !strings.HasSuffix(p.Detail, assessment.Caution) {
			t.Errorf("submitted with a weak expert: %+v", p)
		}
		w.act("mei", "told-again", "edit", edits{s}, &view).want(200)
		stale := view
		stale.Head.Revision--
		w.act("mei", "told-again", "edit", edits{s}, &stale).want(412)
		w.act("mei", "told-again", "submit", nil, &view).want(200)
		if p := w.act("mei", "told-again", "approve", nil, &view).want(403).problem(); p.Type != "/problems/own-scenario" {
			t.Errorf("own scenario: %+v", p)
		}
		w.act("leila", "told-again", "return", `{"reason":"Name the valve."}`, &view).want(200)
		if last := view.Acts[len(view.Acts)-1]; last.Kind != "return" || last.Reason != "Name the valve." || last.ByName != "Leila" || view.Head.Reviewer != "leila" {
			t.Errorf("returned: %+v", view)
		}
		w.act("mei", "told-again", "submit", nil, &view).want(200)
		w.act("leila", "told-again", "approve", nil, &view).want(200)
		w.wantVersions(s, view)
	})
}

// wantVersions goes on from version 1 live: a revision, its attempt beside the one before, and the end.
func (w *world) wantVersions(s assessment.Scenario, view service.EditionView) {
	first := w.answer(s, 0)
	w.act("mei", "told-again", "edit", edits{s}, &view).want(409)
	w.act("leila", "told-again", "revise", nil, &view).want(200)
	second := s
	second.Title = "Told a third time"
	w.act("leila", "told-again", "edit", edits{second}, &view).want(200)
	if view.Head.Version != 2 || view.Head.LiveVersion != 1 || w.seen("ines")[s.ID].Title != s.Title {
		w.Errorf("while version 2 is written, %+v", w.seen("ines")[s.ID])
	}
	w.act("leila", "told-again", "submit", nil, &view).want(200)
	w.act("leila", "told-again", "approve", nil, &view).want(403)
	w.act("mei", "told-again", "approve", nil, &view).want(200)
	if got := w.seen("ines")[s.ID]; got.Title != second.Title || got.Version != 2 {
		w.Errorf("live is %+v", got)
	}
	w.wantAttempts(s, second, first, w.answer(s, 1), w.answer(second, 0))
	w.act("leila", "told-again", "revise", nil, &view).want(412)
	w.as("mei").do("GET", in("/library/told-again"), nil).want(200).into(&view)
	w.act("leila", "told-again", "revise", nil, &view).want(200)
	if view.Head.Version != 3 || view.Head.LiveVersion != 0 {
		w.Errorf("brought back as %+v", view.Head)
	}
}

// wantAttempts retires the scenario: the plans of both versions stay with what they answered.
func (w *world) wantAttempts(s, second assessment.Scenario, first, begunBefore, after service.Plan) {
	var versions service.List[service.VersionSummary]
	w.as("amara").do("GET", in("/library/told-again/versions"), nil).want(200).into(&versions)
	if len(versions.Items) != 2 || versions.Items[0].Status != assessment.Live || versions.Items[1].Status != assessment.Superseded ||
		versions.Items[0].ReviewerName != "Mei" || versions.Items[1].AuthorName != "Mei" || versions.Items[1].Title != s.Title {
		w.Errorf("versions %+v", versions.Items)
	}
	var view service.EditionView
	w.as("amara").do("GET", in("/library/told-again"), nil).want(200).into(&view)
	w.act("amara", "told-again", "retire", `{"reason":"Told too often."}`, &view).want(200)
	if _, shown := w.seen("ines")[s.ID]; shown {
		w.Error("a retired scenario can be answered")
	}
	w.as("ines").do("GET", in("/scenarios/told-again"), nil).want(404)
	w.as("ines").do("POST", in("/plans"), map[string]any{"scenario": s.ID, "plan": s.Expert[0].Plan}).want(422)
	for plan, title := range map[*service.Plan]string{&first: s.Title, &begunBefore: s.Title, &after: second.Title} {
		var again service.Plan
		w.as("ines").do("GET", in("/plans/"+string(plan.ID)), nil).want(200).into(&again)
		if again.ScenarioTitle != title || again.Grade.ScenarioVersion != again.ScenarioVersion || again.ScenarioVersion != plan.ScenarioVersion {
			w.Errorf("a plan of version %d is called %q, want %q", again.ScenarioVersion, again.ScenarioTitle, title)
		}
	}
	var one service.VersionView
	w.as("mei").do("GET", in("/library/told-again/versions/2"), nil).want(200).into(&one)
	if one.Status != assessment.Retired || one.Reason != "Told too often." || one.Scenario.Title != second.Title {
		w.Errorf("version %+v", one.VersionSummary)
	}
	w.as("mei").do("GET", in("/library/told-again/versions/3"), nil).want(404)
}

// TestStarterScenarios: a programme revises a starter scenario or retires it for itself; the others keep it.
func TestStarterScenarios(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		revised, retired := pack.Scenarios()[0], pack.Scenarios()[1]
		answered := w.answer(revised, 0)
		var view service.EditionView
		w.as("mei").do("GET", in("/library/"+string(revised.ID)), nil).want(200).into(&view)
		if h := view.Head; h.Source != service.SourceStarter || h.Revision != 0 || h.Status != assessment.Live || h.AuthorName != revised.Author ||
			!slices.Equal(h.May, []string{"retire", "revise"}) || len(view.Faults) != 0 {
			t.Errorf("starter %+v, %v", h, view.Faults)
		}
		id := string(revised.ID)
		w.act("mei", id, "revise", nil, &view).want(200)
		var late service.EditionView
		w.act("leila", id, "revise", nil, &late).want(412)
		changed := short(revised.ID)
		w.act("mei", id, "edit", edits{changed}, &view).want(200)
		w.act("mei", id, "submit", nil, &view).want(200)
		w.act("leila", id, "approve", nil, &view).want(200)
		if got := w.seen("ines")[revised.ID]; got.Title != changed.Title || got.Version != revised.Version+1 || got.MyAttempts != 1 {
			t.Errorf("the programme's own version: %+v", got)
		}
		if _, count := w.seen("ines"), len(pack.Scenarios()); len(w.seen("ines")) != count {
			t.Errorf("%d scenarios, want %d", len(w.seen("ines")), count)
		}
		var again service.Plan
		w.as("ines").do("GET", in("/plans/"+string(answered.ID)), nil).want(200).into(&again)
		if again.ScenarioTitle != revised.Title {
			t.Errorf("the plan answered %q", again.ScenarioTitle)
		}
		var versions service.List[service.VersionSummary]
		w.as("mei").do("GET", in("/library/"+id+"/versions"), nil).want(200).into(&versions)
		if len(versions.Items) != 2 || versions.Items[1].AuthorName != revised.Author || versions.Items[1].Status != assessment.Superseded {
			t.Errorf("versions %+v", versions.Items)
		}
		view = service.EditionView{}
		w.act("amara", string(retired.ID), "retire", `{"reason":"We do not operate so."}`, &view).want(200)
		if _, shown := w.seen("ines")[retired.ID]; shown {
			t.Error("a retired starter scenario is shown")
		}
		for _, s := range []assessment.Scenario{revised, retired} {
			var shown service.ScenarioView
			w.as("stranger").do("GET", at(south, "/scenarios/"+string(s.ID)), nil).want(200).into(&shown)
			if shown.Scenario.Title != s.Title {
				t.Errorf("another programme sees %q", shown.Scenario.Title)
			}
		}
	})
}
