package api

import (
	"encoding/json"
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
