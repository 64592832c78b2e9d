package main

import (
	"testing"

	"github.com/chromedp/chromedp/kb"
)

// TestStandardByForm: the director writes the next version of the standard by the form alone, with the keyboard: sees a fault, mends it, reads
// every line in words and what it would mean, adds it, moves a trainee to it, and the standing changes.
func TestStandardByForm(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	v := newVisitor(t, browser, base, 1280)
	signIn(v, "amara")
	v.see("Noor Eriksen")
	v.visit("/standards/new")
	v.see("A standard needs a requirement: add the first below.")
	v.audit("empty standard")
	v.tabTo("Title")
	v.keys("Northmere's own standard")
	v.tabTo("Add it")
	v.keys(" ")
	v.see("Must be 1 to 1000, not 0")
	v.see("Not complete yet.")
	if name := v.await("a focus", "focusedName"); name != "At least" {
		t.Errorf("a new card has the focus on %q", name)
	}
	v.keys("3")
	v.see("At least 3 signed-off cases.")
	v.tabTo("Which cases: all signed-off cases")
	v.keys(kb.Enter)
	v.tabTo("Primary")
	v.keys(" ")
	v.see("At least 3 signed-off cases as primary.")
	v.see("Which cases: primary")

	v.tabTo("Add a requirement")
	v.keys("Ra")
	v.see("Ratings at a level or above in a share of the last cases")
	v.tabTo("Add it")
	v.keys(" ")
	v.see("In a share of at least") // the card is there, and with it the focus
	if name := v.await("a focus", "focusedName"); name != "Rating" {
		t.Errorf("a new card has the focus on %q", name)
	}
	v.keys("H")
	v.tabTo("Level or above")
	v.keys("4")
	v.tabTo("In a share of at least")
	v.keys("80")
	v.tabTo("Of the last")
	v.keys("5")
	v.tabTo("Lower limit of the interval, at least (may be left out)")
	v.keys("70")
	v.tabTo("Confidence of the interval (may be left out)")
	v.keys("90")
	v.see("Cannot be reached: 5 good cases of 5 give")
	v.see("1 fault to mend first.")
	v.audit("standard with a fault")
	v.fill("Of the last", "20")
	v.see("Help given at level 4 (performed with spoken advice) or above in at least 80 % of the last 20 signed-off cases, the lower limit of the 90 % interval at 70 % or above.")
	v.see("Were all judged by it today,")
	v.see("No longer asked: Biatrial cases")
	v.audit("standard in the form")

	v.press("Text (YAML)")
	v.await("the text in step with the form", `(() => document.querySelector("textarea[name=yaml]")?.value.includes("lower_bound: 0.7") ? "yes" : "")`)
	v.audit("standard as text")
	if !eval[bool](v, `(() => { const text = document.querySelector("textarea[name=yaml]"); text.value = text.value.replace("at_least: 3", "at_least: 2 # by vote"); text.dispatchEvent(new Event("input", {bubbles: true})); return true })()`) {
		t.Error("the text was not changed")
	}
	v.see("At least 2 signed-off cases as primary.")
	v.press("Form")
	v.await("the form in step with the text", `(() => document.querySelector("[data-field='requirements[0].at_least'] input")?.value === "2" ? "yes" : "")`)
	v.fill("Title", "Northmere's standard")
	v.see("No fault. Once added it never changes.")
	v.tabTo("Add this version")
	v.keys(kb.Enter)
	v.see("Whom it judges today")
	v.see("None of ")
	v.see("Northmere's standard")
	if !eval[bool](v, `document.querySelector("pre.yaml").textContent.includes("at_least: 2 # by vote")`) {
		t.Error("a comment in the text is lost when the form changes a line")
	}
	v.audit("standard")

	v.tabTo("Move a trainee to this version")
	v.keys(kb.Enter)
	v.reach("Trainee")
	v.keys("In")
	v.tabTo("Move")
	v.keys(kb.Enter)
	v.see("Say why, in a sentence: the trainee reads it.")
	v.fill("Why", "She asked to be judged by the newer thresholds.")
	v.tabTo("Move")
	v.keys(kb.Enter)
	v.see("1 trainee of ")
	v.press("What it changed")
	v.see("No longer asked: Biatrial cases")
	v.audit("standards compared")

	phone := newVisitor(t, browser, base, 390)
	signIn(phone, "ines")
	phone.see("What to do next")
	phone.visit("/standing")
	phone.see("moved by Amara")
	phone.see("because “She asked to be judged by the newer thresholds”.")
	phone.see("At least 2 signed-off cases as primary.")
	phone.audit("standing after a move")
	phone.visit("/standards/new")
	phone.see("Only a director of the programme writes its standard.")
}

// TestStandardOnPhone: the form holds every kind of requirement on a narrow screen, starting from the example, labelled as one.
func TestStandardOnPhone(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	v := newVisitor(t, browser, base, 390)
	v.do(darkened())
	signIn(v, "amara")
	v.see("Noor Eriksen")
	v.visit("/standards/new?from=example")
	v.see("Example: the programme sets its own numbers.")
	v.see("At least 12 signed-off cases as primary, with scope biatrial set.")
	v.see("No fault.")
	v.press("Down: move requirement 1")
	v.see("1. Number of cases")
	v.press("Remove requirement 5")
	v.see("No longer asked: Recent cases")
	for _, kind := range []string{"Recent cases", "Learning curve", "Lines complete", "Follow-up on record", "Quizzes", "Trust in the ratings"} {
		v.choose("Add a requirement", kind)
		v.press("Add it")
	}
	v.see("to mend first.")
	v.audit("standard of every kind")
	v.visit("/standards")
	v.see("version 1")
	v.audit("standards")
}
