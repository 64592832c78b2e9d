package main

import (
	"testing"
)

// mostTaps is what the common case may take at phone width, from the trainee's first page to the submission.
const mostTaps = 12

// tapper is a visitor who counts the taps; nothing is typed and no list is opened.
type tapper struct {
	*visitor
	taps int
}

func (v *tapper) tap(name string) {
	v.t.Helper()
	v.press(name)
	v.taps++
}

// TestEntryTaps logs a first case at phone width to have something to begin from, then the common case, counting its taps.
func TestEntryTaps(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	v := &tapper{visitor: newVisitor(t, browser, base, 390)}
	signIn(v.visitor, "noor")
	v.see("What to do next")
	logCase(v.visitor)

	v.visit("/")
	v.see("What to do next")
	v.tap("Log a case")
	v.see("Nothing that identifies a patient")
	v.tap("Yesterday")
	v.tap("18 months")
	v.tap("50 to 54 mm")
	v.tap("Biatrial")
	v.tap("Excised")
	v.tap("Closed, no flow")
	v.tap("Mitral isthmus line: supervisor")
	v.tap("All the rest by me")
	v.see("Draft saved")
	v.see("biatrial, no circuit left, assistant")
	v.see("not performed by the trainee: mitral isthmus line")
	v.audit("fast entry")
	v.tap("Submit for sign-off")
	v.see("What happened to it")
	v.see("Waiting for sign-off")
	t.Logf("the common case took %d taps", v.taps)
	if v.taps > mostTaps {
		t.Errorf("the common case took %d taps, want at most %d", v.taps, mostTaps)
	}
}

// TestEntrySavesItself reloads the page in the middle of a case, and finds all of it in the draft.
func TestEntrySavesItself(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	v := newVisitor(t, browser, base, 390)
	signIn(v, "noor")
	v.see("What to do next")
	v.visit("/cases/new")
	v.see("Nothing that identifies a patient")
	v.press("Box")
	v.press("Roof line: with help")
	v.see("3 steps without anyone yet")
	v.see("Draft saved")
	v.visit("/cases")
	v.see("Draft")
	v.press("Operation not yet named")
	v.see("Lesion set and steps")
	v.press("Edit")
	v.see("3 steps without anyone yet")
}
