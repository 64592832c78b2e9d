package main

import (
	"database/sql"
	"math"
	"testing"

	"isthmus/api/service"
	"isthmus/competency"
)

// headlineSQL counts the operations for AF that is not paroxysmal and those with less than a biatrial set, and lists the waits for a signature.
const headlineSQL = `
SELECT v.pattern <> 'paroxysmal', v.scope <> 'biatrial', julianday(s.signed_at) - julianday(v.submitted_at)
FROM sign_offs s JOIN case_versions v ON v.programme_id = s.programme_id AND v.case_id = s.case_id AND v.version = s.case_version JOIN cases c ON c.id = s.case_id
WHERE c.status <> 'withdrawn' AND s.case_version = (SELECT max(n.case_version) FROM sign_offs n WHERE n.case_id = s.case_id)
ORDER BY 3`

// daysSQL counts the days that trainees were posted to a site (?2) in the year up to a day (?1).
const daysSQL = `SELECT sum(1 + julianday(CASE WHEN r.until_day = '' OR r.until_day > ?1 THEN ?1 ELSE r.until_day END) - julianday(max(r.from_day, date(?1, '-364 days'))))
	FROM rotations r JOIN memberships m ON m.person_id = r.person_id AND m.role = 'trainee' WHERE r.site = ?2 AND r.from_day <= ?1`

// TestCohortAgain computes the cohort's and the case mix's figures of the demo a second way, in plain SQL.
func TestCohortAgain(t *testing.T) {
	d := filledDemo(t)
	var cohort service.Cohort
	seen := map[string]int{}
	for _, q := range []service.CohortQuery{{On: "2025-10-20", Period: 200}, {On: "2026-02-15", Period: 30}, {}} {
		var err error
		if cohort, err = d.service.Cohort(t.Context(), d.director, d.programme, q); err != nil {
			t.Fatal(err)
		}
		checkStates(t, d.store.DB(), cohort, seen)
	}
	if len(seen) != 8 {
		t.Errorf("seen were %v: not all five states and three trends", seen)
	}
	checkHeadline(t, d.store.DB(), cohort.On, cohort.Headline)
	mix, err := d.service.CaseMixOf(t.Context(), d.director, d.programme, "")
	if err != nil {
		t.Fatal(err)
	}
	for _, site := range mix.Sites {
		if days := again(t, d.store.DB(), daysSQL, string(mix.On), site.Site); int(days) != site.Days {
			t.Errorf("%s: %d trainee-days, by SQL %g", site.Site, site.Days, days)
		}
	}
	checkCaseMix(t, d.store.DB(), mix, cohort)
}

// checkHeadline compares the share left out and the median wait.
func checkHeadline(t *testing.T, db *sql.DB, on competency.Day, h service.Headline) {
	t.Helper()
	rows, err := db.Query(headlineSQL)
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	n, left := 0, 0
	var waits []float64
	for rows.Next() {
		var lasting, less bool
		var wait float64
		if err := rows.Scan(&lasting, &less, &wait); err != nil {
			t.Fatal(err)
		}
		waits = append(waits, wait)
		if lasting {
			n++
			if less {
				left++
			}
		}
	}
	if err := rows.Err(); err != nil || len(waits) == 0 {
		t.Fatalf("%d waits, %v", len(waits), err)
	}
	if share, low, high := wilson(left, n); math.Abs(h.ScopeLeftOut.Share-share) > 1e-4 || math.Abs(h.ScopeLeftOut.Low-low) > 1e-4 || math.Abs(h.ScopeLeftOut.High-high) > 1e-4 || h.ScopeLeftOut.Level != 0.95 {
		t.Errorf("left out %+v, again %.4f (%.4f to %.4f)", h.ScopeLeftOut, share, low, high)
	}
	const submitted = "SELECT count(*) FROM cases c JOIN case_versions v ON v.case_id = c.id WHERE c.status = 'submitted' AND v.version = (SELECT max(n.version) FROM case_versions n WHERE n.case_id = c.id)"
	waiting, late := int(again(t, db, submitted)), int(again(t, db, submitted+" AND julianday(?) - julianday(v.operated_on) > 14", string(on)))
	if h.SignOffWait.Waiting != waiting || h.SignOffWait.Late != late || waiting == 0 {
		t.Errorf("%d wait, %d of them too long; by SQL %d and %d", h.SignOffWait.Waiting, h.SignOffWait.Late, waiting, late)
	}
	median := (waits[(len(waits)-1)/2] + waits[len(waits)/2]) / 2
	if h.ScopeLeftOut.N != n || h.ScopeLeftOut.Count != left || h.SignOffWait.N != len(waits) || math.Abs(h.SignOffWait.MedianDays-median) > 0.051 {
		t.Errorf("headline %+v, by SQL %d of %d, median wait %.3f of %d", h, left, n, median, len(waits))
	}
}
