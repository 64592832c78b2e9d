package api

import (
	"bytes"
	"strings"
	"testing"

	"isthmus/api/service"
	"isthmus/api/store/storetest"
	"isthmus/competency"
	"isthmus/competency/casefile"
)

// importBody is a file as a request holds it.
func importBody(text string) map[string]any { return map[string]any{"file": []byte(text)} }

// TestImportAgain: a log that was exported comes in again as it was, in both formats and both ways, and goes again when that is undone.
func TestImportAgain(t *testing.T) {
	for _, format := range []casefile.Format{casefile.CSV, casefile.XLSX} {
		for _, submit := range []bool{false, true} {
			w := newWorld(t, storetest.Open(t, sqlite))
			w.submitted(biatrial())
			formula := biatrial()
			formula.OperatedOn, formula.Note, formula.Events = "2026-05-20", "=two + two", []string{"pacemaker"}
			if submit {
				w.submitted(formula)
			} else {
				formula.LeftAtriumBand, formula.Steps, formula.Supervisor = "", nil, "" // unfinished
				w.draft(formula)
			}
			before := w.records()
			data := w.as("ines").do("GET", in("/case-export?format="+string(format)), nil).want(200).body
			body := map[string]any{"file": data, "submit": submit}
			var check service.ImportCheck
			w.as("ines").do("POST", in("/import-check"), body).want(200).into(&check)
			if len(check.Faults) != 0 || check.Rows != 2 || check.Twice != 2 {
				t.Fatalf("%s: %d rows, %d again, faults %v", format, check.Rows, check.Twice, check.Faults)
			}
			made := w.as("ines").do("POST", in("/imports"), body, "Idempotency-Key", "once").want(202)
			w.as("ines").do("POST", in("/imports"), body, "Idempotency-Key", "once").want(202)
			w.as("ines").do("POST", in("/imports"), body).want(409)
			w.work()
			var view service.ImportView
			got := w.as("ines").do("GET", made.header.Get("Location"), nil).want(200).into(&view)
			if view.State != "done" || view.Ready != 2 {
				t.Fatalf("%s: %+v", format, view)
			}
			after := w.records()
			for hash := range before {
				if before[hash] != 1 || after[hash] != 2 {
					t.Errorf("%s: a record came in %d times", format, after[hash]-1)
				}
			}
			w.as("ines").do("POST", made.header.Get("Location")+"/undo", nil, "If-Match", made.etag()).want(412)
			w.as("ines").do("POST", made.header.Get("Location")+"/undo", nil, "If-Match", got.etag()).want(200)
			for hash, n := range w.records() {
				if n != 1 {
					t.Errorf("%s: %s is there %d times after the undo", format, hash, n)
				}
			}
			report, err := w.store.VerifyAudit(w.Context())
			if err != nil || !report.Sound() {
				t.Errorf("audit: %+v, %v", report, err)
			}
			w.as("ines").do("POST", in("/imports"), body).want(202) // undone, it may come again
		}
	}
}

// records counts ines's cases that are not withdrawn by what they say.
func (w *world) records() map[string]int {
	w.Helper()
	var list service.List[service.CaseSummary]
	w.as("ines").do("GET", in("/cases"), nil).want(200).into(&list)
	hashes := map[string]int{}
	for _, item := range list.Items {
		var detail service.CaseDetail
		w.as("ines").do("GET", in("/cases/"+string(item.ID)), nil).want(200).into(&detail)
		if detail.Case.Status != competency.CaseWithdrawn {
			hashes[competency.ContentHash(detail.Case.Record)]++
		}
	}
	return hashes
}

// work works off every import that waits.
func (w *world) work() {
	w.Helper()
	for {
		worked, err := w.server.Service.WorkOnImports(w.Context())
		w.must(err)
		if !worked {
			return
		}
	}
}

