package api

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/google/uuid"

	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/assessment"
	"isthmus/competency"
)

// namedCase is a record under an id of the client's own.
type namedCase struct {
	ID     string            `json:"id"`
	Record competency.Record `json:"record"`
}

// namedPlan is a plan under an id of the client's own.
type namedPlan struct {
	ID       string          `json:"id"`
	Scenario string          `json:"scenario"`
	Plan     assessment.Plan `json:"plan"`
}

// TestOwnIDs: the id that a device made is kept; sent again with the same content it gives what is there, with any other content it is
// refused, and nothing is made twice.
func TestOwnIDs(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		for _, c := range []struct {
			path  string
			body  func(id string) any
			other func(id string) any
		}{
			{in("/cases"),
				func(id string) any { return namedCase{id, biatrial()} },
				func(id string) any {
					return namedCase{id, with(func(r *competency.Record) { r.Urgency = "urgent" }).Record}
				}},
			{in("/plans"),
				func(id string) any { return namedPlan{id, scenarioID(), unable("thrombus")} },
				func(id string) any { return namedPlan{id, scenarioID(), unable("emergency")} }},
		} {
			id := uuid.Must(uuid.NewV7()).String()
			first := w.as("ines").do("POST", c.path, c.body(id), "Idempotency-Key", "one").want(201)
			if place := first.header.Get("Location"); !strings.HasSuffix(place, "/"+id) {
				t.Errorf("the id was not kept: %s", place)
			}
			before := w.state()
			again := w.as("ines").do("POST", c.path, c.body(id), "Idempotency-Key", "two").want(201)
			if string(again.body) != string(first.body) {
				t.Errorf("the resend gave another thing:\n%s\n%s", first.body, again.body)
			}
			if p := w.as("ines").do("POST", c.path, c.other(id)).want(409).problem(); p.Type != "/problems/already-there" {
				t.Errorf("other content: type %s", p.Type)
			}
			if p := w.as("kofi").do("POST", c.path, c.body(id)).want(409).problem(); p.Type != "/problems/already-there" {
				t.Errorf("another person: type %s", p.Type)
			}
			w.unchanged(before, "an id sent again")
			for _, wrong := range []string{"7", uuid.NewString(), strings.ToUpper(id), "{" + id + "}", "urn:uuid:" + id} {
				p := w.as("ines").do("POST", c.path, c.body(wrong)).want(422).problem()
				if len(p.Errors) == 0 || p.Errors[0].Location != "body.id" {
					t.Errorf("%s: %+v", wrong, p)
				}
			}
			w.unchanged(before, "an id that is none")
		}
	})
}

// TestOwnIDAfterMore: a resend that comes after the case was changed and submitted gives the case as it is by then.
func TestOwnIDAfterMore(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		body := namedCase{uuid.Must(uuid.NewV7()).String(), biatrial()}
		first := w.as("ines").do("POST", in("/cases"), body).want(201)
		path := in("/cases/" + body.ID)
		w.as("ines").do("POST", path+"/submission", nil, "If-Match", first.etag()).want(200)
		before := w.state()
		var detail struct {
			Case competency.Case `json:"case"`
		}
		again := w.as("ines").do("POST", in("/cases"), body).want(201)
		if err := json.Unmarshal(again.body, &detail); err != nil {
			t.Fatal(err)
		}
		if detail.Case.Status != competency.CaseSubmitted || again.etag() == first.etag() {
			t.Errorf("status %s, ETag %s", detail.Case.Status, again.etag())
		}
		w.unchanged(before, "a late resend")
	})
}

// TestParallelOwnIDs: the same id many times at once makes one case.
func TestParallelOwnIDs(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		token := w.tokenOf("ines")
		body := namedCase{uuid.Must(uuid.NewV7()).String(), biatrial()}
		replies := make(chan *reply, 6)
		for range cap(replies) {
			c := &client{w: w, cookies: map[string]string{}, token: token}
			go func() { replies <- c.do("POST", in("/cases"), body) }()
		}
		for range cap(replies) {
			if got := <-replies; got.status != 201 {
				t.Errorf("%d %s", got.status, got.body)
			}
		}
		if n := w.state()["cases"]; n != 1 {
			t.Errorf("%d cases", n)
		}
	})
}

// unable is a plan that ablates nothing, for a reason.
func unable(reason string) assessment.Plan {
	var plan assessment.Plan
	text := `{"ablate":false,"reason":"` + reason + `","lesions":[],"left_appendage":{"state":"kept"}}`
	if err := json.Unmarshal([]byte(text), &plan); err != nil {
		panic(err)
	}
	return plan
}
