package api

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/assessment/question"
	"isthmus/competency"
)

// ownTest is a test drawn by topic.
func ownTest() map[string]any {
	return map[string]any{"plan": map[string]any{"title": "Entry", "minutes": 10, "rows": []map[string]any{{"topic": "lines", "items": 3}}}}
}

// fixedTest is a fixed form of two questions of the starter bank.
func fixedTest() (map[string]any, []question.Item) {
	var items []question.Item
	refs := []map[string]any{}
	for _, it := range question.Starter().Items() {
		if it.Kind == question.SingleBest && len(items) < 2 {
			items = append(items, it)
			refs = append(refs, map[string]any{"item": it.ID, "version": it.Version})
		}
	}
	return map[string]any{"plan": map[string]any{"title": "Two questions", "minutes": 5, "fixed": refs}}, items
}

// published is a live test of amara's.
func (w *world) published(body any) (service.TestView, string) {
	w.Helper()
	var view service.TestView
	made := w.as("amara").do("POST", in("/tests"), body).want(201)
	w.as("amara").do("POST", made.header.Get("Location")+"/publish", nil, "If-Match", made.etag()).want(200).into(&view)
	return view, made.header.Get("Location")
}

// panelled is a live test with an open panel: their ids.
func (w *world) panelled() (test, panel string) {
	w.Helper()
	body, _ := fixedTest()
	view, path := w.published(body)
	var called service.PanelView
	w.as("amara").do("POST", path+"/panels", `{"method":"angoff","judges":["mei"]}`).want(201).into(&called)
	return string(view.Head.ID), string(called.ID)
}

// attempt is an attempt as it is kept, keys and all.
func (w *world) attempt(id competency.QuizID) store.Quiz {
	w.Helper()
	var kept store.Quiz
	w.must(w.store.Read(w.Context(), func(tx *store.Tx) (err error) {
		kept, err = tx.QuizByID(north, id)
		return err
	}))
	return kept
}