// TestImportByCoordinator: for all trainees, as drafts, and without a clinical field afterwards.
func TestImportByCoordinator(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	text := "Trainee's address,operated_on,Hospital,operation\nkofi@example.org,2026-05-28,Main site,mitral\nines@example.org,2026-05-27,Main site,mitral\n"
	body := importBody(text)
	body["mapping"] = map[string]string{"trainee": "Trainee's address", "operated_on": "operated_on", "site": "Hospital", "operation": "operation"}
	made := w.as("jonas").do("POST", in("/imports"), body).want(202)
	w.work()
	got := w.as("jonas").do("GET", made.header.Get("Location"), nil).want(200)
	w.as("ines").do("GET", made.header.Get("Location"), nil).want(403)
	var list service.List[service.CaseSummary]
	body2 := w.as("jonas").do("GET", in("/cases"), nil).want(200).into(&list).body
	if len(list.Items) != 2 || bytes.Contains(body2, []byte("mitral")) || bytes.Contains(got.body, []byte("mitral")) {
		t.Errorf("the coordinator sees %s", body2)
	}
	w.as("jonas").do("GET", in("/cases/"+string(list.Items[0].ID)), nil).want(403)
	var check service.ImportCheck
	w.as("jonas").do("POST", in("/import-check"), importBody(text)).want(200).into(&check)
	if check.Mapping["site"] != "Hospital" || check.Twice != 2 {
		t.Errorf("the programme's mapping is not kept: %v, %d", check.Mapping, check.Twice)
	}
	body["submit"] = true
	var refused service.ImportCheck
	w.as("jonas").do("POST", in("/import-check"), body).want(200).into(&refused)
	if len(refused.Faults) == 0 {
		t.Error("a coordinator could submit for trainees")
	}
	for _, c := range list.Items { // a trainee has taken a draft over
		if c.Trainee == "ines" {
			draft := w.as("ines").do("GET", in("/cases/"+string(c.ID)), nil).want(200)
			edited := w.as("ines").do("PUT", in("/cases/"+string(c.ID)), recordOf{biatrial()}, "If-Match", draft.etag()).want(200)
			w.as("ines").do("POST", in("/cases/"+string(c.ID)+"/submission"), nil, "If-Match", edited.etag()).want(200)
		}
	}
	before := w.state()
	w.as("jonas").do("POST", made.header.Get("Location")+"/undo", nil, "If-Match", got.etag()).want(409)
	w.unchanged(before, "undo")
	w.as("mei").do("POST", in("/import-check"), body).want(403)
	w.as("amara").do("GET", in("/imports"), nil).want(403)
}

// TestImportFaults: every mistake has its cell, nothing is kept, and large bodies are refused as such.
func TestImportFaults(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	before := w.state()
	text := "trainee,operated_on,site,supervisor,note\nkofi@example.org,2026-05-28,Main site,mei@example.org,\n,2026-05-28,Elsewhere,ines@example.org,\n,2026-01-01,Main site,mei@example.org,Mr Halloran\n"
	var check service.ImportCheck
	w.as("ines").do("POST", in("/import-check"), importBody(text)).want(200).into(&check)
	cells := map[string]bool{}
	for _, fault := range check.Faults {
		cells[fault.Cell] = true
	}
	for _, cell := range []string{"A2", "C3", "D3", "D4", "E4"} {
		if !cells[cell] {
			t.Errorf("no fault in %s: %v", cell, check.Faults)
		}
	}
	got := w.as("ines").do("POST", in("/imports"), importBody(text)).want(422).problem()
	if len(got.Errors) < 5 || !strings.Contains(got.Errors[0].Message, "A2") {
		t.Errorf("%+v", got)
	}
	w.as("ines").do("POST", in("/import-check"), importBody("\xff\xfe")).want(422)
	w.as("ines").do("POST", in("/import-check"), importBody("site\n")).want(422)
	large := w.as("ines").do("POST", in("/imports"), `{"file":"`+strings.Repeat("QUJD", 25<<20)+`"}`).want(413).problem()
	if !strings.Contains(large.Detail+large.Title, "arge") {
		t.Errorf("%+v", large)
	}
	w.as("ines").do("POST", in("/cases"), `{"note":"`+strings.Repeat("a", 2<<20)+`"}`).want(413)
	w.unchanged(before, "refused imports")
}
