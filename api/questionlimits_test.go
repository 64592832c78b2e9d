package api

import (
	"archive/zip"
	"bytes"
	"encoding/base64"
	"fmt"
	"log/slog"
	"net/http/httptest"
	"strings"
	"testing"

	"isthmus/api/service"
	"isthmus/api/store/storetest"
	"isthmus/assessment/question"
	"isthmus/migrations"
)

// packed is a package of files by their names, in order.
func packed(t *testing.T, files ...[2]string) []byte {
	t.Helper()
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for _, file := range files {
		entry, err := w.Create(file[0])
		if err != nil {
			t.Fatal(err)
		}
		if _, err := entry.Write([]byte(file[1])); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// TestQuestionImportRefuses: what no file of questions may be is refused through the API with its place and what is wrong; nothing is kept.
func TestQuestionImportRefuses(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	manifest := [2]string{"imsmanifest.xml", `<manifest xmlns="http://www.imsglobal.org/xsd/imscp_v1p1"/>`}
	for name, tt := range map[string]struct {
		file string
		data []byte
		says string
	}{
		"an entity that grows":     {"x.xml", []byte(`<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;">]><x>&b;</x>`), "document type"},
		"an entity from outside":   {"x.xml", []byte(`<!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/hostname">]><x>&a;</x>`), "document type"},
		"elements within another":  {"x.xml", []byte(strings.Repeat("<b>", 100) + strings.Repeat("</b>", 100)), "deeper than 64"},
		"a name that leads out":    {"p.zip", packed(t, manifest, [2]string{"../evil.xml", "x"}), "leads out"},
		"a file packed to burst":   {"p.zip", packed(t, manifest, [2]string{"a.xml", strings.Repeat("a", 1<<20)}), "200 times"},
		"a package above 20 MB":    {"p.zip", append([]byte("PK\x03\x04"), make([]byte, 20<<20)...), "larger than 20 MB"},
		"a table above 20 MB":      {"t.csv", bytes.Repeat([]byte("a"), 20<<20+1), "larger than 20 MB"},
		"a table too long":         {"t.csv", []byte("id,topic,author,kind,stem,rationale,source\n" + strings.Repeat("a,b,c,numeric,d,e,f\n", 5002)), ""},
		"nothing but a blank line": {"t.csv", []byte("\n"), ""},
		"no text":                  {"t.csv", []byte{0xff, 0xfe, 0x00}, ""},
	} {
		t.Run(name, func(t *testing.T) {
			before := w.state()
			body := map[string]any{"file": base64.StdEncoding.EncodeToString(tt.data), "name": tt.file}
			var check service.QuestionImportCheck
			w.as("mei").do("POST", in("/question-import-check"), body).want(200).into(&check)
			if len(check.Faults) == 0 || !strings.Contains(fmt.Sprint(check.Faults), tt.says) || check.Faults[0].File == "" || len(check.Rows) > 0 {
				t.Errorf("want %q in %d rows, faults %+v", tt.says, len(check.Rows), check.Faults)
			}
			w.unchanged(before, w.as("mei").do("POST", in("/question-imports"), body).want(422).request)
		})
	}
	huge := `{"name":"x.csv","file":"` + strings.Repeat("A", maxFileBody) + `"}`
	w.as("mei").do("POST", in("/question-import-check"), huge).want(413)
}

// BenchmarkQuizStart is a test of 20 questions begun in a programme with n live questions of its own beside the starter bank.
func BenchmarkQuizStart(b *testing.B) {
	for _, dialect := range []migrations.Dialect{migrations.SQLite, migrations.PostgreSQL} {
		for _, n := range []int{0, 150} {
			w := newWorld(b, storetest.Open(b, dialect))
			w.server.Logger = slog.New(slog.DiscardHandler)
			for i := range n {
				var view service.BankQuestion
				it := stairs(question.ItemID(fmt.Sprintf("own-%d", i)))
				w.as("mei").do("POST", in("/questions"), asks{it}).want(201).into(&view)
				w.asking("mei", it.ID, "submit", nil, &view).want(200)
				w.asking("leila", it.ID, "approve", nil, &view).want(200)
			}
			cookie := w.as("ines").cookies["isthmus"]
			send := func(method, path, body, tag string) *httptest.ResponseRecorder {
				r := httptest.NewRequest(method, path, strings.NewReader(body))
				r.Header.Set("Cookie", "isthmus="+cookie)
				r.Header.Set("Content-Type", "application/json")
				if tag != "" {
					r.Header.Set("If-Match", tag)
				}
				recorder := httptest.NewRecorder()
				w.handler.ServeHTTP(recorder, r)
				return recorder
			}
			b.Run(fmt.Sprintf("%s/%d own", dialect, n), func(b *testing.B) {
				for b.Loop() {
					made := send("POST", in("/quizzes"), `{"mode":"test"}`, "")
					b.StopTimer()
					if made.Code != 201 {
						b.Fatal(made.Code, made.Body)
					}
					if ended := send("POST", made.Header().Get("Location")+"/submit", "", made.Header().Get("ETag")); ended.Code != 200 {
						b.Fatal(ended.Code, ended.Body)
					}
					b.StartTimer()
				}
			})
		}
	}
}

// TestLargeFilesArrive: a file up to the size its operation takes is read, and said to be what is wrong with it, wherever files are taken.
func TestLargeFilesArrive(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	for path, of := range w.server.large {
		if of <= maxBody {
			t.Errorf("%s: takes %d bytes, no more than any other", path, of)
		}
		body := `{"nothing":"` + strings.Repeat("a", int(of)-20) + `"}`
		if got := w.as("amara").do("POST", in(path), body); got.status != 422 {
			t.Errorf("%s: %d for %d bytes of no known field", path, got.status, len(body))
		}
		if got := w.as("amara").do("POST", in(path), strings.Repeat("a", int(of)+2)); got.status != 413 {
			t.Errorf("%s: %d for a byte more than it takes", path, got.status)
		}
	}
	if len(w.server.large) < 6 {
		t.Errorf("files are taken at %d addresses", len(w.server.large))
	}
}
