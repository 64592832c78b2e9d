package main

import (
	"cmp"
	"database/sql"
	"fmt"
	"maps"
	"math"
	"slices"
	"testing"

	"isthmus/api/service"
	"isthmus/competency"
)

// knownSQL lists the signed cases as they were known on a day, for each trainee the first operation first.
const knownSQL = `
SELECT c.trainee_id, julianday(?1) - julianday(v.operated_on), v.pattern, v.scope, s.role = 'primary', s.help_given >= 4, s.late_recall, s.assessor_id
FROM sign_offs s JOIN case_versions v ON v.programme_id = s.programme_id AND v.case_id = s.case_id AND v.version = s.case_version JOIN cases c ON c.id = s.case_id
WHERE c.status <> 'withdrawn' AND v.operated_on <= ?1
	AND s.case_version = (SELECT max(n.case_version) FROM sign_offs n WHERE n.case_id = s.case_id AND substr(n.signed_at, 1, 10) <= ?1)
ORDER BY c.trainee_id, v.operated_on, s.signed_at, v.case_id`

// plansSQL counts for each trainee the plans by a day, the AF patterns asked for with a plan at A- or better, and the unsafe among the last three.
const plansSQL = `
WITH own AS (SELECT *, row_number() OVER (PARTITION BY trainee_id ORDER BY submitted_at DESC, attempt DESC, id DESC) AS latest FROM plans WHERE substr(submitted_at, 1, 10) <= ?1)
SELECT trainee_id, count(*),
	count(DISTINCT CASE WHEN letter IN ('A+', 'A', 'A-') AND pattern IN ('paroxysmal', 'persistent', 'long-standing-persistent') THEN pattern END),
	sum(latest <= 3 AND unsafe) FROM own GROUP BY trainee_id`

// knownCase is a row of knownSQL.
type knownCase struct {
	trainee, pattern, scope, assessor string
	ago                               float64 // days
	primary, good, late               bool    // good: help given at the level the standard asks for
}

// judgedAgain is a requirement judged here: by what the demo's standard says in words, from rows of SQL.
type judgedAgain struct {
	state     competency.State
	value     float64
	n         int
	hits      int  // of an interval
	hasShares bool // there is one
}

// statesOn judges every trainee on every requirement of the demo's standard as of a day.
func statesOn(t *testing.T, db *sql.DB, day competency.Day) map[competency.PersonID]map[string]judgedAgain {
	t.Helper()
	cases := map[string][]knownCase{}
	scan(t, db, knownSQL, string(day), func(rows *sql.Rows) error {
		var c knownCase
		err := rows.Scan(&c.trainee, &c.ago, &c.pattern, &c.scope, &c.primary, &c.good, &c.late, &c.assessor)
		cases[c.trainee] = append(cases[c.trainee], c)
		return err
	})
	plans := map[string]judgedAgain{}
	scan(t, db, plansSQL, string(day), func(rows *sql.Rows) error {
		var trainee string
		var n, reached, unsafe int
		err := rows.Scan(&trainee, &n, &reached, &unsafe)
		state := competency.Short
		switch {
		case unsafe == 0 && reached == 3:
			state = competency.Met
		case unsafe == 0 && reached == 2:
			state = competency.OnCourse
		}
		plans[trainee] = judgedAgain{state: state, value: float64(reached), n: n}
		return err
	})
	all := map[competency.PersonID]map[string]judgedAgain{}
	scan(t, db, "SELECT person_id FROM memberships WHERE role = 'trainee' AND ?1 = ?1", string(day), func(rows *sql.Rows) error {
		var trainee string
		err := rows.Scan(&trainee)
		own := plans[trainee]
		if own.state == "" {
			own.state = competency.NotEnoughData
		}
		judged := judgeCasesAgain(cases[trainee])
		judged["plans"] = own
		all[competency.PersonID(trainee)] = judged
		return err
	})
	return all
}

// scan reads every row of a query about a day.
func scan(t *testing.T, db *sql.DB, query, day string, row func(*sql.Rows) error) {
	t.Helper()
	rows, err := db.QueryContext(t.Context(), query, day)
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	for rows.Next() {
		if err := row(rows); err != nil {
			t.Fatal(err)
		}
	}
	if err := rows.Err(); err != nil {
		t.Fatal(err)
	}
}

