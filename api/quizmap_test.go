package api

import (
	"slices"
	"strings"
	"testing"
	"time"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/assessment/atrium"
	"isthmus/assessment/question"
)

// TestQuizOnMap: questions on the map are refused what is no drawing, marked with the rest, told with a drawing that is right, counted in
// what is known, come back in the daily set when missed, and are told a record store as points alone.
func TestQuizOnMap(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		var view service.QuizView
		var path, tag string
		place := -1
		for place < 0 { // a form of eight can lack them
			var made *reply
			view, made = w.quizzed("ines", "test", "lines")
			path, tag = made.header.Get("Location"), made.etag()
			if place = slices.IndexFunc(view.Places, func(p service.QuizPlace) bool { return p.Question.Kind == question.OnMap }); place < 0 {
				w.as("ines").do("POST", path+"/submit", nil, "If-Match", tag).want(200)
			}
		}
		asked := view.Places[place].Question
		if asked.Map == nil || asked.Map.Draw == question.Point || asked.Map.Shown.Lesions == nil || strings.Contains(string(w.as("ines").do("GET", path, nil).want(200).body), "misses") {
			t.Errorf("asked %+v", asked.Map)
		}
		for field, given := range map[string]question.Given{
			"body.replies[0].given.path":      {Path: []atrium.Vec{{0, 0, 1}}},
			"body.replies[0].given.path[1]":   {Path: []atrium.Vec{{0, 0, 1}, {0, 0, 0}, {0, 1, 0}}},
			"body.replies[0].given.chosen[0]": {Chosen: []string{"1"}},
		} {
			got := w.as("ines").do("PUT", path+"/replies", map[string]any{"replies": []question.Change{{Place: place + 1, Given: given}}}, "If-Match", tag).want(422)
			if p := got.problem(); len(p.Errors) == 0 || p.Errors[0].Location != field {
				t.Errorf("%v: %+v, want a fault of %s", given, p.Errors, field)
			}
		}
		replies := w.rightly(view.ID, 8)
		right := replies[place].Given.Path
		wrong := []atrium.Vec{{0.05, 0.1, 1}, {0.1, 0.1, 1}, {0.1, 0.05, 1}}
		replies[place].Given.Path = wrong // neither a line nor a ring there does anything asked for
		saved := w.as("ines").do("PUT", path+"/replies", map[string]any{"replies": replies}, "If-Match", tag).want(200)
		w.tellsNoKey(saved, view.ID)
		w.as("ines").do("POST", path+"/submit", nil, "If-Match", saved.etag()).want(200).into(&view)
		told := view.Places[place].Told
		if view.Result.Right != 7 || told == nil || told.Right || len(told.Says) == 0 || !slices.Equal(told.Path, right) || !slices.Equal(view.Places[place].Given.Path, wrong) {
			t.Errorf("result %+v, told %+v, want a drawing that is right: %v", view.Result, told, right)
		}
		var known service.Knowledge
		w.as("ines").do("GET", in("/trainees/ines/knowledge"), nil).want(200).into(&known)
		if len(known.Topics) != 1 || known.Topics[0].N != 8 || known.Topics[0].Right != 7 {
			t.Errorf("knows %+v, want 7 of 8", known.Topics)
		}
		statements := string(w.as("amara").do("GET", in("/exports/xapi"), nil).want(200).body)
		if !strings.Contains(statements, `"raw":7,"min":0,"max":8`) || strings.Contains(statements, `"path"`) || strings.Contains(statements, `"given"`) {
			t.Errorf("told a record store: %.2000s", statements)
		}
		w.clock.advance(24 * time.Hour)
		w.clients = map[string]*client{}
		daily, _ := w.quizzed("ines", "daily", "")
		if !slices.ContainsFunc(daily.Places, func(p service.QuizPlace) bool { return p.Question.Stem == asked.Stem && p.Question.Map != nil }) {
			t.Errorf("what was missed on the map does not come back the day after: %d questions", len(daily.Places))
		}
	})
}
