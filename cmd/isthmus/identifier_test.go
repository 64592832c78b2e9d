package main

import "testing"

// The words that the screen takes for a name of a patient, and why they stay.
const (
	keptWords  = "patient Left Atrium"
	keptReason = "Names the chamber, no person."
)

// TestIdentifiers keeps words that the privacy screen stops, in a note and in a reason, and leaves out what is never kept; the
// director looks at both.
func TestIdentifiers(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	noor := newVisitor(t, browser, base, 390)
	signIn(noor, "noor")
	keepInNote(noor)
	keepInReason(noor)
	amara := newVisitor(t, browser, base, 1440)
	signIn(amara, "amara")
	reviewOverrides(amara)
}

// keepInNote writes a note with a record number, which goes, and the words, which stay.
func keepInNote(v *visitor) {
	v.t.Helper()
	v.see("What to do next")
	v.visit("/cases/new")
	v.see("Log a case")
	v.fill("Note", "MRN 0048213: in this "+keptWords+" first.")
	v.see("It is never kept.")
	v.press("Leave it out") // the first of the two: the number
	v.press("Keep it: say why")
	v.fill("Why it names no patient", keptReason)
	eval[string](v, `(scrollTo(0, document.body.scrollHeight), "")`) // the bar at the foot covers half of whatever stands behind it
	v.audit("case note kept")
	v.press("Save and close")
	v.see("in this " + keptWords + " first.")
	v.see("Draft")
}

// keepInReason withdraws the case with the words in the reason: they are stopped once, beside the reason.
func keepInReason(v *visitor) {
	v.t.Helper()
	v.press("Withdraw")
	v.fill("Why it is withdrawn", "The "+keptWords+" was not ablated.")
	v.press("Withdraw the case")
	v.see("This could identify the patient.")
	v.press("Keep it: say why")
	v.fill("Why it names no patient", "No")
	v.press("Withdraw the case")
	v.see("Must be at least 3 words")
	v.audit("reason refused")
	v.fill("Why it names no patient", keptReason)
	v.press("Withdraw the case")
	v.see("withdrew it")
}

// reviewOverrides looks at what was kept, in its place, and marks it.
func reviewOverrides(v *visitor) {
	v.t.Helper()
	v.press("More")
	v.press("Overrides")
	v.see(keptReason)
	v.audit("overrides")
	v.press("Seen")
	v.see("Seen by Amara Lindqvist")
	v.press("All, with those that were seen")
	v.see("The note of a case")
	v.see("A reason of a case")
	v.see("Seen by Amara Lindqvist")
	v.press("The note of a case")
	v.see("What happened to it")
	v.see("in this " + keptWords)
}
