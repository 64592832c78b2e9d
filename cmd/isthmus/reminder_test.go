package main

import "testing"

// TestReminders looks at what waits: a trainee's draft on the first page, and for the director the case of another that waits too long.
func TestReminders(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	for _, width := range []int64{390, 1280} {
		v := newVisitor(t, browser, base, width)
		signIn(v, "noor")
		v.see("What to do next")
		v.see("finish and submit it")
		v.audit("today with a draft")

		v = newVisitor(t, browser, base, width)
		signIn(v, "amara")
		v.see("What waits")
		v.see("17 days old")
		v.audit("cohort with a reminder")
		v.press("A case of the programme waits for sign-off more than 14 days after the operation.")
		v.see("Waiting for sign-off")
		v.audit("cases that wait")
	}
}
