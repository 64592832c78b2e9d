package main

import (
	"database/sql"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"isthmus/api/chart"
	"isthmus/api/service"
	"isthmus/assessment/af"
	"isthmus/assessment/pack"
	"isthmus/competency"
)

// factsSQL holds of each scenario what the policy asks about: whether it forbids an ablation (an emergency; a clot in an atrium that stays closed),
// and whether a row applies that the SQL below does not know (an atrium beyond 60 mm, a sick sinus node without a pacemaker).
const factsSQL = `CREATE TEMP TABLE facts (scenario TEXT, forbidden BOOLEAN, unknown BOOLEAN, opened BOOLEAN, small BOOLEAN)`

// practiceSQL says again, in SQL alone, what every operation and first try of the demo delivered and what the default policy asks for it. The
// ranks are 0 none, 1 veins, 2 box, 3 left atrial, 4 biatrial. An operation is judged here from its record and a plan from its scenario, not by
// what was stored of the judgement. What no row of the policy below covers has no target and fails the test.
const practiceSQL = `
CREATE TEMP TABLE counted AS
WITH ranks(scope, rank) AS (VALUES ('none', 0), ('pulmonary-vein-isolation', 1), ('box', 2), ('left-atrial', 3), ('biatrial', 4)),
signed AS (
	SELECT v.case_id AS id, v.operated_on AS day, v.site, v.pattern, v.scope, v.record, v.record ->> '$.urgency' = 'emergency' AS forbidden,
		v.record ->> '$.left_atrium_opened' AS opened, v.record ->> '$.left_atrium_band' IN ('under-40', '40-44') AS small, v.record ->> '$.left_appendage.state' <> 'kept' AS stump
	FROM sign_offs s JOIN case_versions v ON v.programme_id = s.programme_id AND v.case_id = s.case_id AND v.version = s.case_version JOIN cases c ON c.id = s.case_id
	WHERE c.status <> 'withdrawn' AND s.case_version = (SELECT max(n.case_version) FROM sign_offs n WHERE n.case_id = s.case_id)),
done AS (
	SELECT 'operated' AS side, id, day, site, pattern, scope, forbidden, false AS unknown, opened, small, stump, (SELECT json_group_array(l.value ->> '$.lesion') FROM json_each(record, '$.lesions') l) AS made
	FROM signed
	UNION ALL
	SELECT 'planned', p.id, substr(p.submitted_at, 1, 10), '', p.pattern, p.grade ->> '$.result.scope', forbidden, unknown, opened, small, p.plan ->> '$.left_appendage.state' <> 'kept',
		(SELECT json_group_array(coalesce(l.value ->> '$.lesion', l.value ->> '$.recognised')) FROM json_each(p.grade, '$.result.lesions') l)
	FROM plans p JOIN facts USING (scenario) WHERE p.attempt = 1),
judged AS (
	SELECT *,
		CASE WHEN forbidden OR pattern = 'permanent' THEN 0 WHEN unknown THEN NULL WHEN pattern IN ('persistent', 'long-standing-persistent') THEN 4
			WHEN pattern = 'paroxysmal' AND NOT opened THEN 2 WHEN pattern = 'paroxysmal' THEN 3 END AS want,
		CASE WHEN pattern IN ('persistent', 'long-standing-persistent') THEN 3 WHEN NOT opened AND small THEN 1 ELSE 2 END AS least
	FROM done)
SELECT side, id, day, site, pattern, rank, want, want > 0 AND rank < want AS less, want > 0 AND rank < want AND rank < least AS below, stump, made
FROM judged JOIN ranks USING (scope)`

// recount is a share by SQL: everything that fits, and of it the hits.
type recount struct {
	t    *testing.T
	conn *sql.Conn
	side string
	only af.Pattern // in which to count; in all when empty
	seen int        // shares compared
}

// ids lists what fits a condition, in the order of the page.
func (r *recount) ids(where string, args ...any) []string {
	r.t.Helper()
	rows, err := r.conn.QueryContext(r.t.Context(), "SELECT id FROM counted WHERE side = ? AND (? = '' OR pattern = ?) AND "+where+" ORDER BY day, id", append([]any{r.side, r.only, r.only}, args...)...)
	if err != nil {
		r.t.Fatal(err)
	}
	defer rows.Close()
	list := []string{}
	for rows.Next() {
		var id string
		if err := rows.Scan(&id); err != nil {
			r.t.Fatal(err)
		}
		list = append(list, id)
	}
	if err := rows.Err(); err != nil {
		r.t.Fatal(err)
	}
	return list
}