// TestPanelSetsCut walks a test from draft to an attempt that keeps the mark of its panel.
func TestPanelSetsCut(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		body, items := fixedTest()
		name := func(i int) string { return fmt.Sprintf("%s/%d", items[i].ID, items[i].Version) }
		made := w.as("mei").do("POST", in("/tests"), body).want(201) // faculty propose
		path := made.header.Get("Location")
		w.as("mei").do("POST", path+"/publish", nil, "If-Match", made.etag()).want(403)
		w.as("ines").do("GET", path, nil).want(403)
		w.as("ines").do("GET", in("/tests"), nil).want(403)
		live := w.as("amara").do("POST", path+"/publish", nil, "If-Match", made.etag()).want(200)
		w.as("amara").do("PUT", path, body, "If-Match", live.etag()).want(409)

		// Before a panel: the example, and it says so.
		var offers service.QuizOffers
		w.as("ines").do("GET", in("/quiz-offers"), nil).want(200).into(&offers)
		if o := offers.Tests[0]; o.Title != "Two questions" || o.Minutes != 5 || o.Cut != question.ExampleCut || o.CutFrom.From != question.FromExample {
			t.Errorf("offered: %+v", o)
		}
		start := map[string]any{"mode": "test", "test": offers.Tests[0].Test}
		var early service.QuizView
		begun := w.as("ines").do("POST", in("/quizzes"), start).want(201)
		begun.into(&early)
		w.as("ines").do("GET", path, nil).want(403)

		w.as("mei").do("POST", path+"/panels", `{"method":"angoff","judges":["mei"]}`).want(403)
		w.as("amara").do("POST", path+"/panels", `{"method":"angoff","judges":["ines"]}`).want(422)
		w.as("amara").do("POST", path+"/panels", `{"method":"angoff","judges":["mei"],"items":["lines"]}`).want(422)
		w.as("amara").do("POST", path+"/panels", `{"method":"lot","judges":["mei"]}`).want(422)
		called := w.as("amara").do("POST", path+"/panels", `{"method":"angoff","judges":["mei","leila"]}`).want(201)
		panel := called.header.Get("Location")
		tag := called.etag()
		rate := func(who string, a, b int) {
			t.Helper()
			w.as(who).do("PUT", panel+"/ratings", map[string]any{"ratings": map[string]int{name(0): a}}).want(200)
			w.as(who).do("PUT", panel+"/ratings", map[string]any{"ratings": map[string]int{name(1): b}}).want(200)
		}
		w.as("amara").do("POST", panel+"/close", nil, "If-Match", tag).want(409) // nobody has rated
		w.as("amara").do("PUT", panel+"/ratings", map[string]any{"ratings": map[string]int{name(0): 5}}).want(403)
		w.as("ines").do("GET", panel, nil).want(403)
		w.as("ines").do("PUT", panel+"/ratings", `{"ratings":{}}`).want(403)
		w.as("mei").do("PUT", panel+"/ratings", `{"ratings":{"other/1":5}}`).want(422)
		w.as("mei").do("PUT", panel+"/ratings", map[string]any{"ratings": map[string]int{name(0): 101}}).want(422)

		// Alone and blind: neither another judge nor the director sees a rating of the open round.
		rate("mei", 37, 61)
		var seen service.PanelView
		for _, who := range []string{"leila", "amara"} {
			got := w.as(who).do("GET", panel, nil).want(200)
			got.into(&seen)
			if seen.Own != nil || len(seen.Rounds) > 0 || strings.Contains(string(got.body), "37") && strings.Contains(string(got.body), `"ratings":{`) || seen.Progress[0].Rated != 2 {
				t.Errorf("%s sees %s", who, got.body)
			}
		}
		if seen.Questions[0].Item.Key == nil {
			t.Error("judges rate without the key")
		}
		rate("leila", 83, 65)
		closed := w.as("amara").do("POST", panel+"/close", nil, "If-Match", tag).want(200)
		w.as("amara").do("POST", panel+"/close", nil, "If-Match", tag).want(412)
		w.as("mei").do("GET", panel, nil).want(200).into(&seen)
		if first := seen.Rounds[0]; len(seen.Rounds) != 1 || first.Items[0].Mean != 60 || !first.Items[0].Discuss || first.Items[1].Discuss || len(first.Judges) != 1 || seen.Own.Ratings[name(0)] != 37 || seen.Round != 2 {
			t.Errorf("mei sees %+v", seen)
		}
		rate("mei", 55, 61)
		w.as("amara").do("POST", panel+"/adopt", `{"reason":"Too early."}`, "If-Match", closed.etag()).want(409)
		over := w.as("amara").do("POST", panel+"/close", nil, "If-Match", closed.etag()).want(200)
		over.into(&seen)
		// Marks 58 and 74: mean 66, error 8.
		if r := seen.Result; r == nil || r.Percent != 66 || *r.SE < 7.99 || *r.SE > 8.01 || !slices.Contains(seen.May, "adopt") || len(seen.Rounds[1].Judges) != 2 {
			t.Fatalf("result: %s", over.body)
		}
		w.as("mei").do("PUT", panel+"/ratings", `{"ratings":{}}`).want(409)
		w.as("mei").do("POST", panel+"/adopt", `{"reason":"I say so."}`, "If-Match", over.etag()).want(403)
		w.as("amara").do("POST", panel+"/adopt", `{"reason":"Agreed upon."}`, "If-Match", over.etag()).want(200)
		w.as("amara").do("POST", panel+"/adopt", `{"reason":"Once more."}`, "If-Match", over.etag()).want(409)

		// Attempts begun before keep theirs; the next one gets the panel's.
		var after service.QuizView
		w.as("ines").do("POST", begun.header.Get("Location")+"/submit", nil, "If-Match", begun.etag()).want(200).into(&after)
		if after.Cut != question.ExampleCut || after.CutFrom.From != question.FromExample || after.Passed == nil || *after.Passed {
			t.Errorf("begun before: %+v", after.QuizSummary)
		}
		second := w.as("kofi").do("POST", in("/quizzes"), start).want(201)
		if second.into(&after); after.Cut != 66 || after.CutFrom.From != question.FromAngoff || after.CutFrom.Judges != 2 || after.CutFrom.Panel != string(seen.ID) || after.Test.Version != 1 || after.Title != "Two questions" {
			t.Errorf("begun after: %+v", after.QuizSummary)
		}
		if strings.Contains(string(second.body), `"key"`) || strings.Contains(string(second.body), "ratings") {
			t.Errorf("a trainee is told: %s", second.body)
		}
		var results service.TestResults
		w.as("mei").do("GET", path+"/results", nil).want(403)
		w.as("amara").do("GET", path+"/results", nil).want(200).into(&results)
		if results.People != 1 || results.Attempts != 1 || results.Passed != 0 || *results.High < 0.5 || results.Chart.Check() != nil || len(results.Behind) != 1 || results.Behind[0].Name == "" || results.Behind[0].Passed || results.Cut.Percent != 66 {
			t.Errorf("results: %+v", results)
		}
		// A new version begins with the example again; a retired test is not offered.
		var view service.TestView
		revised := w.as("mei").do("POST", path+"/revise", nil, "If-Match", live.etag()).want(200)
		again := w.as("amara").do("POST", path+"/publish", nil, "If-Match", revised.etag()).want(200)
		if again.into(&view); view.Head.Cut.From != question.FromExample || len(view.Versions) != 2 || view.Versions[1].Cuts[0].Percent != 66 || view.Versions[1].Cuts[0].Reason != "Agreed upon." {
			t.Errorf("revised: %+v", view)
		}
		w.as("amara").do("POST", path+"/retire", `{"reason":"Too easy."}`, "If-Match", again.etag()).want(200)
		w.as("stranger").do("POST", in("/quizzes"), start).want(404)
		w.as("ines").do("POST", in("/quizzes"), start).want(422)
	})
}

