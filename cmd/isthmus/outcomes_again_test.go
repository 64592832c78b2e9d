package main

import (
	"encoding/csv"
	"encoding/json"
	"flag"
	"fmt"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"isthmus/api/chart"
	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/competency/outcome"
)

var update = flag.Bool("update", false, "rewrite the table that R reads")

// outcomesSQL says again, in SQL alone, what became of every operation of the demo: the rules of package outcome in other words. One row an
// operation: when it was, its groups, the months of the rhythm (first month not free, last month free before), and those of a pacemaker or death.
// The demo has one case an operation, one version a follow-up, exact dates and no correction of a pacemaker by a supervisor.
const outcomesSQL = `
WITH signed AS (
	SELECT v.case_id, v.operated_on, v.pattern, v.scope, v.site, p.name AS surgeon, v.record,
		min(30, max(0, julianday(substr(v.submitted_at, 1, 10)) - julianday(v.operated_on))) AS early
	FROM sign_offs s JOIN case_versions v ON v.programme_id = s.programme_id AND v.case_id = s.case_id AND v.version = s.case_version
		JOIN cases c ON c.id = s.case_id JOIN people p ON p.id = s.assessor_id
	WHERE c.status <> 'withdrawn' AND s.case_version = (SELECT max(n.case_version) FROM sign_offs n WHERE n.case_id = s.case_id)),
seen AS (
	SELECT case_id, month,
		CASE WHEN month * 30.4375 <= 90 THEN ''
			WHEN json_extract(content, '$.rhythm') IN ('fibrillation', 'flutter-or-tachycardia') OR json_extract(content, '$.arrhythmia') = 'over-30-s' THEN 'again'
			WHEN json_extract(content, '$.arrhythmia') <> 'none' OR json_extract(content, '$.monitoring_hours') < 24 THEN ''
			WHEN json_extract(content, '$.antiarrhythmic') <> 'none' THEN 'drug' ELSE 'free' END AS rhythm,
		CASE json_extract(content, '$.pacemaker.band') WHEN 'to-90-days' THEN 90 / 30.4375 END AS paced,
		json_extract(content, '$.died') AS died,
		json_extract(content, '$.rhythm') <> 'not-known' OR json_extract(content, '$.died') AS tells
	FROM follow_ups)
SELECT s.operated_on, s.pattern, s.scope, s.site, s.surgeon,
	coalesce((SELECT min(month) FROM seen f WHERE f.case_id = s.case_id AND rhythm IN ('again', 'drug')), '') AS failed,
	coalesce((SELECT rhythm FROM seen f WHERE f.case_id = s.case_id AND rhythm IN ('again', 'drug') ORDER BY month LIMIT 1), '') AS why,
	coalesce((SELECT max(month) FROM seen f WHERE f.case_id = s.case_id AND rhythm = 'free'
		AND month < coalesce((SELECT min(month) FROM seen g WHERE g.case_id = s.case_id AND g.rhythm IN ('again', 'drug')), 999)), '') AS free,
	s.early / 30.4375 AS early, instr(s.record, '"pacemaker"') > 0 AS early_paced,
	coalesce((SELECT min(paced) FROM seen f WHERE f.case_id = s.case_id), '') AS paced,
	coalesce((SELECT min(month) FROM seen f WHERE f.case_id = s.case_id AND died), '') AS died,
	coalesce((SELECT max(month) FROM seen f WHERE f.case_id = s.case_id), '') AS seen,
	coalesce((SELECT group_concat(month, ' ') FROM (SELECT month FROM seen f WHERE f.case_id = s.case_id AND tells ORDER BY month)), '') AS months
FROM signed s ORDER BY s.operated_on, s.case_id`

const (
	outcomesTable = "testdata/outcomes.csv"    // what outcomesSQL gives of the demo filled on demoNow
	outcomesByR   = "testdata/outcomes-r.json" // what testdata/outcomes.R makes of that table: Rscript outcomes.R
)

