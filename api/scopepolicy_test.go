package api

import (
	"strings"
	"testing"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/assessment"
	"isthmus/competency"
)

// ownYAML is the default policy as a file of the programme's own.
func ownYAML(version string) string {
	text := strings.Replace(string(assessment.DefaultPolicyYAML()), "\nid: default\n", "\nid: northern\n", 1)
	at := strings.Index(text, "\nversion: ") + 1
	end := at + strings.Index(text[at:], "\n")
	return text[:at] + "version: " + version + text[end:]
}

// TestScopePolicies: the director adds versions, everybody reads them, and plans and cases are judged by what is in force.
func TestScopePolicies(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		var inForce service.ScopePolicyView
		w.as("ines").do("GET", in("/scope-policy"), nil).want(200).into(&inForce)
		if inForce.Source != "starter" || !inForce.InForce || inForce.Policy.ID != "default" || inForce.YAML == "" {
			t.Errorf("in force at first: %+v", inForce.ScopePolicySummary)
		}
		file := map[string]any{"yaml": ownYAML("3"), "in_force_from": "2026-06-01"}
		for _, who := range []string{"ines", "mei", "jonas", "ruth"} {
			w.as(who).do("POST", in("/scope-policies"), file).want(403)
		}
		made := w.as("amara").do("POST", in("/scope-policies"), file).want(201)
		later := map[string]any{"policy": ownPolicy(4), "in_force_from": "2026-07-01"}
		w.as("amara").do("POST", in("/scope-policies"), later).want(201)
		var view service.ScopePolicyView
		w.as("ines").do("GET", made.header.Get("Location"), nil).want(200).into(&view)
		if view.Version != 3 || view.ID != "northern" || view.YAML != ownYAML("3") || !view.InForce || view.CreatedByName != "Amara" || len(view.Policy.Rows) == 0 {
			t.Errorf("added %+v", view.ScopePolicySummary)
		}
		var list service.List[service.ScopePolicySummary]
		w.as("yuki").do("GET", in("/scope-policies"), nil).want(200).into(&list)
		if len(list.Items) != 3 || list.Items[0].Version != 4 || list.Items[0].InForce || !list.Items[1].InForce || list.Items[2].Source != "starter" || list.Items[2].InForce {
			t.Errorf("list %+v", list.Items)
		}
		w.as("ines").do("GET", in("/scope-policies/default"), nil).want(200).into(&view)
		if view.ID != "default" || view.Source != "starter" {
			t.Errorf("the one that comes with the program: %+v", view.ScopePolicySummary)
		}
		for _, none := range []string{"5", "03", "+3", "none"} {
			w.as("ines").do("GET", in("/scope-policies/"+none), nil).want(404)
		}
		var plan service.Plan
		w.as("ines").do("POST", in("/plans"), answering("")).want(201).into(&plan)
		var preview service.Preview
		w.as("ines").do("POST", in("/case-preview"), recordOf{biatrial()}).want(200).into(&preview)
		if plan.Grade.Policy != "northern" || plan.Grade.PolicyVersion != 3 || preview.Computed.PolicyID != "northern" || preview.Computed.PolicyVersion != 3 {
			t.Errorf("graded by %s %d, case by %s %d", plan.Grade.Policy, plan.Grade.PolicyVersion, preview.Computed.PolicyID, preview.Computed.PolicyVersion)
		}
		w.clock.advance(30 * 24 * 3600e9)
		w.clients = map[string]*client{}
		w.as("ines").do("GET", in("/scope-policy"), nil).want(200).into(&view)
		if view.Version != 4 {
			t.Errorf("a month later version %d is in force", view.Version)
		}
	})
}

// TestScopePolicyCounts: what a programme changes in its policy changes what cases and plans come to.
func TestScopePolicyCounts(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	strict := ownPolicy(1)
	strict.Rows = append([]assessment.PolicyRow{}, strict.Rows...)
	for i := range strict.Rows {
		if row := &strict.Rows[i]; row.Target == "biatrial" {
			row.Target, row.Minimum, row.Also = "box", "box", nil
		}
	}
	w.as("amara").do("POST", in("/scope-policies"), map[string]any{"policy": strict, "in_force_from": "2026-06-01"}).want(201)
	var preview service.Preview
	w.as("ines").do("POST", in("/case-preview"), recordOf{biatrial()}).want(200).into(&preview)
	if preview.Computed.Policy != "beyond" {
		t.Errorf("a biatrial set where a box is the target: %s", preview.Computed.Policy)
	}
}

// TestScopePolicyRefusals: nobody is graded by rules made later, and every mistake in a file has its line and column.
func TestScopePolicyRefusals(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		w.as("amara").do("POST", in("/scope-policies"), map[string]any{"yaml": ownYAML("3"), "in_force_from": "2026-06-10"}).want(201)
		before := w.state()
		wordy := ownPolicy(4)
		wordy.Title = "As Dr Oakwood wants it since 3 March 2026"
		for _, c := range []struct {
			name     string
			body     map[string]any
			location string
			line     bool
		}{
			{"neither", map[string]any{"in_force_from": "2026-07-01"}, "body.policy", false},
			{"both", map[string]any{"policy": ownPolicy(4), "yaml": ownYAML("4"), "in_force_from": "2026-07-01"}, "body.policy", false},
			{"no day", map[string]any{"policy": ownPolicy(4), "in_force_from": "soon"}, "body.in_force_from", false},
			{"same version", map[string]any{"policy": ownPolicy(3), "in_force_from": "2026-07-01"}, "body.policy.version", false},
			{"earlier than the latest", map[string]any{"policy": ownPolicy(4), "in_force_from": "2026-06-09"}, "body.in_force_from", false},
			{"yesterday", map[string]any{"policy": ownPolicy(4), "in_force_from": "2026-05-31"}, "body.in_force_from", false},
			{"the program's own name", map[string]any{"policy": assessment.DefaultPolicy(), "in_force_from": "2026-07-01"}, "body.policy.id", false},
			{"a patient's doctor", map[string]any{"policy": wordy, "in_force_from": "2026-07-01"}, "body.policy.title", false},
			{"an invalid policy", map[string]any{"policy": assessment.Policy{ID: "northern", Version: 4, Title: "Empty"}, "in_force_from": "2026-07-01"}, "body.policy.", false},
			{"an unknown field", map[string]any{"yaml": ownYAML("4") + "\nmercy: 1\n", "in_force_from": "2026-07-01"}, "body.yaml.mercy", true},
			{"no number", map[string]any{"yaml": ownYAML("four"), "in_force_from": "2026-07-01"}, "body.yaml.version", true},
			{"zero", map[string]any{"yaml": ownYAML("0"), "in_force_from": "2026-07-01"}, "body.yaml.version", true},
		} {
			p := w.as("amara").do("POST", in("/scope-policies"), c.body).want(422).problem()
			if len(p.Errors) == 0 || !strings.HasPrefix(p.Errors[0].Location, c.location) || c.line != (p.Errors[0].Line > 0 && p.Errors[0].Column > 0) {
				t.Errorf("%s: %+v", c.name, p.Errors)
			}
		}
		w.unchanged(before, "a refusal")
	})
}

// TestFirstScopePolicy: the policy that comes with the program was in force before, so not even the first version looks back.
func TestFirstScopePolicy(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	yesterday := competency.DayOf(w.clock.Now()).Add(-1)
	w.as("amara").do("POST", in("/scope-policies"), map[string]any{"policy": ownPolicy(1), "in_force_from": yesterday}).want(422)
}