// TestCutOfDrawnForm holds that a form whose questions were all rated has the mean of their ratings, another the test's mark, and that
// Hofstee's method refuses without scores.
func TestCutOfDrawnForm(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	var chosen []question.ItemID
	rated := map[string]float64{}
	for _, it := range question.Starter().Items() {
		if it.Topic == "lines" {
			chosen = append(chosen, it.ID)
			rated[fmt.Sprintf("%s/%d", it.ID, it.Version)] = float64(10 + 3*len(chosen))
		}
	}
	_, path := w.published(ownTest())
	set := func(items []question.ItemID) {
		t.Helper()
		called := w.as("amara").do("POST", path+"/panels", map[string]any{"method": "angoff", "judges": []string{"mei"}, "items": items}).want(201)
		panel := called.header.Get("Location")
		some := map[string]float64{}
		for _, id := range items {
			it, _ := question.Starter().Item(id)
			some[fmt.Sprintf("%s/%d", id, it.Version)] = rated[fmt.Sprintf("%s/%d", id, it.Version)]
		}
		w.as("mei").do("PUT", panel+"/ratings", map[string]any{"ratings": some}).want(200)
		first := w.as("amara").do("POST", panel+"/close", nil, "If-Match", called.etag()).want(200)
		second := w.as("amara").do("POST", panel+"/close", nil, "If-Match", first.etag()).want(200)
		w.as("amara").do("POST", panel+"/adopt", `{"reason":"Agreed upon."}`, "If-Match", second.etag()).want(200)
	}
	set(chosen)
	var offers service.QuizOffers
	w.as("ines").do("GET", in("/quiz-offers"), nil).want(200).into(&offers)
	start := map[string]any{"mode": "test", "test": offers.Tests[0].Test}
	var quiz service.QuizView
	begun := w.as("ines").do("POST", in("/quizzes"), start).want(201)
	begun.into(&quiz)
	kept := w.attempt(quiz.ID)
	mean := 0.0
	for _, it := range kept.Items {
		mean += rated[fmt.Sprintf("%s/%d", it.ID, it.Version)] / float64(len(kept.Items))
	}
	if !quiz.CutFrom.Drawn || quiz.Cut < mean-1e-9 || quiz.Cut > mean+1e-9 || quiz.CutFrom.SE != nil || quiz.CutFrom.Judges != 1 {
		t.Errorf("the mark is %+v, want the mean %g of %d ratings", quiz.CutFrom, mean, len(kept.Items))
	}
	set(chosen[:1]) // three are drawn: never all of them
	quiz = service.QuizView{}
	w.as("kofi").do("POST", in("/quizzes"), start).want(201).into(&quiz)
	if quiz.CutFrom.Drawn || quiz.Cut != 13 {
		t.Errorf("the mark is %+v, want the test's", quiz.CutFrom)
	}
	called := w.as("amara").do("POST", path+"/panels", `{"method":"hofstee","judges":["mei"]}`).want(201)
	panel := called.header.Get("Location")
	w.as("mei").do("PUT", panel+"/ratings", `{"limits":{"least_mark":50,"highest_mark":70,"least_fail":0,"highest_fail":30}}`).want(200)
	refused := w.as("amara").do("POST", panel+"/close", nil, "If-Match", called.etag()).want(409)
	if !strings.Contains(refused.problem().Detail, "at least 10") {
		t.Errorf("refused with %+v", refused.problem())
	}
	w.as("amara").do("POST", panel+"/withdraw", `{"reason":"Nobody has sat it."}`, "If-Match", called.etag()).want(200)
}
