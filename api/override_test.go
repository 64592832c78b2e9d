package api

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/assessment"
	"isthmus/assessment/pack"
	"isthmus/competency"
	"isthmus/migrations"
)

// The words are the privacy screen's mistake: it takes the chamber for the name of a patient.
const (
	words = "patient Left Atrium"
	says  = "In this " + words + " tissue was thin."
	why   = "names the chamber of the heart"
)

// keeping is a body with an override of the words in a field.
func keeping(field string, body map[string]any) map[string]any {
	body["overrides"] = []competency.Override{{Field: field, Kind: competency.KindName, Excerpt: words, Reason: why}}
	return body
}

// stopped checks that a reply refuses the words in a field and says how they could stay.
func (r *reply) stopped(field string) {
	r.w.Helper()
	faults := r.want(422).problem().Errors
	if len(faults) != 1 || faults[0].Location != "body."+field || faults[0].Kind != competency.KindName || faults[0].Excerpt != words ||
		!faults[0].Keepable || !strings.Contains(faults[0].Message, "overrides") {
		r.w.Errorf("%s: %+v", r.request, faults)
	}
}

// overrides lists what amara sees.
func (w *world) overrides(query string) []service.OverrideView {
	w.Helper()
	var list service.List[service.OverrideView]
	w.as("amara").do("GET", in("/overrides"+query), nil).want(200).into(&list)
	return list.Items
}

// TestOverrideEverywhere: wherever free text is taken the words are stopped, stay with an override, and are on record without themselves.
func TestOverrideEverywhere(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		record := biatrial()
		record.Note = says
		ines, mei := w.as("ines"), w.as("mei")
		ines.do("POST", in("/cases"), map[string]any{"record": record}).stopped("record.note")
		made := ines.do("POST", in("/cases"), keeping("record.note", map[string]any{"record": record})).want(201)
		path := made.header.Get("Location")
		// What stands in the note already is not asked for again; a word more is.
		edited := ines.do("PUT", path, map[string]any{"record": record}, "If-Match", made.etag()).want(200)
		more := record
		more.Note += " Dr Maze agreed."
		if faults := ines.do("PUT", path, map[string]any{"record": more}, "If-Match", edited.etag()).want(422).problem().Errors; len(faults) != 1 || faults[0].Excerpt != "Dr Maze" {
			t.Errorf("a new finding: %+v", faults)
		}
		submitted := ines.do("POST", path+"/submission", nil, "If-Match", edited.etag()).want(200)
		mei.do("POST", path+"/return", map[string]any{"reason": says}, "If-Match", submitted.etag()).stopped("reason")
		returned := mei.do("POST", path+"/return", keeping("reason", map[string]any{"reason": says}), "If-Match", submitted.etag()).want(200)
		again := ines.do("POST", path+"/submission", nil, "If-Match", returned.etag()).want(200)
		seen := func() map[string]any {
			s := statement(record)
			return map[string]any{"steps": s.Steps, "help_given": 4, "supervision_next": 3, "complications_agreed": true, "keep": says, "change": "Name the gap aloud."}
		}
		mei.do("POST", path+"/sign-off", seen(), "If-Match", again.etag()).stopped("keep")
		mei.do("POST", path+"/sign-off", keeping("keep", seen()), "If-Match", again.etag()).want(200)
		plan := map[string]any{"scenario": pack.Scenarios()[0].ID, "plan": notedPlan(says)}
		ines.do("POST", in("/plans"), plan).stopped("plan.note")
		ines.do("POST", in("/plans"), keeping("plan.note", plan)).want(201)

		var places []string
		for _, o := range w.overrides("") {
			places = append(places, o.Object+" "+o.Field)
			if o.Kind != competency.KindName || o.Reason != why || o.ByName == "" || o.SeenBy != "" {
				t.Errorf("%+v", o)
			}
		}
		if want := []string{"case keep", "case note", "case reason", "plan note"}; !slices.Equal(slices.Sorted(slices.Values(places)), want) {
			t.Errorf("on record: %v, want %v", places, want)
		}
		for _, table := range []string{"identifier_overrides", "audit_entries"} {
			if found := w.holding(table, words); len(found) > 0 {
				t.Errorf("the words are in %v", found)
			}
		}
		if bytes.Contains(w.log.Bytes(), []byte(words)) {
			t.Error("the words are in the log")
		}
	})
}