// judgeCasesAgain judges what rests on cases: two counts, recency, the share of the last ten and the learning curve.
func judgeCasesAgain(all []knownCase) map[string]judgedAgain {
	own := slices.DeleteFunc(slices.Clone(all), func(c knownCase) bool { return !c.primary })
	that := func(fits func(c knownCase) bool) int {
		return len(slices.DeleteFunc(slices.Clone(own), func(c knownCase) bool { return !fits(c) }))
	}
	enough := func(n, target int) judgedAgain {
		state := competency.Short
		switch {
		case n >= target:
			state = competency.Met
		case len(all) == 0:
			state = competency.NotEnoughData
		case float64(n) >= float64(target)/2:
			state = competency.OnCourse
		}
		return judgedAgain{state: state, value: float64(n), n: n}
	}
	recent := enough(that(func(c knownCase) bool { return c.ago <= 180 }), 3)
	if recent.state != competency.Met && len(own) >= 3 {
		recent.state = competency.Lapsed
	}
	return map[string]judgedAgain{
		"biatrial-cases": enough(that(func(c knownCase) bool { return c.scope == "biatrial" }), 8),
		"paroxysmal-cases": enough(that(func(c knownCase) bool {
			return c.pattern == "paroxysmal" && slices.Contains([]string{"box", "left-atrial", "biatrial"}, c.scope)
		}), 3),
		"recent-cases": recent, "help-given": shareAgain(own), "learning-curve": curveAgain(own),
	}
}

// shareAgain: of the last ten not rated from late recall, eight good, by three assessors, the lower 90 % limit at a half or above.
func shareAgain(own []knownCase) judgedAgain {
	window := slices.DeleteFunc(slices.Clone(own), func(c knownCase) bool { return c.late })
	window = window[max(0, len(window)-10):]
	j, raters := judgedAgain{n: len(window), state: competency.NotEnoughData}, map[string]bool{}
	for _, c := range window {
		raters[c.assessor] = true
		if c.good {
			j.hits++
		}
	}
	if j.n == 0 {
		return j
	}
	j.value, j.hasShares = float64(j.hits)/float64(j.n), true
	low, _ := ninety(j.hits, j.n)
	switch {
	case j.n < 5:
	case 10*j.hits < 8*j.n:
		j.state = competency.Short
	case j.n == 10 && len(raters) >= 3 && low >= 0.5:
		j.state = competency.Met
	default:
		j.state = competency.OnCourse
	}
	return j
}

// ninety is Wilson's 90 % interval.
func ninety(hits, of int) (low, high float64) {
	const z = 1.6448536269514722
	share, n := float64(hits)/float64(of), float64(of)
	middle, half := share+z*z/(2*n), z*math.Sqrt(share*(1-share)/n+z*z/(4*n*n))
	return (middle - half) / (1 + z*z/n), (middle + half) / (1 + z*z/n)
}

// The charts of the demo's standard: 20 % failures are acceptable, 50 % are not. Successes raise the first, which declares adequate (Biau 2008,
// 10.1002/bjs.6056); failures the second, which watches from then on (Page 1954).
var (
	learns  = [2]float64{math.Log(0.8 / 0.5), math.Log(0.2 / 0.5)} // of a success, of a failure
	watches = [2]float64{math.Log(0.5 / 0.8), math.Log(0.5 / 0.2)}
	// The smallest limits in steps of 0.01 that are reached within 40 cases with a chance of at most 10 % where they should not be.
	adequate, alarm = limitAgain(learns, 0.5), limitAgain(watches, 0.2)
)

// limitAgain tries the limits one after the other.
func limitAgain(weights [2]float64, failing float64) float64 {
	for hundredth := 1; ; hundredth++ {
		if limit := float64(hundredth) / 100; reachedAgain(weights, failing, limit) <= 0.1 {
			return limit
		}
	}
}

// reachedAgain is the chance that a chart reaches a limit within 40 cases, by following every value it can have.
func reachedAgain(weights [2]float64, failing, limit float64) float64 {
	reached, at := 0.0, map[int64]float64{0: 1} // by value in steps of 1e-9
	for range 40 {
		next := map[int64]float64{}
		for value, chance := range at {
			for outcome, p := range [2]float64{1 - failing, failing} {
				then := max(0, float64(value)*1e-9+weights[outcome])
				if then >= limit {
					reached += chance * p
				} else {
					next[int64(math.Round(then*1e9))] += chance * p
				}
			}
		}
		at = next
	}
	return reached
}

