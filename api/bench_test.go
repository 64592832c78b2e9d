package api

import (
	"errors"
	"fmt"
	"log/slog"
	"net/http/httptest"
	"slices"
	"testing"
	"time"

	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/assessment"
	"isthmus/migrations"
)

// BenchmarkReadCase is one authorised read: a session, its person, the roles, the case, its sign-offs and acts.
func BenchmarkReadCase(b *testing.B) {
	for _, dialect := range []migrations.Dialect{migrations.SQLite, migrations.PostgreSQL} {
		b.Run(string(dialect), func(b *testing.B) {
			w := newWorld(b, storetest.Open(b, dialect))
			path, tag := w.submitted(biatrial())
			w.as("mei").do("POST", path+"/sign-off", statement(biatrial()), "If-Match", tag).want(200)
			w.loop(b, "ines", path)
		})
	}
}

// BenchmarkScenarios is what a trainee asks for before planning, in a programme whose library has n scenarios of its own.
func BenchmarkScenarios(b *testing.B) {
	for _, dialect := range []migrations.Dialect{migrations.SQLite, migrations.PostgreSQL} {
		for _, n := range []int{0, 50} {
			w := newWorld(b, storetest.Open(b, dialect))
			w.ownLive(n)
			for name, path := range map[string]string{"list": "/scenarios?limit=200", "one": "/scenarios/" + scenarioID()} {
				b.Run(fmt.Sprintf("%s/%d own/%s", dialect, n, name), func(b *testing.B) { w.loop(b, "ines", in(path)) })
			}
		}
	}
}

// ownLive puts n live scenarios into the library of north.
func (w *world) ownLive(n int) {
	w.Helper()
	for i := range n {
		w.write(north, func(tx *store.Tx) error {
			e, err := assessment.NewEdition(toldAgain(assessment.ScenarioID(fmt.Sprintf("own-%d", i))), "mei")
			if err == nil {
				err = tx.CreateEdition(north, e, w.clock.Now())
			}
			if err != nil {
				return err
			}
			e.Status, e.Scenario.Status, e.LiveVersion, e.LatestVersion, e.Revision = assessment.Live, assessment.Live, 1, 1, 2
			version := store.ScenarioVersion{Scenario: e.Scenario, Author: "mei", ApprovedBy: "leila", KeptAt: w.clock.Now()}
			return errors.Join(tx.SaveEdition(north, e, 1, w.clock.Now()), tx.AddScenarioVersion(north, version), tx.Audit("edition", string(e.ID), nil, e))
		})
	}
}

// loop reads one address again and again as somebody, and tells the 99th percentile beside the mean.
func (w *world) loop(b *testing.B, who, path string) {
	b.Helper()
	w.server.Logger = slog.New(slog.DiscardHandler)
	cookie := w.as(who).cookies["isthmus"]
	var took []time.Duration
	for b.Loop() {
		begun := time.Now()
		r := httptest.NewRequest("GET", path, nil)
		r.Header.Set("Cookie", "isthmus="+cookie)
		recorder := httptest.NewRecorder()
		w.handler.ServeHTTP(recorder, r)
		if recorder.Code != 200 {
			b.Fatal(recorder.Code, recorder.Body)
		}
		took = append(took, time.Since(begun))
	}
	slices.Sort(took)
	b.ReportMetric(float64(took[len(took)*99/100].Microseconds())/1000, "ms-p99")
}
