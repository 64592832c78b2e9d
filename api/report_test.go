package api

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"isthmus/api/needs"
	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/assessment/atrium"
	"isthmus/competency"
)

// reported asks for a report and gives its id.
func (w *world) reported(who string, order any) string {
	w.Helper()
	path := w.as(who).do("POST", in("/reports"), order).want(http.StatusAccepted).header.Get("Location")
	return path[strings.LastIndex(path, "/")+1:]
}

// wrote works off every report that waits and drops the files whose days are over.
func (w *world) wrote() {
	w.Helper()
	for {
		worked, err := w.server.Service.WorkOnReports(w.Context())
		w.must(err)
		if !worked {
			return
		}
	}
}

// report asks for a report, has it written and gives it with its file.
func (w *world) report(who string, order any) (view service.ReportView, file []byte) {
	w.Helper()
	path := in("/reports/" + w.reported(who, order))
	w.wrote()
	w.as(who).do("GET", path, nil).want(200).into(&view)
	if view.State != store.ReportDone || view.Ready != view.Total {
		w.Fatalf("%+v", view)
	}
	reply := w.as(who).do("GET", path+"/file", nil).want(200)
	if got := reply.header.Get("Content-Disposition"); got != `attachment; filename="`+view.FileName+`"` {
		w.Errorf("given as %s", got)
	}
	if shots := os.Getenv("ISTHMUS_SHOTS"); shots != "" {
		w.must(os.WriteFile(filepath.Join(shots, view.FileName), reply.body, 0o600))
	}
	return view, reply.body
}

// pagesOf reads a PDF's text page by page, each on one line.
func pagesOf(t *testing.T, pdf []byte) []string {
	t.Helper()
	cmd := exec.Command(needs.Tool(t, "pdftotext"), "-", "-")
	cmd.Stdin = bytes.NewReader(pdf)
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	pages := strings.Split(strings.TrimSuffix(string(out), "\f"), "\f")
	for i := range pages {
		pages[i] = strings.Join(strings.Fields(pages[i]), " ")
	}
	return pages
}

// TestPortfolio: a trainee's own, with standing, case, decision and signatures; the same to the director but for what is the committee's;
// every page carries what it must.
func TestPortfolio(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		w.signedCase()
		meeting := w.called()
		hash := w.meetingOf("amara", meeting).Turns[0].Standing.EvidenceHash
		body := map[string]any{"outcome": "continue", "reasons": "The thresholds are not reached yet.", "evidence_hash": hash}
		w.as("amara").do("POST", meeting+"/trainees/ines/decision", body).want(201)
		view, pdf := w.report("ines", `{"kind":"portfolio","trainee":"ines"}`)
		pages := pagesOf(t, pdf)
		for i, page := range pages {
			for _, must := range []string{"north", "As of 1 June 2026", "version 1", view.Code, strings.Join(strings.Fields(atrium.Caution), " ")} {
				if !strings.Contains(page, must) {
					t.Errorf("page %d lacks %q:\n%s", i+1, must, page)
				}
			}
		}
		all := strings.Join(pages, " ")
		for _, must := range []string{
			"Portfolio Ines", "Standing", "Biatrial set", "2026-05-28", "Continue training", "The thresholds are not reached yet.", "Signed by Amara", competency.DecisionMeaning,
			competency.SignOffMeaning, "1 June 2026, 09:00:00 UTC", hash,
		} {
			if !strings.Contains(all, must) {
				t.Errorf("the portfolio lacks %q", must)
			}
		}
		again, _ := w.report("amara", `{"kind":"portfolio","trainee":"ines"}`)
		if again.Code != view.Code {
			t.Errorf("the same content has the codes %s and %s", view.Code, again.Code)
		}
		_, outside := w.report("ines", `{"kind":"portfolio","trainee":"ines","outside":true}`)
		if all := strings.Join(pagesOf(t, outside), " "); strings.Contains(all, "2026-05-28") || !strings.Contains(all, "Signed-off cases: hidden.") || strings.Contains(all, "Biatrial set 1") {
			t.Errorf("what leaves the programme tells of one case:\n%s", all)
		}
	})
}

