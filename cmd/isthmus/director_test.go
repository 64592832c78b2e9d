package main

import (
	"strconv"
	"strings"
	"testing"
)

// TestPractice reads practice against policy as the director: the headline, both sides, a number opened to its cases and one of its cases, the
// filters, and the same for the committee.
func TestPractice(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	for _, width := range []int64{390, 1280} {
		v := newVisitor(t, browser, base, width)
		signIn(v, "amara")
		v.see("Cohort")
		v.press("Practice")
		v.see("Right atrial lines: left out in")
		v.see("By site")
		v.see("Planned")
		v.audit("practice")
		headline := eval[string](v, `document.querySelector(".practice-headline").textContent`)
		v.press("As a table: Operated: less than the policy asks for")
		v.see("Quarter of the operation")
		link := eval[string](v, `(() => { const found = [...document.querySelectorAll("table.figures a")].find(a => a.textContent.includes("behind “Right atrial lines")); found.click(); return found.firstChild.textContent; })()`)
		if !strings.Contains(headline, "left out in "+link+" of ") {
			t.Errorf("%s cases opened from %q", link, headline)
		}
		v.see("Operated, Right atrial lines: left out")
		v.see("asked for: biatrial")
		if rows := eval[int](v, `document.querySelectorAll("ul.rows li").length`); link != strconv.Itoa(rows) {
			t.Errorf("%d rows behind %s", rows, link)
		}
		v.audit("practice opened")
		eval[string](v, `(() => { document.querySelector("a.row-link").click(); return "opened"; })()`)
		v.see("Operation")
		if path := eval[string](v, "location.pathname"); !strings.HasPrefix(path, "/cases/") {
			t.Errorf("the first row led to %s", path)
		}
		v.visit("/practice")
		v.press("Open them")
		v.see("Operated, Right atrial lines: left out")
		v.press("All of practice")
		v.see("By site")
		v.choose("Site", "Northmere Quay")
		v.see("left out in")
		if narrowed := eval[string](v, `document.querySelector(".practice-headline").textContent`); narrowed == headline {
			t.Errorf("one site says the same as all: %s", headline)
		}
		v.choose("Site", "All sites")
		v.choose("AF pattern", "Paroxysmal")
		v.see("Scope by quarter, paroxysmal AF")
		if narrowed := eval[string](v, `document.querySelector(".practice-headline").textContent`); strings.HasPrefix(narrowed, "Right atrial lines") {
			t.Errorf("in paroxysmal AF the policy asks for no right atrial lines: %s", narrowed)
		}
		v.audit("practice in one pattern")
		v.visit("/practice?from=2020-01-01&on=2020-02-01")
		v.see("No operation is signed off in this period.")
		v.audit("practice of nothing")
	}
	v := newVisitor(t, browser, base, 1280)
	signIn(v, "aiko")
	v.see("Aiko")
	v.visit("/practice")
	v.see("What was left out")
}

// TestAssessors: the director finds all by name and opens a number; a supervisor finds nobody else.
func TestAssessors(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	for _, width := range []int64{390, 1280} {
		v := newVisitor(t, browser, base, width)
		signIn(v, "amara")
		v.see("Cohort")
		v.press("Assessors")
		v.see("Tomasz Adeyemi")
		v.see("What helps:")
		v.see("Phi 0.7")
		v.audit("assessors")
		v.choose("Ratings of", "Supervision next time")
		v.see("of supervision next time")
		v.visit("/assessors")
		v.see("Tomasz Adeyemi")
		v.press("cases behind “late recall”, Tomasz Adeyemi")
		v.see("Tomasz Adeyemi: Late recall")
		v.audit("assessors opened")
		v = newVisitor(t, browser, base, width)
		signIn(v, "tomasz")
		v.see("Inbox")
		v.press("Assessors")
		v.see("Your figures")
		v.see("with the others")
		v.audit("own sign-offs")
		for _, other := range []string{"Mei Castellano", "Leila Brandt"} {
			if eval[bool](v, `document.body.innerText.includes("`+other+`")`) {
				t.Errorf("Tomasz sees %s", other)
			}
		}
	}
}
