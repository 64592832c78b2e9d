package api

import (
	"strings"
	"testing"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/competency"
)

// TestPatterns: a pattern keeps how one operates and nothing of a patient or a day, and is its owner's alone.
func TestPatterns(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		w := newWorld(t, s)
		body := map[string]any{"name": "Usual mitral", "record": biatrial()}
		var first, second store.CasePattern
		w.as("ines").do("POST", in("/case-patterns"), body).want(201).into(&first)
		if r := first.Record; r.OperatedOn != "" || r.Note != "" || r.AF.ContinuousMonths != 0 || r.Operation != "mitral" || len(r.Lesions) == 0 {
			t.Errorf("the pattern keeps %+v", first.Record)
		}
		w.as("ines").do("POST", in("/case-patterns"), body).want(201).into(&second)
		list := func(who string) []store.CasePattern {
			var page struct {
				Items []store.CasePattern `json:"items"`
			}
			w.as(who).do("GET", in("/case-patterns"), nil).want(200).into(&page)
			return page.Items
		}
		if mine := list("ines"); len(mine) != 1 || mine[0].ID != second.ID {
			t.Errorf("a second one of the same name leaves %+v", mine)
		}
		if others := list("kofi"); len(others) != 0 {
			t.Errorf("kofi sees %+v", others)
		}
		named := in("/case-patterns/" + second.ID)
		w.as("kofi").do("PUT", named, map[string]string{"name": "Mine"}).want(404)
		w.as("ines").do("PUT", named, map[string]string{"name": " "}).want(422)
		w.as("ines").do("PUT", named, map[string]string{"name": "Ms Halloran"}).want(422)
		w.as("ines").do("PUT", named, map[string]string{"name": "Mitral, biatrial"}).want(200)
		w.as("ines").do("POST", in("/case-patterns"), body).want(201)
		w.as("ines").do("PUT", named, map[string]string{"name": "Usual mitral"}).want(422)
		if mine := list("ines"); len(mine) != 2 || mine[0].ID != second.ID || mine[0].Name != "Mitral, biatrial" || len(mine[0].Record.Lesions) == 0 {
			t.Errorf("renamed, there are %+v", mine)
		}
		w.as("kofi").do("DELETE", in("/case-patterns/"+second.ID), nil).want(404)
		w.as("ines").do("POST", in("/case-patterns"), map[string]any{"name": "Mr Halloran", "record": biatrial()}).want(422)
		w.as("ines").do("DELETE", in("/case-patterns/"+second.ID), nil).want(204)
	})
}

// TestOneOperation: two trainees' cases of one operation are suggested, joined by an act of one of them, and what both claim alone is told
// to the supervisor and to neither of the two.
func TestOneOperation(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		w := newWorld(t, s)
		path, _ := w.submitted(biatrial())
		made := w.as("kofi").do("POST", in("/cases"), recordOf{biatrial()}).want(201)
		other := made.header.Get("Location")
		w.as("kofi").do("POST", other+"/submission", nil, "If-Match", made.etag()).want(200)
		id := func(path string) string { return path[strings.LastIndex(path, "/")+1:] }
		detail := func(who, path string) service.CaseDetail {
			var d service.CaseDetail
			w.as(who).do("GET", path, nil).want(200).into(&d)
			return d
		}
		shared := detail("ines", path).Shared
		if shared == nil || len(shared.Suggestions) != 1 || string(shared.Suggestions[0].Case) != id(other) || !shared.MayJoin {
			t.Fatalf("ines is told %+v", shared)
		}
		w.as("ines").do("POST", path+"/group", map[string]string{"with": "none"}).want(422)
		w.as("ines").do("POST", path+"/group", map[string]string{"with": id(other)}).want(200)
		if told := detail("ines", path).Shared; len(told.Members) != 1 || len(told.Overlaps) != 0 {
			t.Errorf("ines is told %+v", told)
		}
		seen := detail("mei", path).Shared
		if len(seen.Overlaps) == 0 || len(seen.Overlaps[0].Cases) != 2 {
			t.Errorf("the supervisor is told %+v", seen)
		}
		var list struct{ Items []service.CaseSummary }
		w.as("mei").do("GET", in("/cases"), nil).want(200).into(&list)
		for _, c := range list.Items {
			if c.Overlaps != len(seen.Overlaps) {
				t.Errorf("the list says %d, the case %d", c.Overlaps, len(seen.Overlaps))
			}
		}
		w.as("kofi").do("DELETE", other+"/group", nil).want(200)
		if left := detail("mei", path).Shared; left != nil && len(left.Members)+len(left.Overlaps) != 0 {
			t.Errorf("after leaving, %+v", left)
		}
		if report, err := s.VerifyAudit(t.Context()); err != nil || !report.Sound() {
			t.Errorf("joining and leaving break the audit trail: %+v, %v", report, err)
		}
	})
}

