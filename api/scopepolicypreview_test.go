package api

import (
	"testing"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
)

// TestScopePolicyPreview: the director sees which letters a policy would change before it is in force; trying it out keeps nothing.
func TestScopePolicyPreview(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		before := w.state()
		same := map[string]any{"policy": ownPolicy(3)}
		for _, who := range []string{"ines", "mei", "jonas", "ruth"} {
			w.as(who).do("POST", in("/scope-policies/preview"), same).want(403)
		}
		var preview service.PolicyPreview
		w.as("amara").do("POST", in("/scope-policies/preview"), same).want(200).into(&preview)
		if len(preview.Changed) != 0 || preview.Graded == 0 || preview.InForce != "default" || preview.Caution == "" {
			t.Errorf("the same rules under another name change %d of %d answers", len(preview.Changed), preview.Graded)
		}
		harder := ownPolicy(3)
		for i := range harder.Letters {
			if harder.Letters[i].Letter == "A+" {
				harder.Letters[i].AtLeast = 100
			}
		}
		harder.Caps.AtMinimum = "D"
		w.as("amara").do("POST", in("/scope-policies/preview"), map[string]any{"policy": harder}).want(200).into(&preview)
		if len(preview.Changed) == 0 {
			t.Fatal("a harder policy changes nothing")
		}
		for _, one := range preview.Changed {
			if one.Before == one.After || one.After.Letter.Rank() > one.Before.Letter.Rank() || one.Title == "" || one.Answer == "" || one.Wanted == "" {
				t.Errorf("changed %+v", one)
			}
		}
		broken := ownPolicy(3)
		broken.Weights = nil
		problem := w.as("amara").do("POST", in("/scope-policies/preview"), map[string]any{"policy": broken}).want(422).problem()
		if len(problem.Errors) == 0 || problem.Errors[0].Location != "body.policy.weights.scope" {
			t.Errorf("a broken policy: %+v", problem)
		}
		w.as("amara").do("POST", in("/scope-policies/preview"), map[string]any{"policy": harder, "after": "nothing-here"}).want(404)
		var more service.PolicyPreview
		w.as("amara").do("POST", in("/scope-policies/preview"), map[string]any{"policy": harder, "after": preview.Next}).want(200).into(&more)
		if more.Done <= preview.Done || more.Of != preview.Of || more.Changed[0].Scenario == preview.Changed[0].Scenario {
			t.Errorf("the next part ends at %d of %d scenarios, the first at %d", more.Done, more.Of, preview.Done)
		}
		more = service.PolicyPreview{}
		w.as("amara").do("POST", in("/scope-policies/preview"), map[string]any{"policy": harder, "check": true}).want(200).into(&more)
		if more.Graded != 0 || more.Of != preview.Of {
			t.Errorf("only checking graded %d answers", more.Graded)
		}
		if after := w.state(); after["audit_entries"] != before["audit_entries"] {
			t.Errorf("a preview left %d entries", after["audit_entries"]-before["audit_entries"])
		}
	})
}