// TestVerifyReport: a code is checked by anybody with an account, however it is typed, with the file or without; a row changed from outside
// is no record.
func TestVerifyReport(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		view, pdf := w.report("ines", `{"kind":"portfolio","trainee":"ines"}`)
		sum := sha256.Sum256(pdf)
		mine := hex.EncodeToString(sum[:])
		check := func(who, code, file string) (v service.Verified) {
			w.as(who).do("GET", "/api/report-check?"+url.Values{"code": {code}, "file": {file}}.Encode(), nil).want(200).into(&v)
			return v
		}
		for _, who := range []string{"ines", "mei", "stranger", "nobody"} {
			if v := check(who, view.Code, ""); !v.Matches || !v.MadeAt.Equal(view.ClosedAt) || !strings.Contains(v.Says, "1 June 2026") || strings.Contains(v.Says, "Ines") {
				t.Errorf("%s is told %+v", who, v)
			}
		}
		if v := check("nobody", strings.ToLower(strings.ReplaceAll(view.Code, "-", " ")), mine); !v.Matches {
			t.Errorf("carelessly typed: %+v", v)
		}
		if v := check("nobody", view.Code, strings.Repeat("0", 64)); v.Matches || v.Says == "" {
			t.Errorf("another file: %+v", v)
		}
		if v := check("nobody", "00000-00000-00000-00000", ""); v.Matches || !v.MadeAt.IsZero() {
			t.Errorf("an invented code: %+v", v)
		}
		w.as("nobody").do("GET", "/api/report-check?code=twelve", nil).want(422)
		w.as("nobody").do("GET", "/api/report-check?code="+view.Code+"&file=x", nil).want(422)
		w.anonymous().do("GET", "/api/report-check?code="+view.Code, nil).want(401)
		_, err := db.DB().ExecContext(t.Context(), "UPDATE reports SET as_of = '2026-05-01'")
		w.must(err)
		if v := check("nobody", view.Code, mine); v.Matches {
			t.Errorf("changed from outside: %+v", v)
		}
	})
}

// TestWhoHasReports lists who may ask for what, and that nobody else gets it.
func TestWhoHasReports(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	own, pack, book := `{"kind":"portfolio","trainee":"ines"}`, `{"kind":"pack"}`, `{"kind":"workbook"}`
	for who, want := range map[string][3]int{
		"ines": {202, 403, 403}, "kofi": {403, 403, 403}, "mei": {403, 403, 403}, "jonas": {403, 403, 403}, "ruth": {202, 202, 403}, "yuki": {403, 403, 403}, "amara": {202, 202, 202},
		"oskar": {403, 403, 403}, "stranger": {404, 404, 404},
	} {
		for i, order := range []string{own, pack, book} {
			w.as(who).do("POST", in("/reports"), order).want(want[i])
		}
	}
	id := w.reported("ines", own)
	w.as("amara").do("GET", in("/reports/"+id), nil).want(404) // who wants it asks for it
	w.as("ines").do("GET", in("/reports/"+id+"/file"), nil).want(404)
	w.wrote()
	w.as("amara").do("GET", in("/reports/"+id+"/file"), nil).want(404)
	var list service.List[service.ReportView]
	w.as("ines").do("GET", in("/reports"), nil).want(200).into(&list)
	if len(list.Items) != 2 || list.Items[0].ID != store.ReportID(id) || list.Items[0].TraineeName != "Ines" {
		t.Errorf("%+v", list)
	}
	for order, field := range map[string]string{
		`{"kind":"portfolio"}`: "trainee", `{"kind":"pack","trainee":"ines"}`: "trainee", `{"kind":"pack","outside":true}`: "outside",
		`{"kind":"pack","on":"2027-01-01"}`: "on", `{"kind":"poster"}`: "kind",
	} {
		if p := w.as("amara").do("POST", in("/reports"), order).want(422).problem(); len(p.Errors) != 1 || !strings.HasSuffix(p.Errors[0].Location, field) {
			t.Errorf("%s: %+v", order, p)
		}
	}
	w.as("amara").do("POST", in("/reports"), `{"kind":"portfolio","trainee":"mei"}`).want(404)
}

