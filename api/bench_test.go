package api

import (
	"log/slog"
	"net/http/httptest"
	"testing"

	"isthmus/api/store/storetest"
	"isthmus/migrations"
)

// BenchmarkReadCase is one authorised read: a session, its person, the roles, the case, its sign-offs and acts.
func BenchmarkReadCase(b *testing.B) {
	for _, dialect := range []migrations.Dialect{migrations.SQLite, migrations.PostgreSQL} {
		b.Run(string(dialect), func(b *testing.B) {
			w := newWorld(b, storetest.Open(b, dialect))
			path, tag := w.submitted(biatrial())
			w.as("mei").do("POST", path+"/sign-off", statement(biatrial()), "If-Match", tag).want(200)
			w.server.Logger = slog.New(slog.DiscardHandler)
			cookie := w.as("ines").cookies["isthmus"]
			for b.Loop() {
				r := httptest.NewRequest("GET", path, nil)
				r.Header.Set("Cookie", "isthmus="+cookie)
				recorder := httptest.NewRecorder()
				w.handler.ServeHTTP(recorder, r)
				if recorder.Code != 200 {
					b.Fatal(recorder.Code, recorder.Body)
				}
			}
		})
	}
}
