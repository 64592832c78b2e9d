package api

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/assessment/atrium"
	"isthmus/assessment/pack"
	"isthmus/competency"
)

// keys are the names at the top of a JSON object, sorted.
func keys(data json.RawMessage) string {
	var object map[string]json.RawMessage
	if err := json.Unmarshal(data, &object); err != nil {
		return err.Error()
	}
	names := make([]string, 0, len(object))
	for name := range object {
		names = append(names, name)
	}
	slices.Sort(names)
	return strings.Join(names, " ")
}

// TestShapes holds the names of what the browser reads: renaming one breaks screens.
func TestShapes(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	path, _ := w.submitted(biatrial())
	made := w.as("ines").do("POST", in("/plans"), validBodies()["submit-plan"]).want(201)
	plan := made.header.Get("Location")
	quiz := w.as("kofi").do("POST", in("/quizzes"), `{"mode":"test","topic":"lines"}`).want(201).header.Get("Location")
	w.as("amara").do("POST", in("/scope-policies"), validBodies()["add-scope-policy"]).want(201)
	w.shaped([]shape{
		{"ines", "/api/session", "", "caution memberships person version"},
		{"ines", "/api/session", "memberships", "programme programme_name roles"},
		{"ines", "/api/atrium", "", "appendage_methods appendage_results appendage_states approaches authoring block_tests caution chambers energies events follow_up help_levels left_atrium_bands lesions model neighbours operations pacing_wires performers reasons scopes steps supervision_levels urgencies"},
		{"ines", "/api/atrium", "chambers", "chamber name openings projection radius_mm sites"},
		{"ines", "/api/atrium", "lesions", "chamber closed id name path"},
		{"ines", "/api/standard-example", "", "yaml"},
		{"ines", "/api/standard-kinds", "items", "fields kind name says"},
		{"ines", in(""), "", "id name settings settings_version"},
		{"ines", in("/people"), "items", "id name roles"},
		{"ines", in("/scenarios"), "items", "id my_attempts my_best_letter operation pattern title version"},
		{"ines", in("/scenarios/" + scenarioID()), "", "attempts pattern scenario wavelength"},
		{"ines", in("/scenarios/" + scenarioID()), "pattern", "icd_10_cm pattern rule source"},
		{"ines", in("/plans"), "items", "attempt id letter mode pattern practised_before scenario scenario_title score submitted_at trainee trainee_name unsafe"},
		{"ines", plan, "", "attempt grade id mode plan practised_before programme scenario scenario_title scenario_version submitted_at trainee trainee_name"},
		{"ines", plan + "/comparison", "", "caution differences expert experts left_atrium_mm plan yours"},
		{"ines", plan + "/comparison", "expert", "grade number plan title why"},
		{"ines", in("/trainees/ines/growth"), "", "assumptions attempts caution least_n letter level method omissions patterns scenarios trainee"},
		{"ines", in("/trainees/ines/growth"), "patterns", "by_attempt change earlier first later latest n pattern points says scenarios tests"},
		{"ines", in("/trainees/ines/growth"), "omissions", "change earlier first id later latest n name points says scenarios tests"},
		{"mei", in("/reminders"), "items", "cases count kind late oldest_days says"},
		{"ines", in("/cases"), "items", "age_days id operated_on operation pattern role scope status submitted_at supervisor supervisor_name trainee trainee_name updated_at"},
		{"ines", path, "", "acts case caution may role_accounts sign_offs supervisor_name trainee_name"},
		{"ines", path, "acts", "at by by_name kind version"},
		{"ines", in("/trainees/ines/standing"), "", "applied outlook standing trainee waiting"},
		{"ines", in("/trainees/ines/standing?on=2026-05-01"), "", "applied hindsight outlook standing trainee waiting"},
		{"ines", in("/trainees/ines/standing"), "outlook", "act assumptions method note projections"},
		{"ines", in("/trainees/ines/standing-difference?from=2026-03-01"), "", "after before caution hindsight requirements same trainee"},
		{"ines", in("/trainees/ines/standing"), "applied", "because example since title version"},
		{"ines", in("/trainees/ines/standing"), "waiting", "drafts returned submitted"},
		{"amara", in("/cohort"), "", "before caution headline of on requirements sites standard standard_version trainees years"},
		{"amara", in("/outcomes"), "", "by_pattern by_scope by_site by_supervisor cases causal caution completeness least month months on operations pacemakers patterns rule_version running sites success years"},
		{"amara", in("/case-mix"), "", "assumptions caution method on sites trainees"},
		{"amara", in("/case-mix"), "trainees", "id lines name plan"},
		{"amara", in("/agreement"), "", "assumptions cases caution claimed_less claimed_more differing events level method periods roles steps trainees"},
		{"amara", in("/agreement"), "trainees", "cases claimed_less claimed_more events roles steps trainee"},
		{"amara", in("/cohort"), "trainees", "attention concern example id lines name overall ready since standard_version year"},
		{"amara", in("/cohort"), "requirements", "id kind says target unit"},
		{"amara", in("/practice"), "", "assumptions caution charts level method notes on operated planned sites"},
		{"amara", in("/practice/behind?side=operated&of=less"), "", "caution items on says share side"},
		{"amara", in("/practice"), "operated", "below less n not_asked patterns quarters says says_of sites steps"},
		{"amara", in("/assessors"), "", "assessors cases caution level method notes on own ratings scale"},
		{"amara", in("/standards"), "items", "created_at created_by example in_force_from title version"},
		{"amara", in("/standards/1"), "", "created_at created_by example in_force_from lines note title version yaml"},
		{"kofi", in("/quiz-offers"), "", "caution daily practice tests"},
		{"kofi", in("/quiz-offers"), "tests", "cut items minutes mode open title"},
		{"kofi", in("/quizzes"), "items", "cut cut_from due_at id items mode replied server_time started_at status title trainee trainee_name"},
		{"kofi", quiz, "", "caution cut cut_from due_at id items mode places replied revision server_time started_at status title trainee trainee_name"},
		{"kofi", quiz, "places", "given ms place question replied"},
		{"kofi", in("/trainees/kofi/knowledge"), "", "assumptions caution level method topics trainee"},
		{"ines", in("/scope-policies"), "items", "created_at created_by created_by_name id in_force in_force_from source title version"},
		{"ines", in("/scope-policies/1"), "", "created_at created_by created_by_name id in_force in_force_from policy source title version"},
		{"ines", in("/scope-policy"), "", "id in_force policy source title version yaml"},
		{"amara", in("/exports"), "", "caution delivery operations statements"},
		{"amara", in("/exports"), "delivery", "configured number on sent stuck waiting"},
		{"amara", in("/exports"), "operations", "k released says"},
		{"amara", in("/exports/xapi"), "statements", "actor context id object result timestamp verb"},
		{"amara", in("/exports/fhir"), "", "entry resourceType type"},
		{"yuki", in("/viewing"), "", "ended figures trainees until"},
		{"yuki", in("/viewing/figures"), "", "caution headline limit on requirements"},
		{"yuki", in("/trainees/ines/growth"), "", "assumptions attempts caution least_n letter level method omissions patterns scenarios trainee"},
		{"amara", in("/members/yuki/readings"), "items", "at id object trainee"},
		{"amara", in("/audit"), "items", "act actor actor_name after_hash at before_hash hash object object_id prev_hash programme request_id seq"},
	})
}