// share compares one share: the ids behind both of its numbers, and the interval by Wilson's formula.
func (r *recount) share(what string, got competency.PracticeShare, hit, of string, args ...any) {
	r.t.Helper()
	r.seen++
	all, hits := r.ids(of, args...), r.ids(of+" AND "+hit, args...)
	if got.N != len(all) || got.Hits != len(hits) || !slices.Equal(got.All, all) || !slices.Equal(got.IDs, hits) {
		r.t.Errorf("%s, %s: %d of %d, by SQL %d of %d, or others", r.side, what, got.Hits, got.N, len(hits), len(all))
		return
	}
	if len(all) == 0 {
		if got.Share != nil || got.Low != nil || got.High != nil {
			r.t.Errorf("%s, %s: a share of nothing", r.side, what)
		}
		return
	}
	share, low, high := wilson(len(hits), len(all))
	for _, one := range []struct{ got, want float64 }{{*got.Share, share}, {*got.Low, low}, {*got.High, high}} {
		if math.Abs(one.got-one.want) > 5.1e-5 {
			r.t.Errorf("%s, %s: %v, by the formula %v", r.side, what, one.got, one.want)
		}
	}
}

// wilson is the 95 % interval by the formula of 1927.
func wilson(hits, n int) (share, low, high float64) {
	const z = 1.959963984540054
	share = float64(hits) / float64(n)
	middle, half := share+z*z/(2*float64(n)), z*math.Sqrt(share*(1-share)/float64(n)+z*z/(4*float64(n)*float64(n)))
	whole := 1 + z*z/float64(n)
	return share, (middle - half) / whole, (middle + half) / whole
}

// practice compares every share of one side.
func (r *recount) practice(p competency.Practice) {
	r.t.Helper()
	if n := len(r.ids("true")); p.N != n || n == 0 {
		r.t.Errorf("%s: %d counted, by SQL %d", r.side, p.N, n)
	}
	r.share("not asked", p.NotAsked, "want = 0", "true")
	if unknown := r.ids("want IS NULL"); len(unknown) > 0 {
		r.t.Errorf("%s: the SQL knows no row of the policy for %v", r.side, unknown)
	}
	r.share("less", p.Less, "less", "want > 0")
	r.share("below", p.Below, "below", "want > 0")
	for _, pattern := range p.Patterns {
		r.share(string(pattern.Pattern), pattern.Less, "less", "want > 0 AND pattern = ?", string(pattern.Pattern))
		for rank, scope := range pattern.Scopes {
			r.share(fmt.Sprintf("%s, scope %d", pattern.Pattern, rank), scope, fmt.Sprintf("rank = %d", rank), "pattern = ?", string(pattern.Pattern))
		}
	}
	quarters, sites := r.periods(p.Quarters, "substr(day, 1, 4) || '-Q' || ((substr(day, 6, 2) + 2) / 3) = ?"), r.periods(p.Sites, "site = ?")
	if quarters != p.Less.N || sites != len(r.ids("want > 0 AND site <> ''")) {
		r.t.Errorf("%s: %d in quarters, %d at sites, of %d", r.side, quarters, sites, p.Less.N)
	}
	r.steps(p)
}

// periods compares quarters or sites, and counts what the policy asks a scope for in them.
func (r *recount) periods(periods []competency.PeriodPractice, of string) int {
	r.t.Helper()
	n := 0
	for _, p := range periods {
		r.share(p.Name, p.Less, "less", "want > 0 AND "+of, p.Name)
		r.share(p.Name+" below", p.Below, "below", "want > 0 AND "+of, p.Name)
		for rank, scope := range p.Scopes {
			r.share(fmt.Sprintf("%s, scope %d", p.Name, rank), scope, fmt.Sprintf("rank = %d", rank), of, p.Name)
		}
		n += p.Less.N
	}
	return n
}

// steps compares what was left out, step by step and lesion by lesion, and the sentence about the commonest omission.
func (r *recount) steps(p competency.Practice) {
	r.t.Helper()
	commonest, most := "", -1
	for i, step := range p.Steps {
		rank := i + 1
		wanted, out := fmt.Sprintf("want >= %d", rank), fmt.Sprintf("less AND rank < %d", rank)
		r.share(step.ID, step.LeftOut, out, wanted)
		if n := len(r.ids(wanted + " AND " + out)); n >= most {
			commonest, most = step.Name, n
		}
		for _, lesion := range step.Lesions {
			of, names := wanted, []string{lesion.ID}
			switch lesion.ID {
			case "left-appendage-line":
				of += " AND stump"
			case "free-wall-line":
				names = append(names, "cavotricuspid-isthmus-line")
			}
			r.share(lesion.ID, lesion.LeftOut, out+" AND NOT EXISTS (SELECT 1 FROM json_each(made) m WHERE m.value IN ('"+strings.Join(names, "', '")+"'))", of)
		}
	}
	if most > 0 && !strings.HasPrefix(p.Says, commonest+": left out in") {
		r.t.Errorf("%s says %q, by SQL the commonest omission is %q", r.side, p.Says, commonest)
	}
}

