package api

import (
	"strings"
	"testing"
	"time"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/competency"
)

// TestOutcomes: one signed case with an arrhythmia at month 3, as of today and before it was known; too little for any curve, and said so.
// What may leave names no case. Who may read the cohort may read it, nobody else.
func TestOutcomes(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		path, _ := w.signedCase()
		w.clock.advance(100 * 24 * time.Hour)
		w.clients = map[string]*client{}
		again := monthThree()
		again.Arrhythmia = "over-30-s"
		w.as("ines").do("POST", path+"/follow-ups", followUpOf{FollowUp: again}).want(201)
		today := competency.DayOf(w.clock.Now())
		w.clock.advance(24 * time.Hour)
		w.clients = map[string]*client{}
		var view service.Outcomes
		w.as("amara").do("GET", in("/outcomes"), nil).want(200).into(&view)
		if view.Operations != 1 || view.Month != 12 || view.Least != 5 || view.Causal == "" || view.Caution == "" || len(view.Cases) != 1 || !strings.HasSuffix(path, string(view.Cases[0].Case)) ||
			view.Cases[0].SupervisorName != "Mei" || view.Cases[0].Freedom.Event != "arrhythmia" || view.Cases[0].Freedom.Month != 3 {
			t.Errorf("outcomes %+v", view)
		}
		first := view.Completeness[0]
		if first.Due != 1 || first.Done != 1 || !strings.HasPrefix(first.Says, "1 of 1 follow-ups due by the day") {
			t.Errorf("completeness %+v", first)
		}
		if g := view.Scopes.Groups[0]; g.ID != "biatrial" || g.Events != 1 || g.Refused == "" || view.Scopes.Chart != nil || view.Scopes.Refused == "" || view.BySite.Refused == "" || view.Running.Refused == "" {
			t.Errorf("of one case %+v", view.Scopes)
		}
		w.as("amara").do("GET", in("/outcomes?on="+string(today.Add(-1))), nil).want(200).into(&view)
		if view.Cases[0].Freedom.Known || view.Completeness[0].Done != 0 {
			t.Errorf("before it was known %+v", view.Cases[0])
		}
		for query, n := range map[string]int{"?year=2026": 1, "?year=2025": 0, "?site=Main+site": 1, "?site=Elsewhere": 0, "?pattern=persistent": 1, "?pattern=paroxysmal": 0, "?month=6": 1} {
			view = service.Outcomes{}
			if w.as("amara").do("GET", in("/outcomes"+query), nil).want(200).into(&view); view.Operations != n {
				t.Errorf("%s gives %d operations, want %d", query, view.Operations, n)
			}
		}
		reply := w.as("amara").do("GET", in("/outcomes?outside=true"), nil).want(200)
		if id := path[strings.LastIndex(path, "/")+1:]; strings.Contains(string(reply.body), id) {
			t.Errorf("what may leave names a case: %s", reply.body)
		}
		for query, field := range map[string]string{"?month=5": "query.month", "?on=2027-01-01": "query.on", "?on=soon": "query.on"} {
			if p := w.as("amara").do("GET", in("/outcomes"+query), nil).want(422).problem(); p.Errors[0].Location != field {
				t.Errorf("%s: %+v", query, p)
			}
		}
		for who, status := range map[string]int{"ruth": 200, "yuki": 403, "ines": 403, "mei": 403, "jonas": 403, "oskar": 403, "stranger": 404} {
			w.as(who).do("GET", in("/outcomes"), nil).want(status)
		}
	})
}
