package api

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/competency"
	"isthmus/competency/fhir"
	"isthmus/competency/xapi"
)

// signedOn signs a case of ines off, as a record says.
func (w *world) signedOn(record competency.Record) string {
	w.Helper()
	path, tag := w.submitted(record)
	w.as("mei").do("POST", path+"/sign-off", statement(record), "If-Match", tag).want(200)
	return path
}

// entries counts the audit entries of an act.
func (w *world) entries(act string) int {
	w.Helper()
	var n int
	w.must(w.store.DB().QueryRowContext(w.Context(), "SELECT COUNT(*) FROM audit_entries WHERE act = '"+act+"'").Scan(&n))
	return n
}

// TestExportStatements: every page once, oldest first, an entry for each; who is not the director gets nothing; no name, address or text of anybody.
func TestExportStatements(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		path := w.signedOn(biatrial())
		w.as("ines").do("POST", in("/plans"), validBodies()["submit-plan"]).want(201)
		_, quiz := w.quizzed("ines", "practice", "lines")
		w.as("ines").do("POST", quiz.header.Get("Location")+"/submit", nil, "If-Match", quiz.etag()).want(200)
		w.quizzed("ines", "practice", "lines") // open: nothing to tell yet
		w.decided(w.called())
		tag := w.as("ines").do("GET", path, nil).want(200).etag()
		w.as("amara").do("POST", path+"/withdrawal", `{"reason":"Logged twice, says the theatre list."}`, "If-Match", tag).want(200)
		before := w.state()
		for _, who := range []string{"ines", "mei", "jonas", "ruth"} {
			for _, path := range []string{"", "/xapi", "/fhir"} {
				w.as(who).do("GET", in("/exports"+path), nil).want(403)
			}
			w.as(who).do("PUT", in("/exports/delivery"), validBodies()["choose-delivery"]).want(403)
		}
		w.unchanged(before, "refused exports")
		var verbs, ids []string
		next, pages := in("/exports/xapi?limit=1"), 0
		for next != "" {
			var page xapi.Page
			got := w.as("amara").do("GET", next, nil).want(200).into(&page)
			if got.header.Get("X-Experience-API-Version") != "1.0.3" || !strings.Contains(got.header.Get("Content-Disposition"), "attachment") {
				t.Errorf("%v", got.header)
			}
			for _, secret := range []string{"Ines", "Mei", "@example.org", "Clamp applied", "Main site", "2026-05-28", "theatre list"} {
				if strings.Contains(string(got.body), secret) {
					t.Errorf("%s leaves in %s", secret, got.body)
				}
			}
			for _, one := range page.Statements {
				verbs, ids = append(verbs, one.Verb.ID[strings.LastIndex(one.Verb.ID, "/")+1:]), append(ids, one.ID)
			}
			next = page.More
			pages++
		}
		if got := fmt.Sprint(verbs); got != "[received-decision scored scored completed voided]" {
			t.Errorf("verbs %s", got)
		}
		if n := w.entries("disclosure.xapi"); n != pages || pages != 5 {
			t.Errorf("%d entries for %d pages", n, pages)
		}
		var whole xapi.Page
		w.as("amara").do("GET", in("/exports/xapi"), nil).want(200).into(&whole)
		for i, one := range whole.Statements {
			if one.ID != ids[i] {
				t.Errorf("statement %d has another id now", i)
			}
		}
		w.as("amara").do("GET", in("/exports/xapi?after=nonsense"), nil).want(422)
	})
}

// TestExportOperations: below the limit nothing leaves; from it on operations without identity, in years, with an entry in the audit trail.
func TestExportOperations(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		bundle := func() (string, int) {
			t.Helper()
			got := w.as("amara").do("GET", in("/exports/fhir"), nil).want(200)
			if got.header.Get("Content-Type") != "application/fhir+json" {
				t.Errorf("%v", got.header)
			}
			var b struct {
				Entry []struct{ Resource map[string]any }
			}
			got.into(&b)
			procedures := 0
			for _, entry := range b.Entry {
				if entry.Resource["resourceType"] == "Procedure" {
					procedures++
				}
			}
			return string(got.body), procedures
		}
		for i := range competency.DefaultSmallCells - 1 {
			record := biatrial()
			record.OperatedOn = fmt.Sprintf("2026-05-%02d", 10+i)
			w.signedOn(record)
		}
		text, n := bundle()
		if n != 0 || !strings.Contains(text, "fewer than 5") {
			t.Errorf("%d leave below the limit: %s", n, text)
		}
		path := w.signedOn(biatrial())
		text, n = bundle()
		if n != competency.DefaultSmallCells {
			t.Errorf("%d procedures", n)
		}
		for _, secret := range []string{"ines", "mei", "Main site", "Clamp", "2026-0", "2026-W", path[strings.LastIndex(path, "/")+1:], "sternotomy"} {
			if strings.Contains(text, secret) {
				t.Errorf("%s leaves in %s", secret, text)
			}
		}
		if !strings.Contains(text, `"performedDateTime":"2026"`) || !strings.Contains(text, fhir.Removed()[0]) || w.entries("disclosure.fhir") != 2 {
			t.Errorf("%d entries, %s", w.entries("disclosure.fhir"), text)
		}
		var view service.Disclosure
		w.as("amara").do("GET", in("/exports"), nil).want(200).into(&view)
		if view.Operations.K != 5 || view.Operations.Released != 5 || len(view.Operations.Says) < 5 || view.Caution == "" || view.Delivery.Configured || view.Delivery.On {
			t.Errorf("%+v", view)
		}
	})
}

