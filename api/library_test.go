package api

import (
	"encoding/json"
	"net/http"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

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
	begunBefore, after := w.answer(s, 1), w.answer(second, 0)
	var versions service.List[service.VersionSummary]
	w.as("amara").do("GET", in("/library/told-again/versions"), nil).want(200).into(&versions)
	if len(versions.Items) != 2 || versions.Items[0].Status != assessment.Live || versions.Items[1].Status != assessment.Superseded ||
		versions.Items[0].ReviewerName != "Mei" || versions.Items[1].AuthorName != "Mei" || versions.Items[1].Title != s.Title {
		w.Errorf("versions %+v", versions.Items)
	}
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
	w.act("leila", "told-again", "revise", nil, &view).want(200)
	if view.Head.Version != 3 || view.Head.LiveVersion != 0 {
		w.Errorf("brought back as %+v", view.Head)
	}
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

// TestLibraryFile: what is exported is the scenario, and importing it gives the same one.
func TestLibraryFile(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	made := w.live(short("told-again"))
	got := w.as("mei").do("GET", in("/library/told-again/file"), nil).want(200)
	if got.header.Get("Content-Type") != "text/yaml; charset=utf-8" || got.header.Get("Content-Disposition") != `attachment; filename="told-again.yaml"` {
		t.Errorf("headers %v", got.header)
	}
	read, err := assessment.DecodeScenario("told-again.yaml", got.body)
	w.must(err)
	if diff := cmp.Diff(made.Scenario, read, cmpopts.EquateEmpty()); diff != "" {
		t.Errorf("the file (-want +got):\n%s", diff)
	}
	var there service.EditionView
	w.as("stranger").do("POST", at(south, "/library"), map[string]string{"yaml": string(got.body)}).want(201).into(&there)
	there.Scenario.Status = made.Scenario.Status
	if diff := cmp.Diff(made.Scenario, there.Scenario, cmpopts.EquateEmpty()); diff != "" {
		t.Errorf("imported (-want +got):\n%s", diff)
	}
	for version, want := range map[string]int{"1": 200, "2": 404, "0": 200} {
		w.as("mei").do("GET", in("/library/told-again/file?version="+version), nil).want(want)
	}
	var view service.EditionView
	w.as("mei").do("GET", in("/library/told-again"), nil).want(200).into(&view)
	w.act("mei", "told-again", "revise", nil, &view).want(200)
	w.act("mei", "told-again", "edit", map[string]string{"yaml": strings.Replace(string(got.body), "Told again", "Told by file", 1)}, &view).want(200)
	if !strings.HasPrefix(view.Scenario.Title, "Told by file") || view.Scenario.Version != 2 {
		t.Errorf("replaced by a file: %+v", view.Head)
	}
}

// TestLibraryRefusals sends what is wrong, and tries what is not theirs as everybody else: each is refused and changes nothing.
func TestLibraryRefusals(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		view := w.begin(short("told-again"))
		patient := short("other")
		patient.Vignette = "Mrs Oakwood, born 03/04/1950, comes for her valve and has had AF since winter."
		file := string(assessment.EncodeScenario(short("other")))
		renamed := short("another")
		for _, c := range []struct {
			name, method, path string
			body               any
			kind               *kind
			location           string
		}{
			{"a patient", "POST", "/library", edits{patient}, invalid, "body.scenario.vignette"},
			{"a patient in a file", "POST", "/library", map[string]string{"yaml": strings.Replace(file, "A choirmaster", "Mrs Oakwood", 1)}, invalid, "body.yaml.vignette"},
			{"nothing", "POST", "/library", `{}`, invalid, "body.scenario"},
			{"both", "POST", "/library", map[string]any{"scenario": short("other"), "yaml": file}, invalid, "body.yaml"},
			{"no YAML", "POST", "/library", `{"yaml":"id: ["}`, invalid, "body.yaml"},
			{"an unknown field in a file", "POST", "/library", map[string]string{"yaml": "shoe_size: 44\n" + file}, invalid, "body.yaml.shoe_size"},
			{"NUL in a file", "POST", "/library", map[string]string{"yaml": strings.Replace(file, `"Told again`, `"\0Told again`, 1)}, invalid, "body.yaml"},
			{"no id", "POST", "/library", `{"scenario":{"title":"Told again"}}`, invalid, "body.scenario.id"},
			{"an id that is there", "POST", "/library", edits{short("told-again")}, alreadyThere, ""},
			{"the id of a starter scenario", "POST", "/library", edits{pack.Scenarios()[2]}, alreadyThere, ""},
			{"another id", "PUT", "/library/told-again", edits{renamed}, invalid, ""},
			{"a reason with a patient", "POST", "/library/told-again/retire", `{"reason":"Mrs Oakwood is real."}`, invalid, "body.reason"},
			{"no reason", "POST", "/library/told-again/retire", `{"reason":" "}`, invalid, ""},
			{"return of a draft", "POST", "/library/told-again/return", `{"reason":"Say why."}`, wrongState, ""},
			{"approve a draft", "POST", "/library/told-again/approve", nil, wrongState, ""},
			{"revise a draft", "POST", "/library/told-again/revise", nil, wrongState, ""},
			{"unknown scenario", "GET", "/library/nowhere", nil, notFound, ""},
			{"unknown field", "POST", "/library", `{"scenario":{"shoe_size":44}}`, invalid, "body.scenario.shoe_size"},
		} {
			before := w.state()
			got := w.as("leila").do(c.method, in(c.path), c.body, "If-Match", etag(view.Head.Revision))
			p := got.problem()
			if p.Type != "/problems/"+c.kind.name || c.location != "" && (len(p.Errors) == 0 || p.Errors[0].Location != c.location) {
				t.Errorf("%s: %s", c.name, got.body)
			}
			w.unchanged(before, c.name)
		}
		for _, op := range described(w) {
			path, inside := strings.CutPrefix(op.Path, base+"/library")
			if !inside {
				continue
			}
			path = strings.NewReplacer("{edition}", "told-again", "{version}", "1").Replace(path)
			for _, who := range []string{"ines", "jonas", "ruth", "yuki", "oskar"} {
				before := w.state()
				got := w.as(who).do(op.Method, in("/library"+path), validBodies()[op.OperationID], "If-Match", etag(view.Head.Revision))
				if got.status != 403 {
					t.Errorf("%s: %s = %d, want 403", who, got.request, got.status)
				}
				w.unchanged(before, who+" at "+got.request)
			}
		}
	})
}

