package main

import (
	"database/sql"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"isthmus/api/service"
	"isthmus/competency"
)

const (
	ratingsTable = "testdata/ratings.csv"    // the ratings of the demo filled on demoNow
	ratingsByR   = "testdata/ratings-r.json" // what testdata/ratings.R makes of them: Rscript ratings.R
)

// ratingsSQL is each case's last signature as a rating.
const ratingsSQL = `
SELECT t.name, s.assessor_name, s.help_given, s.supervision_next
FROM sign_offs s JOIN cases c ON c.id = s.case_id JOIN people t ON t.id = c.trainee_id
WHERE c.status <> 'withdrawn' AND s.case_version = (SELECT max(n.case_version) FROM sign_offs n WHERE n.case_id = s.case_id)
ORDER BY t.name, s.assessor_name, s.signed_at, s.case_id`

// signingSQL counts, for one assessor, the signatures, the returns, the signatures with something to keep and to change, those of late recall, and
// the steps of cases signed last by that assessor: all, and told alike by both. The waits come apart.
const signingSQL = `
WITH own AS (
	SELECT s.*, v.record FROM sign_offs s JOIN cases c ON c.id = s.case_id JOIN case_versions v ON v.case_id = s.case_id AND v.version = s.case_version
	WHERE c.status <> 'withdrawn' AND s.assessor_id = ?1),
told AS (
	SELECT mine.value ->> '$.performed_by' AS mine, theirs.value ->> '$.performed_by' AS theirs
	FROM own o, json_each(o.record, '$.steps') mine, json_each(o.statement, '$.steps') theirs
	WHERE mine.value ->> '$.step' = theirs.value ->> '$.step' AND o.case_version = (SELECT max(n.case_version) FROM own n WHERE n.case_id = o.case_id))
SELECT
	(SELECT count(*) FROM own),
	(SELECT count(*) FROM case_acts a JOIN cases c ON c.id = a.case_id WHERE a.kind = 'return' AND c.status <> 'withdrawn' AND a.by_id = ?1),
	(SELECT count(*) FROM own WHERE trim(coalesce(statement ->> '$.keep', '')) <> '' AND trim(coalesce(statement ->> '$.change', '')) <> ''),
	(SELECT count(*) FROM own WHERE late_recall),
	(SELECT count(*) FROM told), (SELECT count(*) FROM told WHERE mine = theirs)`

// waitsSQL are the days from the submission of a version to its signature, the shortest first.
const waitsSQL = `
SELECT (julianday(s.signed_at) - julianday(v.submitted_at)) AS days FROM sign_offs s JOIN cases c ON c.id = s.case_id
	JOIN case_versions v ON v.case_id = s.case_id AND v.version = s.case_version
WHERE c.status <> 'withdrawn' AND s.assessor_id = ? ORDER BY 1`

