package main

import (
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"
)

// TestCohortGrid goes through the director's grid with the keys alone: one stop of the tabulator, arrows from cell to cell, Enter to the
// evidence; filters by year and trend; who needs action first, with the reason.
func TestCohortGrid(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	v := newVisitor(t, browser, base, 1280)
	signIn(v, "amara")
	v.see("Who needs action")
	v.see("Lapsed:")
	stops := eval[int](v, `document.querySelectorAll("table.cohort [tabindex='0']").length`)
	if stops != 1 {
		t.Errorf("the grid has %d stops of the tabulator", stops)
	}
	eval[string](v, `document.querySelector("table.cohort [tabindex='0']").focus(), ""`)
	v.keys(kb.ArrowRight)
	v.keys(kb.ArrowDown)
	if at := eval[string](v, `document.activeElement.dataset.at`); at != "1.1" {
		t.Errorf("right and down lead to %s", at)
	}
	v.keys(kb.End)
	if at := eval[string](v, `document.activeElement.dataset.at`); at != "1.6" {
		t.Errorf("the end of the row is %s", at)
	}
	v.keys(kb.Enter)
	v.see("Evidence")
	if path := eval[string](v, "location.pathname"); !strings.HasSuffix(path, "/standing/learning-curve") {
		t.Errorf("Enter led to %s", path)
	}
	v.visit("/cohort")
	v.see("Who needs action")
	v.choose("Trend over", "365 days")
	v.see("Arrow: up or down since")
	v.choose("Year of training", "Year 1")
	v.see("of 6 trainees")
	v.audit("cohort by year")
	v = newVisitor(t, browser, base, 390)
	signIn(v, "amara")
	v.see("Who needs action")
	v.audit("cohort on a phone")
}