// TestRosterLeavesAnEntry: people who leave by a file are an export like any other.
func TestRosterLeavesAnEntry(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	w.as("amara").do("GET", in("/roster"), nil).want(200)
	w.as("ines").do("GET", in("/roster"), nil).want(403)
	if n := w.entries("roster.export"); n != 1 {
		t.Errorf("%d entries", n)
	}
}

// TestDeliveryIsOff: without a store of the installation nobody can begin it; ending it is always possible, once.
func TestDeliveryIsOff(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	if problem := w.as("amara").do("PUT", in("/exports/delivery"), `{"deliver":true,"after":0}`).want(422).problem(); !strings.Contains(fmt.Sprint(problem), "no learning record store") {
		t.Errorf("%+v", problem)
	}
	w.as("amara").do("PUT", in("/exports/delivery"), validBodies()["choose-delivery"]).want(200)
	w.as("amara").do("PUT", in("/exports/delivery"), validBodies()["choose-delivery"]).want(http.StatusPreconditionFailed)
	if n := w.entries("disclosure.choose"); n != 1 {
		t.Errorf("%d entries", n)
	}
	var view json.RawMessage
	w.as("amara").do("GET", in("/exports"), nil).want(200).into(&view)
}

// TestSignaturesTakenBack: a second signature on an amended case takes the first one's statement back, the withdrawal of the case the second's;
// each is voided once, at the time of what took it back.
func TestSignaturesTakenBack(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		path, tag := w.signedCase()
		told := func() (ids map[string]string, voids map[string]string) {
			t.Helper()
			ids, voids = map[string]string{}, map[string]string{}
			var page xapi.Page
			w.as("amara").do("GET", in("/exports/xapi"), nil).want(200).into(&page)
			for _, one := range page.Statements {
				if one.Object.ObjectType == "StatementRef" {
					if voids[one.Object.ID] != "" || ids[one.Object.ID] == "" {
						t.Errorf("%s is voided twice, or before it is told", one.Object.ID)
					}
					voids[one.Object.ID] = one.Timestamp
				} else {
					ids[one.ID] = one.Timestamp
				}
			}
			return ids, voids
		}
		w.clock.advance(time.Minute)
		tag = w.as("ines").do("POST", path+"/amendment", because("The valve was tricuspid too."), "If-Match", tag).want(200).etag()
		if ids, voids := told(); len(ids) != 1 || len(voids) != 0 {
			t.Errorf("while it is amended: %v, %v", ids, voids)
		}
		record := biatrial()
		record.Operation = "mitral-and-tricuspid"
		tag = w.as("ines").do("PUT", path, recordOf{record}, "If-Match", tag).want(200).etag()
		tag = w.as("ines").do("POST", path+"/submission", nil, "If-Match", tag).want(200).etag()
		w.clock.advance(time.Minute)
		tag = w.as("mei").do("POST", path+"/sign-off", statement(record), "If-Match", tag).want(200).etag()
		ids, voids := told()
		if len(ids) != 2 || len(voids) != 1 {
			t.Fatalf("signed again: %v, %v", ids, voids)
		}
		for first, at := range voids {
			if ids[first] >= at {
				t.Errorf("%s was told at %s and voided at %s", first, ids[first], at)
			}
		}
		w.as("amara").do("POST", path+"/withdrawal", because("It was logged twice."), "If-Match", tag).want(200)
		if ids, voids := told(); len(ids) != 2 || len(voids) != 2 {
			t.Errorf("withdrawn: %v, %v", ids, voids)
		}
	})
}
