package main

import (
	"cmp"
	"encoding/csv"
	"math"
	"strconv"
	"strings"
	"testing"

	"isthmus/api/service"
	"isthmus/competency/outcome"
)

// compareCourses holds what became of every operation against the row of outcomesSQL's table: what ended it, when at the latest, and since when
// at the earliest. Pacemakers of the demo are told at its first follow-ups, before which there is the case alone.
func compareCourses(t *testing.T, table string, courses []service.OutcomeCase) {
	t.Helper()
	rows, err := csv.NewReader(strings.NewReader(table)).ReadAll()
	if err != nil || len(rows) != len(courses)+1 {
		t.Fatalf("%d courses, %d rows, %v", len(courses), len(rows), err)
	}
	events := map[string]string{"again": "arrhythmia", "drug": "on-drug"}
	for i, course := range courses {
		cell := map[string]string{}
		for k, name := range rows[0] {
			cell[name] = rows[i+1][k]
		}
		number := func(name, without string) float64 {
			n, err := strconv.ParseFloat(cmp.Or(cell[name], without), 64)
			if err != nil {
				t.Fatal(err)
			}
			return n
		}
		freedom := outcome.Fate{Known: cell["failed"] != "" || cell["free"] != "", Event: events[cell["why"]], Month: number("free", "0")}
		if cell["failed"] != "" {
			freedom.Month, freedom.From = number("failed", ""), max(number("free", "0"), 90/30.4375)
		}
		pacemaker := outcome.Fate{Known: true, Month: max(number("early", ""), number("seen", "0"))}
		switch {
		case cell["early_paced"] == "1":
			pacemaker.Event, pacemaker.Month = "pacemaker", number("early", "")
		case cell["paced"] != "":
			pacemaker.Event, pacemaker.Month, pacemaker.From = "pacemaker", number("paced", ""), number("early", "")
		case cell["died"] != "":
			pacemaker.Event, pacemaker.Month, pacemaker.From = "death", number("died", ""), number("early", "")
			for _, seen := range strings.Fields(cell["months"]) {
				if month, err := strconv.ParseFloat(seen, 64); err == nil && month < pacemaker.Month {
					pacemaker.From = max(pacemaker.From, month)
				}
			}
		}
		if got, want := course.Freedom, freedom; got.Known != want.Known || got.Event != want.Event || math.Abs(got.Month-want.Month) > 1e-9 || math.Abs(got.From-want.From) > 1e-9 {
			t.Errorf("%s: freedom %+v, by SQL %+v", course.Case, got, want)
		}
		if got, want := course.Pacemaker, pacemaker; got.Known != want.Known || got.Event != want.Event || math.Abs(got.Month-want.Month) > 1e-9 || math.Abs(got.From-want.From) > 1e-9 {
			t.Errorf("%s: pacemaker %+v, by SQL %+v", course.Case, got, want)
		}
		if course.OperatedOn != cell["operated_on"] || string(course.Pattern) != cell["pattern"] || string(course.Scope) != cell["scope"] || course.Site != cell["site"] || course.SupervisorName != cell["surgeon"] {
			t.Errorf("%s: %+v, by SQL %v", course.Case, course.Course, rows[i+1])
		}
	}
}
