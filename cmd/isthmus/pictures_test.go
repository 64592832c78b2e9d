package main

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp/kb"
)

// TestPictures looks at what a plan does: a practice map with its gap and circuit, the beat running and scrubbed with the keyboard, before
// and after; then a graded plan, from finding to map and back.
func TestPictures(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	for _, width := range []int64{390, 1280} {
		t.Run(fmt.Sprintf("%d px", width), func(t *testing.T) {
			v := newVisitor(t, browser, base, width)
			planBox(v)
			seeGapAndCircuit(v)
			playActivation(v)
			scrubWithKeys(v)
			compareIntact(v)
			v.audit("activation in the planner")
			findingToMap(v)
		})
	}
}

// seeGapAndCircuit draws a line that stops short of the annulus: list and map tell by how much, and what it leaves open.
func seeGapAndCircuit(v *visitor) {
	v.t.Helper()
	v.press("Draw a line")
	v.see("Or between two landmarks")
	v.choose("From", "left inferior vein")
	v.choose("To", "mitral annulus")
	v.press("Place line")
	v.see("Drawn 1 added")
	for range 4 {
		v.press("Move the point up 1 mm")
	}
	v.see("from the mitral annulus, not joined")
	v.see("mm short of the mitral annulus")
	v.see("It leaves open: round the mitral annulus")
	v.see("can sustain flutter: ")
	v.see("not shorter than the wavelength of 119 mm used")
	v.press("Drawn 1 ends")
	v.await("the gap lit on the map", `(() => document.querySelector(".chamber .gap.lit text")?.textContent.includes("mm") ? "yes" : "")`)
	v.press("Distance to")
	v.press("Circumflex artery")
	v.await("the artery on the map", `(() => document.querySelector(".chamber .structure text")?.textContent === "circumflex artery" ? "yes" : "")`)
}

// playActivation lets the wave run and stops it.
func playActivation(v *visitor) {
	v.t.Helper()
	v.press("Show activation")
	v.see("Last place reached: left atrium")
	if n := eval[int](v, `document.querySelectorAll(".chamber .equal-time").length`); n < 6 {
		v.t.Errorf("%d lines of equal time, want at least 6", n)
	}
	v.press("Play")
	v.await("the front on its way", `(() => document.querySelector(".chamber .front") ? "yes" : "")`)
	v.press("Pause")
	v.await("the button to play on", `placeOf`, "Play")
	at := eval[string](v, `document.querySelector("[aria-label^='Time after']").value`)
	time.Sleep(200 * time.Millisecond)
	if now := eval[string](v, `document.querySelector("[aria-label^='Time after']").value`); now != at {
		v.t.Errorf("paused at %s ms, and it runs on to %s", at, now)
	}
}

// scrubWithKeys moves through the beat with the keyboard alone, and reads the spoken value.
func scrubWithKeys(v *visitor) {
	v.t.Helper()
	v.await("the slider", "focusField", "Time after the sinus node")
	v.keys(kb.Home)
	spoken := func() string { return eval[string](v, `document.activeElement.getAttribute("aria-valuetext")`) }
	if got := spoken(); !strings.HasPrefix(got, "at 0\u00a0ms: 0\u00a0% of the left atrium") {
		v.t.Errorf("at the start the slider says %q", got)
	}
	v.keys(strings.Repeat(kb.ArrowRight, 30))
	if got := spoken(); !strings.HasPrefix(got, "at 60\u00a0ms: ") || !strings.HasSuffix(got, "of the right atrium activated") {
		v.t.Errorf("after 30 steps of 2 ms the slider says %q", got)
	}
	v.keys(kb.End)
	if got := spoken(); !strings.Contains(got, "100\u00a0% of the right atrium") {
		v.t.Errorf("at the end the slider says %q", got)
	}
}

// compareIntact switches to the atria before the plan and back.
func compareIntact(v *visitor) {
	v.t.Helper()
	v.see("delay")
	v.press("Intact")
	v.await("no lesion on the map", `(() => getComputedStyle(document.querySelector(".chamber .lesion")).display === "none" ? "yes" : "")`)
	v.press("Plan")
	v.await("the lesions again", `(() => getComputedStyle(document.querySelector(".chamber .lesion")).display === "none" ? "" : "yes")`)
	v.see("Circuits that can sustain flutter")
}

// findingToMap opens the grade of an earlier plan: a finding lights its place and leads back, and what is chosen in the lists marks the
// findings about it.
func findingToMap(v *visitor) {
	v.t.Helper()
	v.visit("/plans")
	v.await("a graded plan", `(() => { const plan = document.querySelector("a[href^='/plans/']"); plan?.click(); return plan ? "yes" : ""; })`)
	v.see("Points are taken from 100")
	v.see("Last place reached: left atrium")
	v.await("a grade's isochrones", `(() => document.querySelector(".chamber .equal-time") ? "yes" : "")`)
	v.press("Show on the map")
	v.await("the finding's mark lit", `(() => document.querySelector(".chamber .mark.lit") ? "yes" : "")`)
	v.await("the finding open", `(() => document.querySelector(".finding.lit details")?.open ? "yes" : "")`)
	if v.width < 600 {
		v.await("the map in sight", `(() => { const { top, bottom } = document.querySelector(".chamber").getBoundingClientRect(); return top >= -1 && bottom <= innerHeight ? "yes" : ""; })`)
		v.press("Back to where you were")
		if name := v.await("a focus", "focusedName"); !strings.Contains(name, "Lit on the map") {
			v.t.Errorf("back from the map the focus is on %q", name)
		}
		v.await("the finding in sight", `(() => { const { top, bottom } = document.querySelector(".finding.lit").getBoundingClientRect(); return bottom > 0 && top < innerHeight ? "yes" : ""; })`)
	}
	v.press("Lit on the map")
	v.await("the mark dark", `(() => document.querySelector(".chamber .mark.lit") ? "" : "yes")`)
	mark := eval[string](v, `document.querySelector(".chamber .mark").getAttribute("aria-label")`)
	v.press(mark)
	v.await("the finding about it marked", `(() => document.querySelector(".finding.lit")?.textContent.includes("about what you chose") ? "yes" : "")`)
	v.audit("a graded plan's pictures")
}