// TestAssessorsAgain computes every figure of the page of the demo's assessors a second way: the counts and waits in SQL with the formulas of
// their intervals, and what the ratings can be trusted for by R (lme4), stored beside the table it has read.
func TestAssessorsAgain(t *testing.T) {
	d := filledDemo(t)
	table := ratingsRows(t, d.store.DB())
	if *update {
		if err := os.WriteFile(ratingsTable, []byte(table), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if stored, err := os.ReadFile(ratingsTable); err != nil || string(stored) != table {
		t.Fatalf("the table R has read is not the demo's (%v): write it with -update and run Rscript ratings.R in testdata", err)
	}
	data, err := os.ReadFile(ratingsByR)
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]map[string]float64{}
	if err := json.Unmarshal(data, &want); err != nil {
		t.Fatal(err)
	}
	for _, scale := range []string{competency.ScaleHelpGiven, competency.ScaleSupervisionNext} {
		view, err := d.service.Assessors(t.Context(), d.director, d.programme, "", scale)
		if err != nil {
			t.Fatal(err)
		}
		compareTrust(t, scale, view.Ratings, want[scale])
		if len(view.Assessors) == 0 {
			t.Fatal("no assessors")
		}
		for _, row := range view.Assessors {
			compareSigning(t, d.store.DB(), row)
			compareSeverity(t, scale, row, want[scale])
		}
	}
}

// ratingsRows is the answer of ratingsSQL as CSV.
func ratingsRows(t *testing.T, db *sql.DB) string {
	t.Helper()
	rows, err := db.QueryContext(t.Context(), ratingsSQL)
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	var out strings.Builder
	out.WriteString("trainee,assessor,help_given,supervision_next\n")
	for rows.Next() {
		var trainee, assessor string
		var help, next int
		if err := rows.Scan(&trainee, &assessor, &help, &next); err != nil {
			t.Fatal(err)
		}
		fmt.Fprintf(&out, "%s,%s,%d,%d\n", trainee, assessor, help, next)
	}
	if err := rows.Err(); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

// compareTrust holds the components, their limits, phi of every mean and the fewest cases against R's.
func compareTrust(t *testing.T, scale string, k competency.DStudy, want map[string]float64) {
	t.Helper()
	if k.Refused != "" || len(k.Means) != 20 || len(k.Fewest) != 2 {
		t.Fatalf("%s: %+v", scale, k.RatingComponents)
	}
	got := map[string]float64{"trainee": k.Trainee, "assessor": k.Assessor, "pair": k.Pair, "residual": k.Residual, "low": k.Least, "high": k.Most,
		"ratings": float64(k.Ratings), "trainees": float64(k.Trainees), "assessors": float64(k.Assessors), "pairs": float64(k.Pairs)}
	for _, m := range k.Means {
		name := fmt.Sprintf("phi.%d.%d", m.Cases, m.Assessors)
		got[name], got[name+".low"], got[name+".high"] = m.Phi, m.Low, m.High
	}
	for _, f := range k.Fewest {
		for i, cases := range f.Cases {
			got[fmt.Sprintf("fewest.%g.%d", f.Phi, i+1)] = float64(cases)
		}
	}
	if len(got) != 80 {
		t.Errorf("%s: %d figures, want 80", scale, len(got))
	}
	compareWithR(t, scale, got, want)
}

// compareWithR holds figures against R's of the same name. The page rounds to four places, and goes on from there.
func compareWithR(t *testing.T, what string, got, want map[string]float64) {
	t.Helper()
	for name, g := range got {
		if w, inR := want[name]; !inR || math.Abs(w-g) > 2e-4*max(1, math.Abs(w)) {
			t.Errorf("%s, %s = %v, R has %v (%v)", what, name, g, w, inR)
		}
	}
}

// compareSeverity holds one assessor's severity against R's. Every assessor of the demo has one on both scales.
func compareSeverity(t *testing.T, scale string, row service.AssessorRow, want map[string]float64) {
	t.Helper()
	s, name := row.Severity, "severity."+row.Assessor.Name+"."
	if s.Withheld != "" || s.Interval == nil {
		t.Errorf("%s, %s: no severity: %q", scale, row.Assessor.Name, s.Withheld)
		return
	}
	got := map[string]float64{name + "n": float64(s.N), name + "trainees": float64(s.Trainees), name + "value": s.Value, name + "low": s.Interval.Low, name + "high": s.Interval.High}
	compareWithR(t, scale, got, want)
}

// compareSigning holds one assessor's counts and waits against SQL's.
func compareSigning(t *testing.T, db *sql.DB, row service.AssessorRow) {
	t.Helper()
	var signed, returned, commented, late, steps, alike int
	if err := db.QueryRowContext(t.Context(), signingSQL, string(row.Assessor.ID)).Scan(&signed, &returned, &commented, &late, &steps, &alike); err != nil {
		t.Fatal(err)
	}
	if row.N != signed || signed == 0 || len(row.CaseList) != signed || len(row.Returned.CaseList) != returned || len(row.Commented.CaseList) != signed-commented || len(row.Late.CaseList) != late {
		t.Errorf("%s: %d signatures, by SQL %d; or other cases behind a share", row.Assessor.Name, row.N, signed)
	}
	for what, one := range map[string]struct {
		got     competency.AgreementShare
		hits, n int
	}{
		"returned": {row.Returned, returned, returned + signed}, "commented": {row.Commented, commented, signed}, "late": {row.Late, late, signed}, "steps": {row.Steps, alike, steps},
	} {
		share, low, high := wilson(one.hits, one.n)
		if one.got.Hits != one.hits || one.got.N != one.n || one.n == 0 {
			t.Errorf("%s, %s: %d of %d, by SQL %d of %d", row.Assessor.Name, what, one.got.Hits, one.got.N, one.hits, one.n)
		} else if math.Abs(*one.got.Share-share) > 1e-9 || math.Abs(*one.got.Low-max(0, low)) > 1e-9 || math.Abs(*one.got.High-min(1, high)) > 1e-9 {
			t.Errorf("%s, %s: %v (%v to %v), by the formula %v (%v to %v)", row.Assessor.Name, what, *one.got.Share, *one.got.Low, *one.got.High, share, low, high)
		}
	}
	compareWaits(t, db, row)
}

// compareWaits: the median, and the interval from the k-th shortest to the k-th longest, k as large as at most 5 % allow that the true median
// lies outside, counted by the ways of a fair coin.
func compareWaits(t *testing.T, db *sql.DB, row service.AssessorRow) {
	t.Helper()
	rows, err := db.QueryContext(t.Context(), waitsSQL, string(row.Assessor.ID))
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	var waits []float64
	for rows.Next() {
		var days float64
		if err := rows.Scan(&days); err != nil {
			t.Fatal(err)
		}
		waits = append(waits, days)
	}
	if err := rows.Err(); err != nil {
		t.Fatal(err)
	}
	n := len(waits)
	ways := make([]float64, n+1) // of k heads in n throws, by Pascal's triangle
	ways[0] = 1
	for throw := range n {
		for k := throw + 1; k > 0; k-- {
			ways[k] += ways[k-1]
		}
	}
	k, below := 0, 0.0
	for below+ways[k] <= 0.025*math.Pow(2, float64(n)) {
		below += ways[k]
		k++
	}
	median := (waits[(n-1)/2] + waits[n/2]) / 2
	if d := row.Delay; d.N != n || d.Bounds == nil || math.Abs(d.Median-median) > 1e-4 || math.Abs(d.Bounds.Low-waits[k-1]) > 1e-4 || math.Abs(d.Bounds.High-waits[n-k]) > 1e-4 {
		t.Errorf("%s: wait %+v %+v, by SQL %.4f (%.4f to %.4f) of %d", row.Assessor.Name, d, d.Bounds, median, waits[k-1], waits[n-k], n)
	}
	if !slices.IsSorted(waits) {
		t.Error("the waits are not sorted")
	}
}
