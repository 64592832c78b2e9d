package api

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/competency"
)

// unchanged fails the test when anything in the database changed.
func (w *world) unchanged(before map[string]int, what string) {
	w.Helper()
	if diff := cmp.Diff(before, w.state()); diff != "" {
		w.Errorf("%s changed something (-before +after):\n%s", what, diff)
	}
}

// with is a record changed by fn.
func with(fn func(*competency.Record)) recordOf {
	record := biatrial()
	fn(&record)
	return recordOf{record}
}

// asJSON edits a value as its JSON: old text becomes new.
func asJSON(v any, old, new string) string {
	data, err := json.Marshal(v)
	if err != nil || !strings.Contains(string(data), old) {
		panic("no such text: " + old)
	}
	return strings.Replace(string(data), old, new, 1)
}

// TestBadInput sends what is wrong: each is refused with a clear problem that names the place, and changes nothing.
func TestBadInput(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		whole := recordOf{biatrial()}
		path, tag := w.submitted(biatrial())
		draft := w.draft(biatrial())
		cases, plans := in("/cases"), in("/plans")
		long := strings.Repeat("a", maxBody+10)
		for _, c := range []struct {
			name, who, method, path string
			body                    any
			headers                 []string
			kind                    *kind
			location                string // of the first fault; empty: not looked at
		}{
			{"malformed JSON", "ines", "POST", cases, `{"record":`, nil, malformed, "body"},
			{"text after the JSON", "ines", "POST", cases, `{"record":{}} x`, nil, malformed, "body"},
			{"no body", "ines", "POST", cases, nil, nil, malformed, ""},
			{"NUL in a text", "ines", "POST", cases, asJSON(whole, "Clamp", `\u0000Clamp`), nil, malformed, "body"},
			{"not JSON", "ines", "POST", cases, "record: {}", []string{"Content-Type", "application/yaml"}, wrongMediaType, "body"},
			{"too large", "ines", "POST", cases, `{"record":{"note":"` + long + `"}}`, nil, tooLarge, ""},
			{"NUL in the address", "ines", "GET", cases + "/%00", nil, nil, malformed, ""},
			{"no UTF-8 in the address", "ines", "GET", cases + "?status=%ff", nil, nil, malformed, ""},
			{"unknown field", "ines", "POST", cases, asJSON(whole, `"site":`, `"patient_name":"x","site":`), nil, invalid, "body.record.patient_name"},
			{"unknown field inside", "ines", "POST", cases, asJSON(whole, `"energy":`, `"watts":30,"energy":`), nil, invalid, "body.record.lesions[0].watts"},
			{"wrong type", "ines", "POST", cases, asJSON(whole, `"on_bypass":true`, `"on_bypass":"yes"`), nil, invalid, "body.record.on_bypass"},
			{"wrong type of a list", "ines", "POST", cases, asJSON(whole, `"events":[]`, `"events":"none"`), nil, invalid, "body.record.events"},
			{"record missing", "ines", "POST", cases, `{}`, nil, invalid, "body"},
			{"out of range", "ines", "POST", cases, with(func(r *competency.Record) { r.AF.ContinuousMonths = -1 }), nil, invalid, "body.record.af.continuous_months"},
			{"huge number", "ines", "POST", cases, asJSON(whole, `"continuous_months":6`, `"continuous_months":1e999`), nil, malformed, ""},
			{"unknown lesion", "ines", "POST", cases, with(func(r *competency.Record) { r.Lesions[0].Name = "moon-line" }), nil, invalid, "body.record.lesions[0].lesion"},
			{"unknown energy", "ines", "POST", cases, with(func(r *competency.Record) { r.Lesions[2].Energy = "steam" }), nil, invalid, "body.record.lesions[2].energy"},
			{"unknown band", "ines", "POST", cases, with(func(r *competency.Record) { r.LeftAtriumBand = "tiny" }), nil, invalid, "body.record.left_atrium_band"},
			{"date in the future", "ines", "POST", cases, with(func(r *competency.Record) { r.OperatedOn = "2026-07-01" }), nil, invalid, "body.record.operated_on"},
			{"no date", "ines", "POST", cases, with(func(r *competency.Record) { r.OperatedOn = "yesterday" }), nil, invalid, "body.record.operated_on"},
			{"patient's name in the note", "ines", "POST", cases, with(func(r *competency.Record) { r.Note = "Mr Peter Maple, MRN 1234567" }), nil, invalid, "body.record.note"},
			{"supervisor of another programme", "ines", "POST", cases, with(func(r *competency.Record) { r.Supervisor = "stranger" }), nil, invalid, "body.record.supervisor"},
			{"supervisor who is no faculty", "ines", "POST", cases, with(func(r *competency.Record) { r.Supervisor = "amara" }), nil, invalid, "body.record.supervisor"},
			{"supervisor not faculty then", "ines", "POST", cases, with(func(r *competency.Record) { r.OperatedOn = "2025-12-20" }), nil, invalid, "body.record.supervisor"},
			{"own supervisor", "ines", "POST", cases, with(func(r *competency.Record) { r.Supervisor = "ines" }), nil, invalid, "body.record.supervisor"},
			{"If-Match missing", "ines", "PUT", draft.header.Get("Location"), whole, nil, noPrecondition, "header.If-Match"},
			{"If-Match without quotes", "ines", "PUT", draft.header.Get("Location"), whole, []string{"If-Match", "1"}, stale, ""},
			{"stale ETag", "ines", "PUT", draft.header.Get("Location"), whole, []string{"If-Match", `"7"`}, stale, ""},
			{"stale sign-off", "mei", "POST", path + "/sign-off", statement(biatrial()), []string{"If-Match", `"1"`}, stale, ""},
			{"edit what is submitted", "ines", "PUT", path, whole, []string{"If-Match", tag}, wrongState, ""},
			{"return without a reason", "mei", "POST", path + "/return", `{"reason":" "}`, []string{"If-Match", tag}, invalid, ""},
			{"rating out of range", "mei", "POST", path + "/sign-off", asJSON(statement(biatrial()), `"help_given":4`, `"help_given":6`), []string{"If-Match", tag}, invalid, "body.help_given"},
			{"patient in the comment", "mei", "POST", path + "/sign-off", asJSON(statement(biatrial()), "Name the gap", "Mrs Oakwood, born 03/04/1950"), []string{"If-Match", tag}, invalid, "body.change"},
			{"step that was none", "mei", "POST", path + "/sign-off", asJSON(statement(biatrial()), `"roof-line"`, `"moon-line"`), []string{"If-Match", tag}, invalid, "body.steps[2].step"},
			{"unknown scenario", "ines", "POST", plans, `{"scenario":"nowhere","plan":{"ablate":false,"reason":"thrombus","left_appendage":{"state":"kept"}}}`, nil, invalid, "body.scenario"},
			{"plan without a decision", "ines", "POST", plans, `{"scenario":"` + scenarioID() + `","plan":{"left_appendage":{"state":"kept"}}}`, nil, invalid, "body.plan.ablate"},
			{"plan with an unknown lesion", "ines", "POST", plans, `{"scenario":"` + scenarioID() + `","plan":{"ablate":true,"lesions":[{"lesion":"moon-line","energy":"cryo"}],"left_appendage":{"state":"kept"}}}`, nil, invalid, "body.plan.lesions[0].lesion"},
			{"lesion set out of range", "ines", "POST", in("/conduction"), `{"lesions":[],"left_atrium_diameter_mm":4000}`, nil, invalid, "body.left_atrium_diameter_mm"},
			{"limit out of range", "ines", "GET", cases + "?limit=100000", nil, nil, invalid, "query.limit"},
			{"unknown parameter", "ines", "GET", cases + "?patient=1", nil, nil, invalid, "query.patient"},
			{"unknown status", "ines", "GET", cases + "?status=lost", nil, nil, invalid, "query.status"},
			{"no cursor", "ines", "GET", cases + "?after=nonsense", nil, nil, invalid, ""},
			{"unknown role", "ines", "GET", in("/people?role=king"), nil, nil, invalid, "query.role"},
			{"no day", "ines", "GET", in("/trainees/ines/standing?on=2026-02-30"), nil, nil, invalid, "query.on"},
			{"day in the future", "amara", "GET", in("/cohort?on=2027-01-01"), nil, nil, invalid, "query.on"},
			{"broken standard", "amara", "POST", in("/standards"), `{"yaml":"id: [","in_force_from":"2026-07-01"}`, nil, invalid, "body.yaml"},
			{"standard of an old version", "amara", "POST", in("/standards"), map[string]any{"yaml": string(competency.ExampleStandardYAML()), "in_force_from": "2026-07-01"}, nil, invalid, "body.yaml.version"},
			{"standard in the past", "amara", "POST", in("/standards"), map[string]any{"yaml": strings.Replace(string(competency.ExampleStandardYAML()), "\nversion: 1\n", "\nversion: 2\n", 1), "in_force_from": "2026-05-01"}, nil, invalid, "body.in_force_from"},
			{"token for too long", "ines", "POST", "/api/tokens", `{"name":"script","expires_in_days":400}`, nil, invalid, "body.expires_in_days"},
			{"no such address", "ines", "GET", "/api/patients", nil, nil, notFound, ""},
			{"no such method", "ines", "DELETE", cases, nil, nil, wrongMethod, ""},
			{"no such case", "ines", "GET", cases + "/0190", nil, nil, notFound, ""},
			{"no such programme", "ines", "GET", "/api/programmes/west", nil, nil, notFound, ""},
		} {
			before := w.state()
			got := w.as(c.who).do(c.method, c.path, c.body, c.headers...)
			p := got.problem()
			if p.Status != c.kind.status || p.Type != "/problems/"+c.kind.name || p.Detail == "" {
				t.Errorf("%s: %d %s, want %d %s: %s", c.name, p.Status, p.Type, c.kind.status, c.kind.name, got.body)
			}
			if c.location != "" && (len(p.Errors) == 0 || p.Errors[0].Location != c.location || p.Errors[0].Message == "") {
				t.Errorf("%s: faults %+v, want one at %s", c.name, p.Errors, c.location)
			}
			if len(got.body) > 4000 {
				t.Errorf("%s: a problem of %d bytes echoes its input", c.name, len(got.body))
			}
			w.unchanged(before, c.name)
		}
		if strings.Contains(w.log.String(), "Maple") || strings.Contains(w.log.String(), "Oakwood") || strings.Contains(w.log.String(), "patient_name") {
			t.Error("the log holds what somebody wrote")
		}
	})
}