// TestShapesOfTest holds those of a test on a scenario, during which a test of questions cannot be begun.
func TestShapesOfTest(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	sitting := w.as("kofi").do("POST", in("/sittings"), validBodies()["start-sitting"]).want(201).header.Get("Location")
	w.shaped([]shape{
		{"kofi", in("/sittings"), "items", "attempt id practised_before scenario_id scenario_title scenario_version server_time started_at status trainee trainee_name"},
		{"kofi", sitting, "", "attempt caution id plan practised_before revision scenario scenario_id scenario_title scenario_version server_time started_at status trainee trainee_name"},
		{"kofi", sitting, "scenario", "attempts pattern scenario"},
	})
}

// shape is the names of the fields of an answer, or of the first item of a list in it.
type shape struct{ who, path, item, want string }

func (w *world) shaped(list []shape) {
	w.Helper()
	for _, c := range list {
		body := json.RawMessage(w.as(c.who).do("GET", c.path, nil).want(200).body)
		if c.item != "" {
			var object map[string]json.RawMessage
			w.must(json.Unmarshal(body, &object))
			body = object[c.item]
			var list []json.RawMessage
			if json.Unmarshal(body, &list) == nil && len(list) > 0 {
				body = list[0]
			}
		}
		if got := keys(body); got != c.want {
			w.Errorf("%s %s:\n got %s\nwant %s", c.path, c.item, got, c.want)
		}
	}
}

