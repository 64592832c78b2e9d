package api

import (
	"bytes"
	"strings"
	"testing"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/assessment/atrium"
	"isthmus/competency"
	"isthmus/competency/casefile"
)

// TestExport: the own log as a file with the caution in it, for trainees only.
func TestExport(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	w.submitted(biatrial())
	for format, kind := range fileTypes {
		got := w.as("ines").do("GET", in("/case-export?format="+string(format)), nil).want(200)
		if got.header.Get("Content-Type") != kind || got.header.Get("Content-Disposition") != `attachment; filename="cases.`+string(format)+`"` {
			t.Errorf("%s: headers %v", format, got.header)
		}
		sheet, err := casefile.Read(got.body)
		if err != nil || len(sheet.Rows) != 1 || !strings.Contains(strings.Join(sheet.Rows[0].Cells, "\n"), atrium.Caution) {
			t.Errorf("%s: %+v, %v", format, sheet, err)
		}
		w.as("ines").do("GET", in("/import-template?format="+string(format)), nil).want(200)
	}
	for _, who := range []string{"mei", "jonas", "amara"} {
		w.as(who).do("GET", in("/case-export"), nil).want(403)
	}
	w.as("ines").do("GET", in("/case-export?format=pdf"), nil).want(422)
	empty := w.as("kofi").do("GET", in("/case-export"), nil).want(200)
	if sheet, err := casefile.Read(empty.body); err != nil || len(sheet.Rows) != 0 || bytes.Contains(empty.body, []byte("ines")) {
		t.Errorf("another trainee's log: %+v, %v", sheet, err)
	}
}

// TestExportKeepsWords: a note that was let past the privacy screen, and a signed case under amendment, come in again from the exported log as
// they count: nothing is asked for twice, and what was kept is on record for the new case too.
func TestExportKeepsWords(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		record := biatrial()
		record.Note = "Discussed with Dr Kowal before the clamp."
		found := competency.PrivacyScreen(record.Note)
		if len(found) != 1 || !found[0].Keepable {
			t.Fatalf("the screen finds %+v", found)
		}
		override := []map[string]string{{"field": "record.note", "kind": found[0].Kind, "excerpt": found[0].Excerpt, "reason": "A colleague, no patient."}}
		w.as("ines").do("POST", in("/cases"), map[string]any{"record": record, "overrides": override}).want(201)
		path, tag := w.signedCase()
		opened := w.as("ines").do("POST", path+"/amendment", `{"reason":"A line is missing."}`, "If-Match", tag).want(200)
		changed := biatrial()
		changed.Note = "Not handed in yet."
		w.as("ines").do("PUT", path, recordOf{changed}, "If-Match", opened.etag()).want(200)
		log := w.as("ines").do("GET", in("/case-export?format=csv"), nil).want(200)
		if !strings.Contains(string(log.body), "Dr Kowal") || strings.Contains(string(log.body), "Not handed in") {
			t.Fatalf("%s", log.body)
		}
		var check service.ImportCheck
		w.as("ines").do("POST", in("/import-check"), map[string]any{"file": []byte(log.body)}).want(200).into(&check)
		if len(check.Faults) != 0 || check.Rows != 2 {
			t.Fatalf("%d rows, faults %+v", check.Rows, check.Faults)
		}
		w.as("ines").do("POST", in("/imports"), map[string]any{"file": []byte(log.body)}).want(202)
		w.work()
		if kept := w.overrides(""); len(kept) != 2 {
			t.Errorf("%d overrides on record, want 2", len(kept))
		}
		other := strings.Replace(string(log.body), "Dr Kowal", "Dr Bellweather", 1)
		w.as("ines").do("POST", in("/import-check"), map[string]any{"file": []byte(other)}).want(200).into(&check)
		if len(check.Faults) == 0 {
			t.Error("another address passes")
		}
	})
}
