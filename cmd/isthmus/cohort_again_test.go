package main

import (
	"database/sql"
	"math"
	"path/filepath"
	"testing"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/competency"
)

// cohortSQL says again, in SQL alone, what a trainee has on the counts, the help given and the recency of the demo's standard. The demo has exact
// dates and keeps the latest signed version of each case.
const cohortSQL = `
WITH signed AS (
	SELECT c.trainee_id, v.case_id, v.operated_on, v.submitted_at, v.pattern, v.scope, v.site, s.role, s.help_given, s.late_recall, s.signed_at,
		row_number() OVER (PARTITION BY c.trainee_id ORDER BY v.operated_on DESC, s.signed_at DESC, v.case_id DESC) AS latest
	FROM sign_offs s JOIN case_versions v ON v.programme_id = s.programme_id AND v.case_id = s.case_id AND v.version = s.case_version
		JOIN cases c ON c.id = s.case_id
	WHERE c.status <> 'withdrawn' AND s.case_version = (SELECT max(n.case_version) FROM sign_offs n WHERE n.case_id = s.case_id)),
rated AS (
	SELECT *, row_number() OVER (PARTITION BY trainee_id ORDER BY operated_on DESC, signed_at DESC, case_id DESC) AS nth
	FROM signed WHERE role = 'primary' AND NOT late_recall)
SELECT p.id,
	(SELECT count(*) FROM signed s WHERE s.trainee_id = p.id AND role = 'primary' AND scope = 'biatrial'),
	(SELECT count(*) FROM signed s WHERE s.trainee_id = p.id AND role = 'primary' AND scope IN ('box', 'left-atrial', 'biatrial') AND pattern = 'paroxysmal'),
	(SELECT count(*) FROM signed s WHERE s.trainee_id = p.id AND role = 'primary' AND julianday(?) - julianday(operated_on) <= 180),
	(SELECT count(*) FROM rated r WHERE r.trainee_id = p.id AND nth <= 10),
	(SELECT count(*) FROM rated r WHERE r.trainee_id = p.id AND nth <= 10 AND help_given >= 4)
FROM people p JOIN memberships m ON m.person_id = p.id WHERE m.role = 'trainee' ORDER BY p.id`

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
	folder := t.TempDir()
	book := fill(t, folder)
	s, err := store.Open(t.Context(), store.Config{URL: "sqlite:" + filepath.Join(folder, demoDatabase)})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	sv, director := demoService(t, s), service.Actor{Person: book.Accounts[0].ID}
	cohort, err := sv.Cohort(t.Context(), director, book.Programme, service.CohortQuery{})
	if err != nil {
		t.Fatal(err)
	}
	checkRows(t, s.DB(), cohort)
	checkHeadline(t, s.DB(), cohort.Headline)
	mix, err := sv.CaseMixOf(t.Context(), director, book.Programme, "")
	if err != nil {
		t.Fatal(err)
	}
	for _, site := range mix.Sites {
		if days := again(t, s.DB(), daysSQL, string(mix.On), site.Site); int(days) != site.Days {
			t.Errorf("%s: %d trainee-days, by SQL %g", site.Site, site.Days, days)
		}
	}
	checkCaseMix(t, s.DB(), mix, cohort)
}

// checkRows compares every trainee's counts, recency and share.
func checkRows(t *testing.T, db *sql.DB, cohort service.Cohort) {
	t.Helper()
	rows, err := db.Query(cohortSQL, string(cohort.On))
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	seen := 0
	for rows.Next() {
		var id competency.PersonID
		var biatrial, paroxysmal, recent, rated, good int
		if err := rows.Scan(&id, &biatrial, &paroxysmal, &recent, &rated, &good); err != nil {
			t.Fatal(err)
		}
		want := map[string]float64{"biatrial-cases": float64(biatrial), "paroxysmal-cases": float64(paroxysmal), "recent-cases": float64(recent)}
		if rated > 0 {
			want["help-given"] = math.Round(1e4*float64(good)/float64(rated)) / 1e4
		}
		for _, row := range cohort.Trainees {
			if row.ID != id {
				continue
			}
			seen++
			for _, line := range row.Lines {
				value, told := want[line.Requirement]
				if !told {
					continue
				}
				delete(want, line.Requirement)
				if line.Value != value {
					t.Errorf("%s, %s: %g, by SQL %g", row.Name, line.Requirement, line.Value, value)
				}
				if counted := line.Unit != "share" && line.Requirement != "help-given"; counted && (line.State == competency.Met) != (value >= line.Target) {
					t.Errorf("%s, %s: %g of %g is called %s", row.Name, line.Requirement, value, line.Target, line.State)
				}
				if line.Requirement == "help-given" {
					checkShare(t, row.Name, line, good, rated)
				}
			}
			if len(want) > 0 {
				t.Errorf("%s: %v are in no row", row.Name, want)
			}
		}
	}
	if err := rows.Err(); err != nil || seen != len(cohort.Trainees) || seen == 0 {
		t.Errorf("%d of %d trainees compared, %v", seen, len(cohort.Trainees), err)
	}
}

// checkShare compares the share of ratings with its limits, which are Wilson's at the standard's 90 %.
func checkShare(t *testing.T, who string, line service.CohortLine, good, rated int) {
	t.Helper()
	if line.N != rated {
		t.Errorf("%s: of %d ratings, by SQL %d", who, line.N, rated)
	}
	if rated == 0 || line.Interval == nil {
		return
	}
	const z = 1.6448536269514722
	share, n := float64(good)/float64(rated), float64(rated)
	middle, half := share+z*z/(2*n), z*math.Sqrt(share*(1-share)/n+z*z/(4*n*n))
	if low, high := (middle-half)/(1+z*z/n), (middle+half)/(1+z*z/n); line.Interval.Level != 0.9 || math.Abs(line.Interval.Low-low) > 1e-4 || math.Abs(line.Interval.High-high) > 1e-4 {
		t.Errorf("%s: %+v, again %.4f to %.4f", who, line.Interval, low, high)
	}
}

// checkHeadline compares the share left out and the median wait.
func checkHeadline(t *testing.T, db *sql.DB, h service.Headline) {
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
	if waiting := int(again(t, db, "SELECT count(*) FROM cases WHERE status = 'submitted'")); h.SignOffWait.Waiting != waiting {
		t.Errorf("%d wait, by SQL %d", h.SignOffWait.Waiting, waiting)
	}
	median := (waits[(len(waits)-1)/2] + waits[len(waits)/2]) / 2
	if h.ScopeLeftOut.N != n || h.ScopeLeftOut.Count != left || h.SignOffWait.N != len(waits) || math.Abs(h.SignOffWait.MedianDays-median) > 0.051 {
		t.Errorf("headline %+v, by SQL %d of %d, median wait %.3f of %d", h, left, n, median, len(waits))
	}
}
