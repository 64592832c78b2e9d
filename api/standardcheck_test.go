package api

import (
	"strings"
	"testing"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/competency"
)

// TestCheckStandard: the director sees faults with their lines, every line in words, what differs from the version in force and what it would
// mean today; a form's standard comes back as text. Nothing is kept, and nobody else may ask.
func TestCheckStandard(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		w.signedCase()
		before := w.state()
		check := func(body map[string]any) (answer service.StandardCheck) {
			w.as("amara").do("POST", in("/standards/check"), body).want(200).into(&answer)
			return answer
		}
		for _, name := range []string{"ines", "mei", "ruth", "yuki", "jonas", "oskar"} {
			w.as(name).do("POST", in("/standards/check"), map[string]any{"yaml": secondStandard}).want(403)
		}
		good := check(map[string]any{"yaml": secondStandard, "in_force_from": "2026-06-01"})
		if len(good.Faults) != 0 || len(good.Lines) != 1 || good.Lines[0].Says != "At least 1 signed-off case." || good.Against.Version != 1 || len(good.Changes) != 6 || good.Caution == "" {
			t.Errorf("a standard without fault: %+v", good)
		}
		if e := good.Effect; e == nil || e.N != 2 || len(e.Then) != 2 || e.Then[0] != (service.StateCount{State: "ready", N: 1}) || e.Now[0].State == "ready" || len(e.Lines) != 1 || e.Lines[0].Then[0] != (service.StateCount{State: "met", N: 1}) ||
			e.Says != "Were all judged by it today, 1 of 2 would be ready for committee review; 0 of 2 are now, each by their own version." {
			t.Errorf("effect %+v", good.Effect)
		}
		bad := check(map[string]any{"yaml": strings.Replace(strings.Replace(secondStandard, "at_least: 1", "at_least: 0", 1), "version: 2", "version: 1", 1), "in_force_from": "2026-05-01"})
		var found []string
		for _, f := range bad.Faults {
			found = append(found, f.Field+":"+string(rune('0'+f.Line)))
		}
		if got := strings.Join(found, " "); got != "requirements[0].at_least:5 version:3 in_force_from:0" || bad.Effect != nil || bad.Lines[0].Says != "" || bad.Standard == nil {
			t.Errorf("faults %s, %+v", got, bad)
		}
		if broken := check(map[string]any{"yaml": "id: ["}); len(broken.Faults) != 1 || broken.Faults[0].Line != 1 || broken.Standard != nil {
			t.Errorf("no YAML: %+v", broken)
		}
		if named := check(map[string]any{"yaml": strings.Replace(secondStandard, "Our own", "For MRN 4432187", 1)}); len(named.Faults) != 1 || named.Faults[0].Field != "title" || named.Faults[0].Line != 2 {
			t.Errorf("a patient in the title: %+v", named.Faults)
		}
		form := competency.ExampleStandard()
		form.Version, form.Requirements[0].AtLeast = 2, 15
		formed := check(map[string]any{"yaml": string(competency.ExampleStandardYAML()), "standard": form})
		if len(formed.Changes) != 1 || formed.Changes[0].Requirement != "biatrial-cases" || !strings.Contains(formed.YAML, "# The lower limit is that") || !strings.Contains(formed.YAML, "at_least: 15") {
			t.Errorf("from a form: %+v\n%s", formed.Changes, formed.YAML)
		}
		w.unchanged(before, "checks")
	})
}

// TestAddStandardScreens: neither title nor note nor a comment may name a patient.
func TestAddStandardScreens(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	before := w.state()
	for field, text := range map[string]string{
		"body.yaml.title": strings.Replace(secondStandard, "Our own", "For MRN 4432187", 1), "body.yaml.note": strings.Replace(secondStandard, "version:", "note: Because of MRN 4432187.\nversion:", 1),
		"body.yaml": strings.Replace(secondStandard, "requirements:", "requirements: # as for MRN 4432187", 1),
	} {
		got := w.as("amara").do("POST", in("/standards"), map[string]string{"yaml": text, "in_force_from": "2026-07-01"}).want(422)
		if !strings.Contains(string(got.body), `"`+field+`"`) {
			t.Errorf("%s: %s", field, got.body)
		}
	}
	w.unchanged(before, "refused standards")
}

// TestStandardAsksForTopicsWithQuestions: a topic that no live question is about is refused with its place and what there is to choose from.
func TestStandardAsksForTopicsWithQuestions(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	before := w.state()
	asks := "id: own\ntitle: Our own\nversion: 2\nrequirements:\n  - {id: one, kind: quiz, topics: [lines, knots], attempt: best, at_least: 1}\n"
	var check service.StandardCheck
	w.as("amara").do("POST", in("/standards/check"), map[string]any{"yaml": asks, "in_force_from": "2026-07-01"}).want(200).into(&check)
	if len(check.Faults) != 1 || check.Faults[0].Field != "requirements[0].topics[1]" || check.Faults[0].Line != 5 || !strings.Contains(check.Faults[0].Message, `about "knots": write some first, or choose among af-mechanisms, aftercare,`) || check.Effect != nil {
		t.Errorf("faults %+v", check.Faults)
	}
	refused := w.as("amara").do("POST", in("/standards"), map[string]string{"yaml": asks, "in_force_from": "2026-07-01"})
	if faults := refused.want(422).problem().Errors; len(faults) != 1 || faults[0].Location != "body.yaml.requirements[0].topics[1]" {
		t.Errorf("added: %+v", faults)
	}
	w.unchanged(before, "a topic without questions")
	w.as("amara").do("POST", in("/standards"), map[string]string{"yaml": strings.Replace(asks, "knots", "energy", 1), "in_force_from": "2026-07-01"}).want(201)
}

// TestCompareStandards: every member reads what differs between two versions.
func TestCompareStandards(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	w.as("amara").do("POST", in("/standards"), map[string]string{"yaml": secondStandard, "in_force_from": "2026-07-01"}).want(201)
	var d service.StandardDifferences
	w.as("ines").do("GET", in("/standards/2/differences?before=1"), nil).want(200).into(&d)
	if d.Before.Version != 1 || !d.Before.Example || d.After.Version != 2 || len(d.Changes) != 6 || d.Changes[0].Change != "added" || len(d.Same) != 0 {
		t.Errorf("differences %+v", d)
	}
	w.as("ines").do("GET", in("/standards/1/differences?before=1"), nil).want(200).into(&d)
	if len(d.Changes) != 0 || len(d.Same) != 5 {
		t.Errorf("the same differs: %+v", d)
	}
	w.as("ines").do("GET", in("/standards/2/differences?before=9"), nil).want(404)
	w.as("ines").do("GET", in("/standards/2/differences"), nil).want(200).into(&d)
	if d.Before.Version != 1 || d.After.Version != 2 {
		t.Errorf("without a version to compare with: %+v", d)
	}
	w.as("ines").do("GET", in("/standards/1/differences"), nil).want(404)
}