// TestOutcomesAgain computes every figure of the page a second way: the table behind them in SQL, compared with the one R has read, and from it
// every figure by R (survival 3.5), stored beside it.
func TestOutcomesAgain(t *testing.T) {
	d := filledDemo(t)
	table := outcomesRows(t, d.store)
	if *update {
		if err := os.WriteFile(outcomesTable, []byte(table), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if stored, err := os.ReadFile(outcomesTable); err != nil || string(stored) != table {
		t.Fatalf("the table R has read is not the demo's (%v): write it with -update and run Rscript outcomes.R in testdata", err)
	}
	data, err := os.ReadFile(outcomesByR)
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]map[string]float64{}
	if err := json.Unmarshal(data, &want); err != nil {
		t.Fatal(err)
	}
	for _, month := range []int{6, 12} {
		o, err := d.service.Outcomes(t.Context(), d.director, d.programme, service.OutcomeChoice{Month: month})
		if err != nil {
			t.Fatal(err)
		}
		compareFigures(t, month, want[strconv.Itoa(month)], figuresOf(o))
		compareFigures(t, month, want[strconv.Itoa(month)+" drawn"], drawnOf(o))
		compareCases(t, o)
		compareCourses(t, table, o.Cases)
		outside, err := d.service.Outcomes(t.Context(), d.director, d.programme, service.OutcomeChoice{Month: month, Outside: true})
		if err != nil {
			t.Fatal(err)
		}
		drawn := chartsOf(o)
		if len(drawn) != 6 {
			t.Errorf("month %d: %d charts", month, len(drawn))
		}
		for _, c := range append(drawn, chartsOf(outside)...) {
			if err := c.Check(); err != nil {
				t.Error(err)
			}
		}
	}
}

// chartsOf are the charts of a page.
func chartsOf(o service.Outcomes) []*chart.Chart {
	return slices.DeleteFunc([]*chart.Chart{o.Scopes.Chart, o.ByPattern.Chart, o.Pacemakers.Chart, o.BySite.Chart, o.BySupervisor.Chart, o.Running.Chart},
		func(c *chart.Chart) bool { return c == nil })
}

// outcomesRows is the answer of outcomesSQL as CSV.
func outcomesRows(t *testing.T, s *store.Store) string {
	t.Helper()
	rows, err := s.DB().QueryContext(t.Context(), outcomesSQL)
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	names, err := rows.Columns()
	if err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	w := csv.NewWriter(&out)
	_ = w.Write(names)
	for rows.Next() {
		values, places := make([]any, len(names)), make([]any, len(names))
		for i := range values {
			places[i] = &values[i]
		}
		if err := rows.Scan(places...); err != nil {
			t.Fatal(err)
		}
		line := make([]string, len(names))
		for i, value := range values {
			line[i] = fmt.Sprint(value)
		}
		_ = w.Write(line)
	}
	if err := rows.Err(); err != nil {
		t.Fatal(err)
	}
	w.Flush()
	return out.String()
}

// figuresOf lists every figure of the page by name, as R names it.
func figuresOf(o service.Outcomes) map[string]float64 {
	f := map[string]float64{"operations": float64(o.Operations)}
	put := func(name string, value float64) { f[name] = value }
	for _, c := range o.Completeness {
		at := fmt.Sprintf("complete.%d.", c.Month)
		put(at+"due", float64(c.Due))
		put(at+"done", float64(c.Done))
		put(at+"share", c.Share)
		put(at+"low", c.Low)
		put(at+"high", c.High)
	}
	atMonth := func(name string, at *outcome.At) {
		if at == nil {
			return
		}
		put(name+"share", at.Share)
		put(name+"risk", float64(at.AtRisk))
		if at.Low != nil {
			put(name+"low", *at.Low)
			put(name+"high", *at.High)
		}
		if at.Earliest != nil {
			put(name+"earliest", *at.Earliest)
		}
	}
	for by, freedom := range map[string]outcome.Freedom{"scope": o.Scopes.Freedom, "pattern": o.ByPattern.Freedom} {
		for _, g := range freedom.Groups {
			name := by + "." + g.ID + "."
			put(name+"n", float64(g.N))
			put(name+"events", float64(g.Events))
			put(name+"on_drug", float64(g.OnDrug))
			put(name+"unknown", float64(g.Unknown))
			atMonth(name, g.At)
		}
		if test := freedom.Test; test != nil {
			put(by+".freedom", float64(test.Freedom))
			put(by+".square", test.Square)
			put(by+".p", test.P)
			for i, id := range test.Groups {
				put(by+"."+id+".tested", float64(test.N[i]))
				put(by+"."+id+".observed", test.Observed[i])
				put(by+"."+id+".expected", test.Expected[i])
			}
		}
	}
	for _, g := range o.Pacemakers.Groups {
		name := "pacemaker." + g.ID + "."
		put(name+"n", float64(g.N))
		put(name+"events", float64(g.Events))
		put(name+"deaths", float64(g.Deaths))
		atMonth(name, g.At)
	}
	for by, units := range map[string]outcome.Units{"site": o.BySite.Units, "surgeon": o.BySupervisor.Units} {
		put(by+".target", units.Target)
		put(by+".phi", units.Dispersion)
		for _, row := range units.Rows {
			name := by + "." + row.Name + "."
			outside := map[string]float64{"": 0, "outside the 95 % limits": 1, "outside the 99.8 % limits": 2}[row.Place]
			for figure, value := range map[string]float64{
				"due": float64(row.Due), "n": float64(row.N), "free": float64(row.Free), "share": row.Share, "z": row.Z, "outside": outside,
				"observed": float64(row.Observed), "expected": row.Expected, "difference": row.Less, "ratio": row.Ratio, "low": row.Low, "high": row.High,
			} {
				put(name+figure, value)
			}
		}
	}
	put("running.n", float64(o.Running.N))
	put("running.observed", float64(o.Running.Observed))
	put("running.expected", o.Running.Expected)
	for i, step := range o.Running.Steps {
		put(fmt.Sprintf("running.%d.risk", i+1), step.Risk)
	}
	for _, layer := range o.Running.Chart.Layers {
		for _, p := range layer.Points {
			if p.X > 0 { // neither the beginning nor the level line
				put(fmt.Sprintf("running.%g", p.X), p.Y)
			}
		}
	}
	return f
}

// compareFigures holds every figure against R's, rounded as the page rounds.
func compareFigures(t *testing.T, month int, want, got map[string]float64) {
	t.Helper()
	names := map[string]bool{}
	for name := range want {
		names[name] = true
	}
	for name := range got {
		names[name] = true
	}
	for name := range names {
		w, inR := want[name]
		g, here := got[name]
		if !inR || !here || math.Abs(w-g) > 5.1e-5 {
			t.Errorf("month %d, %s = %v (%v), R has %v (%v)", month, name, g, here, w, inR)
		}
	}
	if len(want) < 100 {
		t.Errorf("R knows only %d figures", len(want))
	}
}

// compareCases: as many cases stand behind a figure as it counts, each once, each among the cases told.
func compareCases(t *testing.T, o service.Outcomes) {
	t.Helper()
	told := map[string]bool{}
	for _, c := range o.Cases {
		told[string(c.Case)] = true
	}
	check := func(what string, n int, list []string) {
		once := slices.Compact(slices.Sorted(slices.Values(list)))
		if len(once) != n || len(list) != n || slices.ContainsFunc(once, func(id string) bool { return !told[id] }) {
			t.Errorf("%s counts %d and names %d", what, n, len(list))
		}
	}
	for _, c := range o.Completeness[1:] {
		check("due", c.Due, texts(c.Cases))
		check("missing", c.Due-c.Done, texts(c.Missing))
	}
	for _, g := range slices.Concat(o.Scopes.Groups, o.ByPattern.Groups) {
		check(g.ID, g.N, texts(g.Cases))
		check(g.ID+" failed", g.Events, texts(g.Failed))
		check(g.ID+" unknown", g.Unknown, texts(g.Without))
	}
	for _, g := range o.Pacemakers.Groups {
		check(g.ID+" followed", g.N, texts(g.Cases))
		check(g.ID+" paced", g.Events, texts(g.Failed))
	}
	for _, row := range slices.Concat(o.BySite.Rows, o.BySupervisor.Rows) {
		check(row.Name, row.N, texts(row.Cases))
		check(row.Name+" failed", row.Observed, texts(row.Failed))
	}
}

// texts are ids as text.
func texts[ID ~string](ids []ID) []string {
	list := make([]string, len(ids))
	for i, id := range ids {
		list[i] = string(id)
	}
	return list
}