// TestLibraryCheck: the check says what is wrong, with the place in a file, and how the answers are graded; nothing is kept.
func TestLibraryCheck(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	before := w.state()
	var check service.ScenarioCheck
	w.as("mei").do("POST", in("/library/check"), edits{short("any")}).want(200).into(&check)
	if len(check.Faults) != 0 || len(check.Answers) != 2 || !check.Answers[0].OK || len(check.Answers[1].Findings) == 0 || check.Caution == "" || check.Policy == "" || check.Pattern == nil {
		t.Errorf("check %+v", check)
	}
	file := strings.Replace(string(assessment.EncodeScenario(short("any"))), "age: 63", "age: 630", 1)
	w.as("mei").do("POST", in("/library/check"), map[string]string{"yaml": file}).want(200).into(&check)
	if len(check.Faults) != 1 || check.Faults[0].Field != "patient.age" || check.Faults[0].Line == 0 || check.Faults[0].Column == 0 || len(check.Answers) != 0 {
		t.Errorf("check of a file %+v", check)
	}
	w.as("mei").do("POST", in("/library/check"), `{"scenario":{}}`).want(200).into(&check)
	if len(check.Faults) < 8 {
		t.Errorf("an empty scenario has only %v", check.Faults)
	}
	w.unchanged(before, "a check")
}

// TestLibraryKeys: a resend of an import gives the first one again.
func TestLibraryKeys(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	body := edits{short("told-again")}
	first := w.as("mei").do("POST", in("/library"), body, "Idempotency-Key", "once").want(201)
	before := w.state()
	again := w.as("mei").do("POST", in("/library"), body, "Idempotency-Key", "once").want(201)
	if string(first.body) != string(again.body) || first.header.Get("Location") != again.header.Get("Location") {
		t.Errorf("the resend gave another thing:\n%s\n%s", first.body, again.body)
	}
	w.as("mei").do("POST", in("/library"), edits{short("other")}, "Idempotency-Key", "once").want(422)
	w.unchanged(before, "a repeated key")
	var list service.List[service.EditionHead]
	w.as("amara").do("GET", in("/library?limit=200"), nil).want(200).into(&list)
	if n := len(pack.Scenarios()); len(list.Items) != n+1 || list.Items[n].ID != "told-again" || list.Items[0].Source != service.SourceStarter {
		t.Errorf("%d scenarios in the library, want %d", len(list.Items), n+1)
	}
	var raw struct {
		Items []json.RawMessage `json:"items"`
	}
	w.as("amara").do("GET", in("/library?limit=200"), nil).want(200).into(&raw)
	if got := keys(raw.Items[len(raw.Items)-1]); got != "author author_name authors id live_version may operation pattern revision source status title updated_at version" {
		t.Errorf("head of %s", got)
	}
}
