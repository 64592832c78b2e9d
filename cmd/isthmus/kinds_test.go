package main

import (
	"fmt"
	"testing"

	"isthmus/competency"
)

// everyKind is a standard with one requirement of each kind, version 2 of the demo's.
const everyKind = `id: northmere
title: One requirement of every kind
version: 2
example: true
requirements:
  - {id: biatrial-cases, kind: count, at_least: 8, filter: {scope: [biatrial]}}
  - {id: help-given, kind: level, scale: help_given, level: 4, share: 0.8, last: 10}
  - {id: lines-complete, kind: completeness, share: 0.8, last: 10}
  - {id: learning-curve, kind: curve, scale: help_given, level: 4, acceptable_rate: 0.2, inadequate_rate: 0.5, horizon_cases: 40, false_declaration: 0.1, false_alarm: 0.1}
  - {id: plans, kind: plan, letter: A-, af_patterns: [paroxysmal], attempt: best}
  - {id: recent-cases, kind: recency, at_least: 3, within_days: 180}
  - {id: followed-up, kind: follow-up, month: 12, share: 0.8, at_least: 5}
  - {id: quizzes, kind: quiz, topics: [aftercare, guidelines], at_least: 2, attempt: best}
  - {id: trust-in-ratings, kind: dependability, scale: help_given, phi: 0.7, last: 10}
`

// moved brings that standard into force and has ines judged by it.
func moved(v *visitor, programme competency.ProgrammeID) {
	v.t.Helper()
	version := eval[int](v, fmt.Sprintf(`(async () => { `+asking+`
		await ask("POST", "/standards", {yaml: %q, in_force_from: new Date().toISOString().slice(0, 10)});
		const ines = (await ask("GET", "/people?role=trainee")).body.items.find(one => one.name.startsWith("Ines"));
		return (await ask("POST", "/trainees/" + ines.id + "/standard-moves", {version: 2, reason: "She asked to be judged by the newer thresholds."})).body.version })()`, programme, everyKind))
	if version != 2 {
		v.t.Fatalf("moved to version %d", version)
	}
}

// TestEveryKindOfRequirement reads a standing with all nine kinds at both widths, and opens the evidence of the three that rest on more than
// signed cases: follow-ups, the whole programme's ratings, quizzes.
func TestEveryKindOfRequirement(t *testing.T) {
	browser := openBrowser(t)
	base, programme := serveDemo(t)
	director := newVisitor(t, browser, base, 1280)
	signIn(director, "amara")
	director.see("Cohort")
	moved(director, programme)
	for _, width := range []int64{390, 1280} {
		v := newVisitor(t, browser, base, width)
		signIn(v, "ines")
		v.see("What to do next")
		v.visit("/standing")
		v.see("northmere, version 2")
		v.see("Trust in ratings")
		if n := eval[int](v, `document.querySelectorAll("ul.standing > li").length`); n != 9 {
			t.Errorf("%d requirements are shown", n)
		}
		v.audit("standing of every kind")

		open := func(requirement string) {
			v.visit("/standing")
			v.see("Trust in ratings")
			v.press(requirement)
		}
		open("Followed up")
		v.see("Rhythm follow-up at month 12 on record in at least 80 %")
		v.see("no follow-up on record")
		v.see("follow-up not due before")
		v.audit("evidence of follow-up")
		if to := eval[string](v, `[...document.querySelectorAll("a.row-link")].find(a => a.closest(".row").textContent.includes("no follow-up on record")).getAttribute("href")`); to[len(to)-len("/follow-up"):] != "/follow-up" {
			t.Errorf("a case without a follow-up leads to %s", to)
		}

		open("Trust in ratings")
		v.see("Why ratings differ")
		v.see("how far trainees truly differ")
		v.see("6 trainees by 5 assessors")
		v.see("Evidence used (10)")
		v.audit("evidence of trust in ratings")

		open("Quizzes")
		v.see("No quiz on these topics on record")
		v.see("A quiz at or above its cut in 2 more topics of: aftercare, guidelines.")
		v.audit("evidence of quizzes")
	}
	director.visit("/cohort")
	director.see("Ines")
	director.audit("cohort with every kind")
}