// TestIncompleteSubmission names everything a draft still lacks.
func TestIncompleteSubmission(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	made := w.draft(competency.Record{Site: "Main site"})
	before := w.state()
	p := w.as("ines").do("POST", made.header.Get("Location")+"/submission", nil, "If-Match", made.etag()).want(422).problem()
	if len(p.Errors) < 5 {
		t.Errorf("only %+v", p.Errors)
	}
	for _, fault := range p.Errors {
		if !strings.HasPrefix(fault.Location, "body.record.") {
			t.Errorf("fault at %s", fault.Location)
		}
	}
	w.unchanged(before, "an incomplete submission")
}

// TestDoubleSignOff: the second signature is refused, with the version of before and with the present one.
func TestDoubleSignOff(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		path, tag := w.submitted(biatrial())
		signed := w.as("mei").do("POST", path+"/sign-off", statement(biatrial()), "If-Match", tag).want(200)
		before := w.state()
		if p := w.as("mei").do("POST", path+"/sign-off", statement(biatrial()), "If-Match", signed.etag()).want(409).problem(); p.Type != "/problems/wrong-state" {
			t.Errorf("type %s", p.Type)
		}
		w.as("mei").do("POST", path+"/sign-off", statement(biatrial()), "If-Match", tag).want(412)
		w.as("mei").do("POST", path+"/return", map[string]string{"reason": "Changed my mind."}, "If-Match", signed.etag()).want(409)
		w.as("ines").do("PUT", path, recordOf{biatrial()}, "If-Match", signed.etag()).want(409)
		w.unchanged(before, "a second sign-off")
	})
}