// TestPreview: what the program computes before anything is kept.
func TestPreview(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	before := w.state()
	record := biatrial()
	record.Steps, record.Note = nil, "Seen with Dr Oakwood on 3 March 2026."
	var preview service.Preview
	w.as("ines").do("POST", in("/case-preview"), recordOf{record}).want(200).into(&preview)
	if preview.Computed.Scope != atrium.ScopeBiatrial || preview.Computed.Pattern != "persistent" || preview.Computed.Policy != "target" || preview.Caution == "" {
		t.Errorf("computed %+v", preview.Computed)
	}
	if diff := cmp.Diff(competency.StepsOf(record.Lesions, record.Appendage), preview.Steps); diff != "" {
		t.Error(diff)
	}
	if len(preview.Identifiers) != 2 || preview.Identifiers[0].Field != "note" || preview.Identifiers[0].Reason == "" {
		t.Errorf("identifiers %+v", preview.Identifiers)
	}
	w.as("ines").do("POST", in("/case-preview"), recordOf{}).want(200).into(&preview)
	if preview.Computed.Scope != atrium.ScopeNone || len(preview.Steps) != 0 {
		t.Errorf("an empty record: %+v", preview)
	}
	w.unchanged(before, "a preview")
}

// TestConduction gives what the command conduct prints.
func TestConduction(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	set := competency.LesionSetOf(biatrial())
	var got atrium.Result
	w.as("jonas").do("POST", in("/conduction"), set).want(200).into(&got)
	want, err := atrium.Default().Conduct(set)
	w.must(err)
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}

// TestAddStandard: the director adds a version; those who joined before keep theirs.
func TestAddStandard(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		second := strings.Replace(string(competency.ExampleStandardYAML()), "\nversion: 1\n", "\nversion: 2\n", 1)
		body := map[string]string{"yaml": second, "in_force_from": "2026-06-01"}
		w.as("ines").do("POST", in("/standards"), body).want(403)
		w.as("mei").do("POST", in("/standards"), body).want(403)
		made := w.as("amara").do("POST", in("/standards"), body).want(201)
		var view service.StandardView
		w.as("ines").do("GET", made.header.Get("Location"), nil).want(200).into(&view)
		if view.Version != 2 || view.YAML != second || view.CreatedBy != "amara" {
			t.Errorf("standard %+v", view.StandardSummary)
		}
		before := w.state()
		w.as("amara").do("POST", in("/standards"), body).want(422)
		w.as("amara").do("GET", in("/standards/3"), nil).want(404)
		w.unchanged(before, "the same version again")
		if standing := standingOf(w.as("ines"), "ines"); standing.Standing.StandardVersion != 1 {
			t.Errorf("ines is judged by version %d", standing.Standing.StandardVersion)
		}
		var cohort service.Cohort
		w.as("amara").do("GET", in("/cohort"), nil).want(200).into(&cohort)
		if cohort.StandardVersion != 2 || cohort.Trainees[0].StandardVersion != 1 {
			t.Errorf("cohort of version %d", cohort.StandardVersion)
		}
	})
}

// TestPlansSeen: a plan is its trainee's, their supervisor's once there is a case, the director's and the committee's.
func TestPlansSeen(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		plan := w.as("ines").do("POST", in("/plans"), validBodies()["submit-plan"]).want(201).header.Get("Location")
		for name, want := range map[string]int{"ines": 200, "kofi": 403, "mei": 403, "leila": 403, "amara": 200, "ruth": 200, "yuki": 200, "jonas": 403, "oskar": 403} {
			w.as(name).do("GET", plan, nil).want(want)
		}
		w.draft(biatrial())
		w.as("mei").do("GET", plan, nil).want(403) // a draft supervises nobody
		w.submitted(biatrial())
		w.as("mei").do("GET", plan, nil).want(200)
		for name, want := range map[string]int{"ines": 1, "kofi": 0, "mei": 1, "leila": 0, "amara": 1} {
			var list service.List[service.PlanSummary]
			w.as(name).do("GET", in("/plans"), nil).want(200).into(&list)
			if len(list.Items) != want {
				t.Errorf("%s finds %d plans, want %d", name, len(list.Items), want)
			}
		}
		var view service.ScenarioView
		w.as("ines").do("GET", in("/scenarios/"+scenarioID()), nil).want(200).into(&view)
		if len(view.Attempts) != 1 || view.Scenario.Title != pack.Scenarios()[0].Title {
			t.Errorf("scenario %+v", view.Attempts)
		}
		w.as("ines").do("POST", in("/plans"), validBodies()["submit-plan"]).want(201)
		w.as("mei").do("POST", in("/plans"), validBodies()["submit-plan"]).want(403)
	})
}