// TestPracticeAgain computes every figure of practice of the demo, operated and planned, a second way: from the records in SQL and by the
// formula of the interval.
func TestPracticeAgain(t *testing.T) {
	d := filledDemo(t)
	conn, err := d.store.DB().Conn(t.Context()) // the temporary table is this connection's
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	if _, err := conn.ExecContext(t.Context(), factsSQL); err != nil {
		t.Fatal(err)
	}
	for _, one := range pack.Scenarios() {
		of, on := one.Patient, one.Operation
		forbidden, unknown := on.Urgency == "emergency" || of.ThrombusOnImaging && !on.LeftAtriumOpened, of.LeftAtriumMM > 60 || of.SinusNodeDisease && !of.Pacemaker
		small := of.LeftAtriumMM < 45 && of.MitralRegurgitation != "severe"
		if _, err := conn.ExecContext(t.Context(), "INSERT INTO facts VALUES (?, ?, ?, ?, ?)", one.ID, forbidden, unknown, on.LeftAtriumOpened, small); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := conn.ExecContext(t.Context(), practiceSQL); err != nil {
		t.Fatal(err)
	}
	if tries := again(t, d.store.DB(), "SELECT count(*) FROM plans WHERE attempt = 1"); int(tries) != len((&recount{t: t, conn: conn, side: "planned"}).ids("true")) {
		t.Errorf("not all of %g first tries are counted", tries)
	}
	for _, pattern := range []af.Pattern{"", "paroxysmal", "persistent"} {
		compareShares(t, d, conn, pattern)
	}
}

// compareShares compares every share and chart of both sides, of operations and plans in one AF pattern or in all.
func compareShares(t *testing.T, d openedDemo, conn *sql.Conn, pattern af.Pattern) {
	t.Helper()
	p, err := d.service.Practice(t.Context(), d.director, d.programme, service.PracticeChoice{Pattern: pattern})
	if err != nil {
		t.Fatal(err)
	}
	for side, practice := range map[string]competency.Practice{"operated": p.Operated, "planned": p.Planned} {
		r := &recount{t: t, conn: conn, side: side, only: pattern}
		r.practice(practice)
		t.Logf("%s: %d shares of %d", side, r.seen, practice.N)
		checkQuarters(t, p.Charts, side, practice)
		named := 0
		for range practice.Shares() {
			named++
		}
		if named != r.seen {
			t.Errorf("%s: %d shares can be opened, %d were compared", side, named, r.seen)
		}
		if r.seen < 40 {
			t.Errorf("%s: only %d shares were compared", side, r.seen)
		}
	}
}

// checkQuarters: what a side's chart draws are the shares of its quarters, each in its place on the calendar.
func checkQuarters(t *testing.T, charts []chart.Chart, side string, p competency.Practice) {
	t.Helper()
	quarters, from := slices.DeleteFunc(slices.Clone(p.Quarters), func(q competency.PeriodPractice) bool { return q.Less.N == 0 }), 0
	i := slices.IndexFunc(charts, func(c chart.Chart) bool { return c.ID == side+"-by-quarter" })
	if i < 0 || len(charts[i].Layers) != 2 || charts[i].N != p.Less.N {
		t.Fatalf("%s: no chart, or of others than %d", side, p.Less.N)
	}
	least, less := charts[i].Layers[0].Points, charts[i].Layers[1].Points
	if len(less) != len(quarters) || len(least) != len(quarters) {
		t.Fatalf("%s: %d and %d points of %d quarters", side, len(less), len(least), len(quarters))
	}
	for i, q := range quarters {
		var year, quarter int
		if _, err := fmt.Sscanf(q.Name, "%d-Q%d", &year, &quarter); err != nil {
			t.Fatal(err)
		}
		if at := 4*year + quarter; i == 0 {
			from = at - 1
		} else if less[i].X != float64(at-from) {
			t.Errorf("%s, %s is drawn at %g", side, q.Name, less[i].X)
		}
		if p := less[i]; p.Y != *q.Less.Share || *p.N != q.Less.N || *p.Low != *q.Less.Low || *p.High != *q.Less.High || least[i].Y != *q.Below.Share || *least[i].N != q.Below.N || least[i].X != p.X {
			t.Errorf("%s, %s: drawn %+v and %+v, counted %+v", side, q.Name, p, least[i], q)
		}
	}
}