// TestIdempotency: the same key with the same request gives the first thing again, with another request a refusal.
func TestIdempotency(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		scenario := scenarioID()
		plan := `{"scenario":"` + scenario + `","plan":{"ablate":false,"reason":"thrombus","lesions":[],"left_appendage":{"state":"kept"}}}`
		other := strings.Replace(plan, "thrombus", "emergency", 1)
		for _, c := range []struct {
			path          string
			first, second any
		}{
			{in("/cases"), recordOf{biatrial()}, with(func(r *competency.Record) { r.Urgency = "urgent" })},
			{in("/plans"), plan, other},
		} {
			key := []string{"Idempotency-Key", "key of " + c.path}
			first := w.as("ines").do("POST", c.path, c.first, key...).want(201)
			before := w.state()
			again := w.as("ines").do("POST", c.path, c.first, key...).want(201)
			if again.header.Get("Location") != first.header.Get("Location") || string(again.body) != string(first.body) {
				t.Errorf("%s: the resend gave another thing:\n%s\n%s", c.path, first.body, again.body)
			}
			if p := w.as("ines").do("POST", c.path, c.second, key...).want(422).problem(); p.Type != "/problems/key-reused" {
				t.Errorf("%s: type %s", c.path, p.Type)
			}
			w.unchanged(before, "a repeated key")
			w.as("kofi").do("POST", c.path, c.second, key...).want(201) // another person's keys are another person's
		}
		w.as("ines").do("POST", in("/plans"), plan, "Idempotency-Key", "key of "+in("/cases")).want(422)
	})
}