// TestOverrideInTest: what was kept in a test's plan in work stays through every save and the end.
func TestOverrideInTest(t *testing.T) {
	w := newWorld(t, storetest.Open(t, migrations.SQLite))
	ines := w.as("ines")
	started := ines.do("POST", in("/sittings"), map[string]any{"scenario": pack.Scenarios()[0].ID}).want(201)
	path := started.header.Get("Location")
	body := map[string]any{"plan": notedPlan(says)}
	ines.do("PUT", path+"/plan", body, "If-Match", started.etag()).stopped("plan.note")
	saved := ines.do("PUT", path+"/plan", keeping("plan.note", body), "If-Match", started.etag()).want(200)
	body = map[string]any{"plan": notedPlan(says + " Go gently.")}
	ines.do("PUT", path+"/plan", body, "If-Match", saved.etag()).want(200)
	id := path[strings.LastIndex(path, "/")+1:]
	ines.do("POST", in("/plans"), map[string]any{"scenario": pack.Scenarios()[0].ID, "sitting": id, "plan": notedPlan(says)}).want(201)
	if list := w.overrides(""); len(list) != 1 || list[0].Object != "sitting" || list[0].ObjectID != id {
		t.Errorf("on record: %+v", list)
	}
}

// TestOverrideInFollowUp: the note of a follow-up too, and the director is led to its case.
func TestOverrideInFollowUp(t *testing.T) {
	w, path := inAutumn(t, storetest.Open(t, migrations.SQLite))
	seen := monthThree()
	seen.Note = says
	w.as("ines").do("POST", path+"/follow-ups", map[string]any{"follow_up": seen}).stopped("follow_up.note")
	w.as("ines").do("POST", path+"/follow-ups", keeping("follow_up.note", map[string]any{"follow_up": seen})).want(201)
	list := w.overrides("")
	if len(list) != 1 || list[0].Object != "follow-up" || list[0].Field != "note" || !strings.HasSuffix(path, "/"+string(list[0].Case)) || list[0].Case == "" {
		t.Errorf("on record: %+v", list)
	}
}

// TestNeverKept: what names one person is stopped with an override too, and nothing is kept of the attempt.
func TestNeverKept(t *testing.T) {
	w := newWorld(t, storetest.Open(t, migrations.SQLite))
	before := w.state()
	for kind, text := range map[string]string{
		competency.KindRecordNumber: "MRN 0048213", competency.KindPhone: "555-555-0142", competency.KindEmail: "jane.doe@example.org",
		competency.KindAge: "aged 95", competency.KindDate: "14 March 2026", competency.KindWeb: "https://example.org/p/1",
	} {
		record := biatrial()
		record.Note = "See " + text
		o := competency.Override{Field: "record.note", Kind: kind, Excerpt: text, Reason: why}
		faults := w.as("ines").do("POST", in("/cases"), map[string]any{"record": record, "overrides": []competency.Override{o}}).want(422).problem().Errors
		if len(faults) != 1 || faults[0].Location != "body.overrides[0].kind" {
			t.Errorf("%s: %+v", text, faults)
		}
	}
	if after := w.state(); !equalState(before, after) {
		t.Errorf("something was kept: %v, then %v", before, after)
	}
}

func equalState(a, b map[string]int) bool {
	for table, n := range a {
		if b[table] != n {
			return false
		}
	}
	return len(a) == len(b)
}

// TestReviewOverride: the director looks at each once, on record; nobody at their own.
func TestReviewOverride(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		record := biatrial()
		record.Note = says
		w.as("ines").do("POST", in("/cases"), keeping("record.note", map[string]any{"record": record})).want(201)
		one := w.overrides("?waiting=true")
		if len(one) != 1 || !slices.Equal(one[0].May, []string{"review"}) {
			t.Fatalf("waiting: %+v", one)
		}
		path := in("/overrides/" + one[0].ID + "/review")
		for _, name := range []string{"ines", "mei", "jonas", "ruth", "yuki", "oskar"} {
			w.as(name).do("POST", path, nil).want(403)
			w.as(name).do("GET", in("/overrides"), nil).want(403)
		}
		w.as("stranger").do("POST", path, nil).want(404)
		var seen service.OverrideView
		w.as("amara").do("POST", path, nil).want(200).into(&seen)
		if seen.SeenBy != "amara" || seen.SeenByName != "Amara" || !seen.SeenAt.Equal(w.clock.Now()) || len(seen.May) != 0 {
			t.Errorf("seen: %+v", seen)
		}
		w.as("amara").do("POST", path, nil).want(409)
		if left := w.overrides("?waiting=true"); len(left) != 0 {
			t.Errorf("still waiting: %+v", left)
		}
		w.write(north, func(tx *store.Tx) error {
			own := store.Override{ID: "own", Programme: north, Object: "case", ObjectID: "c", Field: "note", Kind: "name", Reason: why, By: "amara", At: w.clock.Now()}
			if err := tx.AddOverride(own); err != nil {
				return err
			}
			return tx.Audit("override", "own", nil, own)
		})
		w.as("amara").do("POST", in("/overrides/own/review"), nil).want(403)
	})
}

// notedPlan declines to ablate, with a note.
func notedPlan(note string) assessment.Plan {
	no := false
	return assessment.Plan{Ablate: &no, Reason: assessment.RiskTooHigh, LeftAppendage: assessment.Appendage{State: "kept"}, Note: note}
}