// curveAgain learns until adequate, then watches until an alarm, and learns anew.
func curveAgain(own []knownCase) judgedAgain {
	j := judgedAgain{n: len(own), state: competency.NotEnoughData, hasShares: len(own) > 0}
	value, watching, alarmed := 0.0, false, false
	signalled := false
	for _, c := range own {
		outcome := 1
		if c.good {
			outcome = 0
			j.hits++
		}
		if signalled {
			value = 0
		}
		if watching {
			value = max(0, value+watches[outcome])
			signalled = value >= alarm
		} else {
			value = max(0, value+learns[outcome])
			signalled = value >= adequate
		}
		if signalled {
			alarmed = alarmed || watching
			watching = !watching
		}
	}
	j.value = value
	switch {
	case watching:
		j.state, j.value = competency.Met, adequate
	case alarmed:
		j.state = competency.Lapsed
	case j.n < 5:
	case value >= adequate/2:
		j.state = competency.OnCourse
	default:
		j.state = competency.Short
	}
	return j
}

// checkStates compares every cell of the cohort's grid with the states judged here: today's, the earlier day's, the trend between them, the
// value with what it rests on and its interval, and what they come to together. It counts the states and the trends it has seen.
func checkStates(t *testing.T, db *sql.DB, cohort service.Cohort, seen map[string]int) {
	t.Helper()
	now, then := statesOn(t, db, cohort.On), statesOn(t, db, cohort.Before)
	order := map[competency.State]int{competency.Lapsed: 0, competency.Short: 1, competency.NotEnoughData: 1, competency.OnCourse: 2, competency.Met: 3}
	years := map[int]bool{}
	for _, row := range cohort.Trainees {
		met := 0
		year := int(again(t, db, "SELECT 1 + floor((julianday(?) - julianday(from_day)) / 365.25) FROM memberships WHERE role = 'trainee' AND person_id = ?", string(cohort.On), string(row.ID)))
		if years[year] = true; row.Year != year {
			t.Errorf("%s: year %d of training, by SQL %d", row.Name, row.Year, year)
		}
		for _, line := range row.Lines {
			is, was := now[row.ID][line.Requirement], then[row.ID][line.Requirement]
			moved := cmp.Compare(float64(order[is.state]), float64(order[was.state]))
			if moved == 0 {
				moved = cmp.Compare(math.Round(1e4*is.value), math.Round(1e4*was.value))
			}
			trend := map[int]service.Trend{-1: service.Falling, 0: service.Level, 1: service.Rising}[moved]
			got := fmt.Sprintf("%s, was %s, %s, %.4f of %d", line.State, line.Was, line.Trend, line.Value, line.N)
			if want := fmt.Sprintf("%s, was %s, %s, %.4f of %d", is.state, was.state, trend, is.value, is.n); got != want {
				t.Errorf("%s, %s: %s; again %s", row.Name, line.Requirement, got, want)
			}
			if is.hasShares != (line.Interval != nil) {
				t.Errorf("%s, %s: interval %+v", row.Name, line.Requirement, line.Interval)
			} else if is.hasShares {
				low, high := ninety(is.hits, is.n)
				if i := line.Interval; math.Abs(i.Low-low) > 5.1e-5 || math.Abs(i.High-high) > 5.1e-5 || i.Level != 0.9 {
					t.Errorf("%s, %s: %+v, again %.4f to %.4f", row.Name, line.Requirement, i, low, high)
				}
			}
			if is.state == competency.Met {
				met++
			}
			seen[string(is.state)]++
			seen[string(trend)]++
		}
		if row.Ready != (met == len(now[row.ID])) || len(row.Lines) != len(now[row.ID]) {
			t.Errorf("%s: ready is %v with %d of %d met", row.Name, row.Ready, met, len(now[row.ID]))
		}
	}
	if members := int(again(t, db, "SELECT count(*) FROM memberships WHERE role = 'trainee' AND from_day <= ?1 AND (until_day = '' OR until_day >= ?1)", string(cohort.On))); cohort.Of != members || len(cohort.Trainees) != members {
		t.Errorf("%d trainees of %d, by SQL %d", len(cohort.Trainees), cohort.Of, members)
	}
	if !slices.Equal(cohort.Years, slices.Sorted(maps.Keys(years))) {
		t.Errorf("years %v, by SQL %v", cohort.Years, years)
	}
}