// TestParallelResends: the same request with the same key, many times at once, makes one thing.
func TestParallelResends(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		token := w.tokenOf("ines")
		replies := make(chan *reply, 6)
		for range cap(replies) {
			c := &client{w: w, cookies: map[string]string{}, token: token}
			go func() { replies <- c.do("POST", in("/cases"), recordOf{biatrial()}, "Idempotency-Key", "once") }()
		}
		places := map[string]bool{}
		for range cap(replies) {
			got := <-replies
			if got.status != 201 {
				t.Errorf("%d %s", got.status, got.body)
			}
			places[got.header.Get("Location")] = true
		}
		if n := w.state()["cases"]; n != 1 || len(places) != 1 {
			t.Errorf("%d cases, %d places", n, len(places))
		}
	})
}

// TestFailuresOfOurs: nothing of a failure is sent, and the log has it under the request's id.
func TestFailuresOfOurs(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	ines := w.as("ines")
	if _, err := w.store.DB().ExecContext(t.Context(), "ALTER TABLE plans RENAME TO lost"); err != nil {
		t.Fatal(err)
	}
	p := ines.do("GET", in("/plans"), nil).want(500).problem()
	if strings.Contains(p.Detail, "plans") || !strings.Contains(w.log.String(), p.RequestID) || !strings.Contains(w.log.String(), "no such table") {
		t.Errorf("problem %+v, log %s", p, w.log)
	}
	w.server.Web = nil // a page that panics
	p = w.anonymous().do("GET", "/somewhere", nil).want(500).problem()
	if p.Detail != internal.says || !strings.Contains(w.log.String(), "panic") {
		t.Errorf("problem %+v", p)
	}
	if err := w.store.Close(); err != nil {
		t.Fatal(err)
	}
	if got := ines.do("GET", in("/plans"), nil); got.status != 503 {
		t.Errorf("closed database: %d %s", got.status, got.body)
	}
	w.clock.advance(time.Second)
}
