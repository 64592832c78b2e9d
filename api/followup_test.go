package api

import (
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/competency"
)

// monthThree is a follow-up with sinus rhythm and a day of recording.
func monthThree() competency.FollowUp {
	return competency.FollowUp{
		Month: 3, Rhythm: "sinus", Monitoring: "ambulatory", MonitoringHours: 24, Arrhythmia: "none", Antiarrhythmic: "none", Repeat: []string{}, Stroke: "none",
	}
}

// keyOf is a case key of one digit over and over.
func keyOf(digit string) string { return strings.Repeat(digit, 64) }

// inAutumn is the world with a case of ines of 28 May, supervised by mei and never signed, 100 days later.
func inAutumn(t *testing.T, db *store.Store) (w *world, path string) {
	w = newWorld(t, db)
	path, _ = w.submitted(biatrial())
	w.clock.advance(100 * 24 * time.Hour)
	w.clients = map[string]*client{}
	return w, path
}

type followUpOf struct {
	ID       string              `json:"id,omitempty"`
	FollowUp competency.FollowUp `json:"follow_up"`
	Reason   string              `json:"reason,omitempty"`
}

// TestFollowUps records a follow-up, sends it again, amends it, and reads all of it.
func TestFollowUps(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w, path := inAutumn(t, db)
		ines := w.as("ines")
		sent := followUpOf{ID: uuid.Must(uuid.NewV7()).String(), FollowUp: monthThree()}
		var view service.FollowUpView
		made := ines.do("POST", path+"/follow-ups", sent).want(201).into(&view)
		if view.Freedom != competency.FreeOffDrugs || view.RuleVersion != 1 || !strings.Contains(view.FreedomReason, "24 hours") || string(view.ID) != sent.ID || view.Caution == "" {
			t.Errorf("recorded %+v", view)
		}
		before := w.state()
		ines.do("POST", path+"/follow-ups", sent).want(201)
		w.unchanged(before, "sending it again")
		other := sent
		other.FollowUp.Stroke = "transient"
		ines.do("POST", path+"/follow-ups", other).want(409)
		other.ID = ""
		if p := ines.do("POST", path+"/follow-ups", other).want(422).problem(); p.Errors[0].Location != "body.follow_up.month" {
			t.Errorf("a second one of the month: %+v", p)
		}
		w.unchanged(before, "other content")
		amend := path + "/follow-ups/" + sent.ID + "/amendments"
		wrong := followUpOf{FollowUp: monthThree(), Reason: "The recording showed an episode."}
		wrong.FollowUp.Arrhythmia = "over-30-s"
		ines.do("POST", amend, wrong).want(428)
		w.as("mei").do("POST", amend, wrong, "If-Match", made.etag()).want(200).into(&view)
		if view.Version != 2 || view.Freedom != competency.Recurred || len(view.Earlier) != 1 || view.Earlier[0].Freedom != competency.FreeOffDrugs || view.ByName != "Mei" || view.Reason != wrong.Reason {
			t.Errorf("amended %+v", view)
		}
		ines.do("POST", amend, wrong, "If-Match", made.etag()).want(412)
		ines.do("POST", amend, followUpOf{FollowUp: monthThree()}, "If-Match", `"2"`).want(422)
		var all service.CaseFollowUps
		ines.do("GET", path+"/follow-ups", nil).want(200).into(&all)
		if len(all.Items) != 1 || len(all.Schedule) != 7 || all.Schedule[0].State != competency.DueDone || all.Schedule[1].State != competency.DueLater || len(all.May) != 2 || all.Rule.BlankingDays != 90 {
			t.Errorf("all of it: %+v", all)
		}
	})
}

// TestFollowUpRefusals: who may not, what is wrong, and what is no followed case.
func TestFollowUpRefusals(t *testing.T) {
	w, path := inAutumn(t, storetest.Open(t, sqlite))
	before := w.state()
	for who, status := range map[string]int{"kofi": 403, "leila": 403, "amara": 403, "jonas": 403, "yuki": 403, "stranger": 404} {
		w.as(who).do("POST", path+"/follow-ups", followUpOf{FollowUp: monthThree()}).want(status)
		w.as(who).do("POST", path+"/key", map[string]string{"case_key": keyOf("a")}).want(status)
	}
	for who, status := range map[string]int{"ines": 200, "mei": 200, "amara": 200, "yuki": 403, "kofi": 403, "leila": 403, "jonas": 403} { // yuki's invitation ended in August
		w.as(who).do("GET", path+"/follow-ups", nil).want(status)
	}
	for field, change := range map[string]func(*competency.FollowUp){
		"body.follow_up.note":   func(f *competency.FollowUp) { f.Note = "Mr Peter Maple, MRN 1234567" },
		"body.follow_up.month":  func(f *competency.FollowUp) { f.Month = 6 },
		"body.follow_up.rhythm": func(f *competency.FollowUp) { f.Rhythm = "fine" },
	} {
		sent := followUpOf{FollowUp: monthThree()}
		change(&sent.FollowUp)
		if p := w.as("ines").do("POST", path+"/follow-ups", sent).want(422).problem(); p.Errors[0].Location != field {
			t.Errorf("%s: %+v", field, p)
		}
	}
	w.unchanged(before, "what was refused")
	draft := w.draft(biatrial()).header.Get("Location")
	w.as("ines").do("POST", draft+"/follow-ups", followUpOf{FollowUp: monthThree()}).want(409)
}

