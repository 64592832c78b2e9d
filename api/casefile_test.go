package api

import (
	"bytes"
	"strings"
	"testing"

	"isthmus/api/store/storetest"
	"isthmus/assessment/atrium"
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