// TestReportsPass: who is no member any more when it is written gets none, and after 30 days the file goes while the code stays.
func TestReportsPass(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		view, _ := w.report("amara", `{"kind":"pack"}`)
		late := w.reported("ruth", `{"kind":"pack"}`)
		w.clock.advance(30*24*time.Hour + time.Minute)
		w.clients = map[string]*client{}
		_, err := db.DB().ExecContext(t.Context(), "UPDATE memberships SET until_day = '2026-06-02' WHERE person_id = 'ruth'")
		w.must(err)
		w.wrote()
		w.as("amara").do("GET", in("/reports/"+string(view.ID)+"/file"), nil).want(404)
		var old service.ReportView
		w.as("amara").do("GET", in("/reports/"+string(view.ID)), nil).want(200).into(&old)
		if old.State != store.ReportDone || old.FileName != "" || old.Code != view.Code {
			t.Errorf("after its days: %+v", old)
		}
		var v service.Verified
		w.as("nobody").do("GET", "/api/report-check?code="+view.Code, nil).want(200).into(&v)
		if !v.Matches {
			t.Errorf("after its days: %+v", v)
		}
		w.write(north, func(tx *store.Tx) error {
			one, err := tx.ReportByID(north, store.ReportID(late))
			if err == nil && (one.State != store.ReportFailed || !strings.Contains(one.Message, "no member")) {
				t.Errorf("%+v", one)
			}
			return tx.Audit("test", "x", nil, err)
		})
		w.sound(0)
	})
}

// TestPackAndTables: the pack tells of every trainee, the workbook holds the same case in typed cells, and outside only hidden counts.
func TestPackAndTables(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		w.signedCase()
		w.decided(w.called())
		_, pdf := w.report("ruth", `{"kind":"pack"}`)
		all := strings.Join(pagesOf(t, pdf), " ")
		for _, must := range []string{"Meeting pack Cohort of 1 June 2026", "Ines", "Kofi", "Signed by Amara", "Continue training"} {
			if !strings.Contains(all, must) {
				t.Errorf("the pack lacks %q", must)
			}
		}
		_, data := w.report("amara", `{"kind":"workbook"}`)
		book, err := excelize.OpenReader(bytes.NewReader(data))
		w.must(err)
		defer book.Close()
		if got := strings.Join(book.GetSheetList(), " "); got != "about people standing cases ratings dictionary" {
			t.Errorf("sheets %s", got)
		}
		rows, err := book.GetRows("cases")
		w.must(err)
		line := strings.Join(rows[1], "|")
		if len(rows) != 2 || !strings.Contains(line, "2026-05-28|2026-05-28|2026-05-28|Main site|mitral") || !strings.Contains(line, "biatrial|TRUE|TRUE|target") {
			t.Errorf("cases %v", rows)
		}
		_, data = w.report("amara", `{"kind":"tables","outside":true}`)
		archive, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
		w.must(err)
		names := []string{}
		for _, file := range archive.File {
			names = append(names, file.Name)
			inside, err := file.Open()
			w.must(err)
			var text bytes.Buffer
			_, err = text.ReadFrom(inside)
			w.must(err)
			if strings.Contains(text.String(), "Ines") || strings.Contains(text.String(), "2026-05-28") || file.Name == "cases.csv" && !strings.Contains(text.String(), "Operation,Mitral valve,hidden") {
				t.Errorf("%s leaves the programme with\n%s", file.Name, text.String())
			}
		}
		if got := strings.Join(names, " "); got != "about.csv cases.csv standing.csv dictionary.csv" {
			t.Errorf("files %s", got)
		}
	})
}