// TestDueFollowUps: everybody sees what is due of the cases that concern them; the coordinator dates only.
func TestDueFollowUps(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w, path := inAutumn(t, db)
		other := biatrial()
		other.OperatedOn = "2026-03-02"
		made := w.draft(other)
		w.as("ines").do("POST", made.header.Get("Location")+"/submission", nil, "If-Match", made.etag()).want(200)
		due := func(who, query string) service.List[service.DueFollowUp] {
			t.Helper()
			var list service.List[service.DueFollowUp]
			w.as(who).do("GET", in("/follow-ups"+query), nil).want(200).into(&list)
			return list
		}
		for who, n := range map[string]int{"ines": 2, "mei": 2, "amara": 2, "jonas": 2, "kofi": 0, "leila": 0} {
			list := due(who, "")
			if len(list.Items) != n {
				t.Errorf("%s: %+v", who, list.Items)
				continue
			}
			if n == 0 {
				continue
			}
			if first := list.Items[0]; first.OperatedOn != "2026-03-02" || first.Due[0].State != competency.DueLate || first.DaysLate == 0 || first.TraineeName != "Ines" || (first.Operation == "") != (who == "jonas") {
				t.Errorf("%s: first %+v", who, first)
			}
		}
		if list := due("ines", "?state=due"); len(list.Items) != 2 || list.Items[0].Due[0].Month != 3 {
			t.Errorf("due: %+v", list.Items)
		}
		first := due("ines", "?limit=1")
		if second := due("ines", "?limit=1&after="+strings.ReplaceAll(first.Next, " ", "%20")); len(first.Items) != 1 || len(second.Items) != 1 || second.Next != "" || first.Items[0].Case == second.Items[0].Case {
			t.Errorf("pages: %+v, %+v", first, second)
		}
		w.as("ines").do("POST", path+"/follow-ups", followUpOf{FollowUp: monthThree()}).want(201)
		if list := due("ines", "?state=due"); len(list.Items) != 1 {
			t.Errorf("after the follow-up still due: %+v", list.Items)
		}
		w.as("yuki").do("GET", in("/follow-ups"), nil).want(403)
	})
}

// TestCaseKey: a case is found again by the key that its person gave it, by nobody who may not open it, and the record number is refused.
func TestCaseKey(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w, path := inAutumn(t, db)
		find := func(who, key string) int {
			t.Helper()
			var list service.List[service.CaseSummary]
			w.as(who).do("POST", in("/case-search"), map[string]string{"case_key": key}).want(200).into(&list)
			return len(list.Items)
		}
		w.as("ines").do("POST", path+"/key", map[string]string{"case_key": "MRN 1234567"}).want(422)
		w.as("ines").do("POST", in("/case-search"), map[string]string{"case_key": "1234567"}).want(422)
		var view service.CaseFollowUps
		w.as("ines").do("POST", path+"/key", map[string]string{"case_key": keyOf("a")}).want(200).into(&view)
		if !view.HasKey || find("ines", keyOf("a")) != 1 || find("mei", keyOf("a")) != 1 || find("kofi", keyOf("a")) != 0 || find("leila", keyOf("a")) != 0 {
			t.Errorf("found by the wrong people: %+v", view)
		}
		w.as("ines").do("POST", path+"/key", map[string]string{"case_key": keyOf("b")}).want(200)
		if find("ines", keyOf("a")) != 0 || find("ines", keyOf("b")) != 1 {
			t.Error("a mistyped number is not replaced")
		}
		keyed := followUpOf{FollowUp: monthThree()}
		keyed.FollowUp.CaseKey = keyOf("c")
		var recorded service.FollowUpView
		w.as("mei").do("POST", path+"/follow-ups", keyed).want(201).into(&recorded)
		if recorded.FollowUp.CaseKey != "" || find("mei", keyOf("c")) != 1 || find("ines", keyOf("b")) != 1 {
			t.Errorf("keyed with the follow-up: %+v", recorded)
		}
		w.as("jonas").do("POST", in("/case-search"), map[string]string{"case_key": keyOf("a")}).want(403)
		if strings.Contains(w.log.String(), keyOf("a")) {
			t.Error("the case key is in the log")
		}
	})
}