// TestAlike: a record with the date, site and operation of another of one's own is pointed at, never refused.
func TestAlike(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	path, _ := w.submitted(biatrial())
	var preview service.Preview
	w.as("ines").do("POST", in("/case-preview"), recordOf{biatrial()}).want(200).into(&preview)
	if len(preview.Alike) != 1 || !strings.HasSuffix(path, string(preview.Alike[0].Case)) || preview.RoleRule.Version != 1 {
		t.Errorf("%+v", preview.Alike)
	}
	w.as("ines").do("POST", in("/cases"), recordOf{biatrial()}).want(201)
}

// TestSettings: the director changes the role rule; the change is a new version, and cases say by which rule they were computed.
func TestSettings(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		w := newWorld(t, s)
		settings := competency.Defaults()
		settings.RoleRule.ShareOfSteps = 0.8
		change := map[string]any{"after": 0, "settings": settings, "reason": "The committee asked for more."}
		w.as("mei").do("POST", in("/settings-versions"), change).want(403)
		var view service.SettingsView
		w.as("amara").do("POST", in("/settings-versions"), change).want(201).into(&view)
		if view.Version != 1 || view.Settings.RoleRule.Version != 2 {
			t.Errorf("%+v", view)
		}
		w.as("amara").do("POST", in("/settings-versions"), change).want(412)
		change["after"] = 1
		w.as("amara").do("POST", in("/settings-versions"), change).want(422) // nothing would change
		settings.DatePrecision = competency.PrecisionMonth
		change["settings"] = settings
		w.as("amara").do("POST", in("/settings-versions"), change).want(422) // the dates on record have a precision
		path, _ := w.submitted(biatrial())
		var detail service.CaseDetail
		w.as("ines").do("GET", path, nil).want(200).into(&detail)
		if !strings.Contains(detail.Case.Computed.RoleReason, "role rule 2") {
			t.Errorf("the case says %q", detail.Case.Computed.RoleReason)
		}
		if why := detail.RoleAccounts; len(why) != 1 || why[0].Of != "trainee" || why[0].Rule.ShareOfSteps != 0.8 || len(why[0].Steps) != len(detail.Case.Record.Steps) {
			t.Errorf("the role is explained by %+v", why)
		}
		settings.DatePrecision, settings.RoleRule.KeySteps = competency.PrecisionDay, settings.RoleRule.KeySteps[:2]
		w.as("amara").do("POST", in("/settings-versions"), map[string]any{"after": 1, "settings": settings, "reason": "Fewer key steps."}).want(201)
		detail = service.CaseDetail{}
		w.as("ines").do("GET", path, nil).want(200).into(&detail)
		if why := detail.RoleAccounts; len(why) != 1 || why[0].Rule.Version != 2 || len(why[0].Rule.KeySteps) != len(competency.DefaultRoleRule().KeySteps) {
			t.Errorf("after another change the role is explained by %+v", why)
		}
		var versions struct{ Items []service.SettingsView }
		w.as("ines").do("GET", in("/settings-versions"), nil).want(200).into(&versions)
		if newest := versions.Items[0]; len(newest.Changes) != 1 || len(newest.Says) == 0 || len(versions.Items[2].Changes) != 0 {
			t.Errorf("the versions say %+v", versions.Items)
		}
		if len(versions.Items) != 3 || versions.Items[2].Settings.RoleRule.ShareOfSteps != 0.5 {
			t.Errorf("%+v", versions.Items)
		}
	})
}

// TestSettingsPreview: what settings would mean is said before they are set, faults and all, and nothing is kept.
func TestSettingsPreview(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	settings := competency.Defaults()
	settings.RoleRule.KeySteps = settings.RoleRule.KeySteps[:4]
	trial := map[string]any{"settings": settings}
	w.as("mei").do("POST", in("/settings-preview"), trial).want(403)
	var preview service.SettingsPreview
	w.as("amara").do("POST", in("/settings-preview"), trial).want(200).into(&preview)
	if len(preview.Changes) != 1 || len(preview.Changes[0].Removed) != 5 || len(preview.Says) < 6 {
		t.Errorf("%+v", preview)
	}
	differs := 0
	for _, one := range preview.Examples {
		if one.Before != one.After {
			differs++
		}
	}
	if differs != 1 {
		t.Errorf("%d examples come out otherwise, want the mitral line by the supervisor alone: %+v", differs, preview.Examples)
	}
	settings.RoleRule.ShareOfSteps, settings.Sites = 1.2, nil
	trial["settings"] = settings
	refused := w.as("amara").do("POST", in("/settings-preview"), trial).want(422)
	for _, field := range []string{"settings.role_rule.share_of_steps", "settings.sites"} {
		if !strings.Contains(string(refused.body), field) {
			t.Errorf("%s is not named in %s", field, refused.body)
		}
	}
	var versions struct{ Items []service.SettingsView }
	w.as("amara").do("GET", in("/settings-versions"), nil).want(200).into(&versions)
	if len(versions.Items) != 1 {
		t.Errorf("a preview kept %d versions", len(versions.Items)-1)
	}
}
