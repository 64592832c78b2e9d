package api

import (
	"runtime"
	"strings"
	"testing"

	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/migrations"
)

// BenchmarkTenThousand is every page of the director, and every report, in a programme of 50 trainees with 200 signed cases each, right after a
// write: nothing is remembered. MB is what the process holds of the machine by then, the test's own share included.
func BenchmarkTenThousand(b *testing.B) {
	for _, dialect := range []migrations.Dialect{migrations.SQLite, migrations.PostgreSQL} {
		w := newWorld(b, storetest.Open(b, dialect))
		w.crowd(b, north, 50, 200)
		for _, path := range []string{
			"/cohort", "/case-mix", "/practice", "/assessors", "/outcomes", "/agreement", "/cases", "/follow-ups", "/trainees/north-trainee-001/standing", "/trainees/north-trainee-001/curves", "/exports/fhir", "/people",
		} {
			b.Run(string(dialect)+path, func(b *testing.B) {
				for b.Loop() {
					w.touched()
					w.as("amara").do("GET", in(path), nil).want(200)
				}
				b.ReportMetric(held(), "MB")
			})
		}
		for _, body := range []string{`{"kind":"portfolio","trainee":"north-trainee-001"}`, `{"kind":"pack"}`, `{"kind":"workbook"}`, `{"kind":"tables"}`} {
			b.Run(string(dialect)+"/report "+strings.Split(body, `"`)[3], func(b *testing.B) {
				for b.Loop() {
					w.touched()
					w.as("amara").do("POST", in("/reports"), body).want(202)
					for worked := true; worked; {
						var err error
						worked, err = w.server.Service.WorkOnReports(w.Context())
						w.must(err)
					}
				}
				b.ReportMetric(held(), "MB")
			})
		}
	}
}

// touched writes something in north.
func (w *world) touched() {
	w.write(north, func(tx *store.Tx) error { return tx.Audit("thing", "1", nil, nil) })
}

// held is what the Go runtime holds of the machine, in megabytes.
func held() float64 {
	var stats runtime.MemStats
	runtime.ReadMemStats(&stats)
	return float64(stats.Sys-stats.HeapReleased) / (1 << 20)
}
