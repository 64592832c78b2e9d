package main

import (
	"fmt"
	"os"
	"slices"
	"strconv"
	"testing"
	"time"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
)

// TestLiveDrawing draws on a biatrial plan in a real browser and tells how long the answers about conduction took there, from asking to
// the last byte. Nothing is asserted about time, for machines differ; ISTHMUS_LIVEDRAW=n draws n lines instead of one, for figures:
//
//	ISTHMUS_LIVEDRAW=20 go test ./cmd/isthmus -run LiveDrawing -v
func TestLiveDrawing(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	v := newVisitor(t, browser, base, 1280)
	planBiatrial(v)
	strokes := 1
	if n, err := strconv.Atoi(os.Getenv("ISTHMUS_LIVEDRAW")); err == nil {
		strokes = n
	}
	for i := range strokes {
		drawLive(v, i)
	}
	took := eval[[]float64](v, `performance.getEntriesByType("resource").filter(one => one.name.endsWith("/conduction") && one.responseEnd > 0).map(one => one.duration)`)
	// A change that comes while an answer is under way takes its place in the queue, so a slow machine gives fewer answers than changes.
	if len(took) < 3 {
		t.Fatalf("%d answers came while a line of three points was drawn and pulled, want one for each stage at least", len(took))
	}
	slices.Sort(took)
	size := eval[float64](v, `Math.max(...performance.getEntriesByType("resource").filter(one => one.name.endsWith("/conduction")).map(one => one.transferSize)) / 1024`)
	t.Logf("%d answers in the browser: median %.1f ms, 95th percentile %.1f ms, longest %.1f ms; at most %.0f kB each",
		len(took), percentile(took, 50), percentile(took, 95), took[len(took)-1], size)
}

// percentile is the nearest-rank percentile of sorted values.
func percentile(sorted []float64, percent int) float64 {
	return sorted[max(0, (len(sorted)*percent+99)/100-1)]
}

// planBiatrial signs in and plans what isolates and cuts both atria, but for a mitral line.
func planBiatrial(v *visitor) {
	v.t.Helper()
	signIn(v, "noor")
	v.see("What to do next")
	v.visit("/scenarios/persistent-mitral-repair")
	v.press("Ablate")
	for _, lesion := range slices.Concat(boxSet, []string{"Coronary sinus lesion", "Left appendage line", "Line between the cavae",
		"Free wall line to the tricuspid annulus", "Right appendage line to the tricuspid annulus"}) {
		v.press(lesion)
	}
	v.press("Check conduction")
	v.see("Posterior wall isolated")
	eval[string](v, `performance.clearResourceTimings(), performance.setResourceTimingBufferSize(9999), ""`)
}

// drawLive draws a line point by point, each looked at, pulls its end about, and takes it away again.
func drawLive(v *visitor, i int) {
	v.t.Helper()
	v.press("Draw a line")
	v.see("0 points.")
	x := 120 + float64(i*37%90)
	for k, y := range []float64{292, 315, 340} {
		at := v.onMap([2]float64{x + float64(k*6), y})
		v.do(chromedp.MouseClickXY(at[0], at[1]))
		v.see(fmt.Sprintf("%d point", k+1))
		time.Sleep(450 * time.Millisecond) // a hand that thinks; quicker would be a double tap
	}
	v.press("Finish")
	v.see("Drawn 1 added")
	box := eval[[2]float64](v, `(() => { const all = [...document.querySelectorAll(".point .dot")], box = all[all.length - 1].getBoundingClientRect(); return [box.x + box.width / 2, box.y + box.height / 2]; })()`)
	left := func(p *input.DispatchMouseEventParams) { p.Button, p.ClickCount = input.MouseButtonLeft, 1 }
	v.do(chromedp.MouseEvent(chromedp.MousePressed, box[0], box[1], left))
	for step := range 30 {
		v.do(chromedp.MouseEvent(chromedp.MouseMoved, box[0]+float64(step), box[1]-float64(step), left))
		time.Sleep(16 * time.Millisecond)
	}
	v.do(chromedp.MouseEvent(chromedp.MouseReleased, box[0]+30, box[1]-30, left))
	v.see("Point 3 of 3")
	v.press("Delete Drawn 1")
	v.see("Drawn 1 deleted")
}
