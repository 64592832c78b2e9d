package main

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// TestDecisions takes the decisions besides the lesions in a real browser: an order of steps by the keyboard alone, and what the patient
// is told as two ranges. What is wrong is said at its field, by the page before the server has to.
func TestDecisions(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	for _, width := range []int64{390, 768} {
		v := newVisitor(t, browser, base, width)
		signIn(v, "noor")
		v.see("What to do next")
		v.visit("/scenarios/long-standing-coronary-closed")
		v.see("Order of the steps")
		v.press("Do not ablate")
		v.choose("Why not", "Risk too high")
		v.press("Submit for grading")
		for _, missing := range []string{"Put the steps of the operation in order.", "Give the chance of sinus rhythm as a range, in percent.", "Give the risk of a pacemaker as a range, in percent."} {
			v.see(missing)
		}
		v.audit("decisions missing")
		orderByKeys(v)
		v.fill("In sinus rhythm 12 months after the operation: from, percent", "70")
		v.fill("In sinus rhythm 12 months after the operation: to, percent", "55")
		v.fill("A new pacemaker after the operation: from, percent", "4")
		v.fill("A new pacemaker after the operation: to, percent", "120")
		v.press("Submit for grading")
		v.see("The lower number of the chance of sinus rhythm must not be more than the higher one.")
		v.see("Give the risk of a pacemaker between 0 and 100 %.")
		v.fill("In sinus rhythm 12 months after the operation: to, percent", "85")
		v.fill("A new pacemaker after the operation: to, percent", "12")
		v.fill("Anticoagulation for at least", "3")
		v.choose("And afterwards", "then by stroke risk")
		v.fill("Rhythm monitoring at months", "3, 6, 12")
		v.fill("Each time for", "24")
		v.audit("decisions")
		v.press("Submit for grading")
		v.see("Points are taken from 100")
		v.see("70 to 85")
		v.see("4 to 12")
		if order := eval[string](v, `[...document.querySelectorAll(".steps-taken li")].map(step => step.textContent).join("; ")`); order != "Do the primary operation; Clamp the aorta and arrest the heart" {
			t.Errorf("the graded plan has the steps %q", order)
		}
	}
}

// orderByKeys takes three steps, moves one with the keys, leaves one out and takes that back and forth.
func orderByKeys(v *visitor) {
	v.t.Helper()
	for i, step := range []string{"Clamp the aorta and arrest the heart", "Place the pacing wires", "Do the primary operation"} {
		v.reach("Take: " + step)
		v.keys(kb.Enter)
		v.see(fmt.Sprintf("%s, now %d of %d.", step, i+1, i+1)) // spoken
	}
	if name := v.await("a focus", "focusedName"); name != "Earlier: Do the primary operation" {
		v.t.Errorf("after taking a step the focus is on %q", name)
	}
	v.keys(kb.Enter)
	v.see("Do the primary operation, now 2 of 3.")
	v.do(chromedp.KeyEvent(kb.ArrowUp, chromedp.KeyModifiers(chromedp.ModifierAlt)))
	v.see("Do the primary operation, now 1 of 3.")
	v.keys(kb.Enter)
	v.see("Do the primary operation is first already.")
	v.press("Leave out: Place the pacing wires")
	v.see("Place the pacing wires left out. 2 steps in order.")
	v.press("Undo")
	v.see("Undone: leave out 'Place the pacing wires'")
	v.press("Redo")
	v.see("Done again: leave out 'Place the pacing wires'")
}
