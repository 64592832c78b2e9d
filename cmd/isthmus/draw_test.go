package main

import (
	"context"
	"encoding/json"
	"fmt"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// boxSet encircles the veins and the posterior wall: what is left in the left atrium is the way round the mitral annulus.
var boxSet = []string{"Left pulmonary vein isolation", "Right pulmonary vein isolation", "Roof line", "Floor line"}

// onAnnulus is a place of the left atrium's drawing, 340 units wide: below the rim, which is the mitral annulus.
var onAnnulus = [2]float64{170, 350}

// roundMitral is the circuit that a line from the box to the mitral annulus takes away.
const roundMitral = "Round the mitral annulus can sustain flutter"

// TestDraw draws a mitral line by hand in a real browser: with the mouse, with a finger and with the keyboard alone. It sees conduction
// change, takes the line back and sets it again, and finds it in the grade.
func TestDraw(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	for _, width := range []int64{390, 1280} {
		t.Run(fmt.Sprintf("mouse and keyboard, %d px", width), func(t *testing.T) {
			v := newVisitor(t, browser, base, width)
			planBox(v)
			drawWithMouse(v)
			undoAndRedo(v)
			drawWithKeys(v)
			drawRingWithKeys(v)
			adjustNamed(v)
			submitDrawn(v)
		})
	}
	t.Run("touch", func(t *testing.T) {
		v := newVisitor(t, browser, base, 390)
		v.do(chromedp.EmulateViewport(390, 844, chromedp.EmulateTouch))
		planBox(v)
		v.press("Draw a line")
		v.see("Drawing a line") // spoken
		v.touch(v.onMap(v.middleOf("Floor line")), v.onMap(onAnnulus))
		v.see("2 points.")
		v.press("Finish")
		v.see("Drawn 1 line")
		v.gone(roundMitral)
		v.press("Draw a ring")
		v.see("Drawing a ring")
		corners := [][2]float64{v.onMap([2]float64{230, 60}), v.onMap([2]float64{280, 110}), v.onMap([2]float64{230, 130})}
		v.touch(corners...)
		v.see("3 points.")
		v.see("Close the ring")
		time.Sleep(500 * time.Millisecond) // the next two touches alone are the double tap
		v.touch(v.onMap([2]float64{190, 90}), v.onMap([2]float64{190, 90}))
		v.see("Drawn 2 ring")
		v.see("Drawn 2 added: a ring of 4 points")
	})
	t.Run("pen", func(t *testing.T) {
		v := newVisitor(t, browser, base, 768)
		v.do(chromedp.EmulateViewport(768, 1024, chromedp.EmulateTouch))
		planBox(v)
		drawWithPen(v)
	})
}

// planBox signs in and plans a box whose conduction is shown.
func planBox(v *visitor) {
	v.t.Helper()
	signIn(v, "noor")
	v.see("What to do next")
	v.visit("/scenarios/persistent-mitral-repair")
	v.see("The choirmaster's prolapse")
	v.press("Ablate")
	for _, lesion := range boxSet {
		v.press(lesion)
	}
	v.press("Check conduction")
	v.see("Posterior wall isolated")
	v.see(roundMitral)
}

// drawWithMouse pulls a line along the hand's way and cancels it, then clicks one from the box to the annulus.
func drawWithMouse(v *visitor) {
	v.t.Helper()
	v.press("Draw a line")
	v.see("Or between two landmarks")
	from := v.onMap(v.middleOf("Floor line"))
	to := v.onMap(onAnnulus)
	v.pull(from, to)
	v.see("3 points.") // straight on the map is bent on the surface
	v.press("Undo")
	v.see("Undone: draw the stretch. 1 point.")
	v.audit("drawing")
	v.keys(kb.Escape)
	v.gone("Cancel drawing")
	v.press("Draw a line")
	for _, at := range [][2]float64{v.middleOf("Floor line"), onAnnulus} {
		at = v.onMap(at)
		v.do(chromedp.MouseClickXY(at[0], at[1]))
	}
	v.see("2 points.")
	v.keys(kb.Enter)
	v.see("Drawn 1 added: a line of 2 points")
	v.see("Point 2 of 2, at the mitral annulus, joined")
	v.gone(roundMitral)
	v.audit("drawn line")
	pullBack(v)
}

// pullBack pulls the line's end off the annulus with the mouse, and undoes it.
func pullBack(v *visitor) {
	v.t.Helper()
	end, short := v.onMap([2]float64{169, 345}), v.onMap([2]float64{169, 310})
	v.pull(end, short)
	v.see("isolation, not joined") // another lesion is nearer now
	v.see(roundMitral)
	v.press("Undo")
	v.see("Undone: move point 2 of Drawn 1")
	v.gone(roundMitral)
}

// undoAndRedo takes the line back and sets it again, then moves, adds and deletes a point without pulling.
func undoAndRedo(v *visitor) {
	v.t.Helper()
	v.press("Undo")
	v.see("Undone: add Drawn 1")
	v.see(roundMitral)
	v.press("Redo")
	v.see("Drawn 1 line")
	v.gone(roundMitral)
	v.press("Add a point")
	v.see("Point 2 of 3")
	v.press("Move the point left 1 mm")
	v.press("Delete the point")
	v.see("2 points left")
	v.press("Next point")
	v.see("Point 2 of 2, at the mitral annulus, joined")
	for range 4 {
		v.press("Move the point up 1 mm")
	}
	v.see("from the mitral annulus, not joined")
	v.see(roundMitral) // the gap lets the wave through
	v.press("Delete Drawn 1")
	v.see("Drawn 1 deleted")
}

// drawWithKeys places the line between two landmarks, then moves and deletes points: no pointer is used.
func drawWithKeys(v *visitor) {
	v.t.Helper()
	v.reach("Draw a line")
	v.keys(kb.Enter)
	v.see("Or between two landmarks")
	v.tabTo("From")
	v.keys(kb.ArrowDown + kb.ArrowDown + kb.ArrowDown) // the left inferior vein
	v.tabTo("To")
	v.keys("mit")
	v.tabTo("Route")
	v.keys(kb.ArrowDown) // bowed to its left
	v.tabTo("Place line")
	v.keys(kb.Enter)
	v.see("Drawn 1 added: a line of 3 points")
	v.see("From at the left inferior vein")
	v.gone(roundMitral)
	v.see("does the work of the mitral isthmus line")
	const last = "Drawn 1: Point 3 of 3, at the mitral annulus, joined"
	if name := v.await("a focus", "focusedName"); name != last {
		v.t.Errorf("after placing, the focus is on %q, want the last point", name)
	}
	v.do(chromedp.KeyEvent(kb.ArrowUp, chromedp.KeyModifiers(chromedp.ModifierShift)))
	v.see("from the mitral annulus, not joined")
	v.see(roundMitral)
	v.do(chromedp.KeyEvent("z", chromedp.KeyModifiers(chromedp.ModifierCtrl)))
	v.see("Undone: move point 3 of Drawn 1")
	v.gone(roundMitral)
	v.do(chromedp.KeyEvent(kb.Tab, chromedp.KeyModifiers(chromedp.ModifierShift)))
	v.keys(kb.Delete)
	v.see("Point 2 deleted. 2 points left.")
	v.do(chromedp.KeyEvent("z", chromedp.KeyModifiers(chromedp.ModifierCtrl)))
	v.see("Undone: delete point 2 of Drawn 1")
	v.gone(roundMitral)
}

// adjustNamed turns a named lesion into a drawn one and back: with few points to move, and the same work.
func adjustNamed(v *visitor) {
	v.t.Helper()
	v.press("Adjust Roof line")
	v.see("Roof line is now drawn")
	v.see("Drawn 2 line") // the one before is counted after it
	v.press("Undo")
	v.see("Undone: adjust Roof line")
	v.press("Adjust Left pulmonary vein isolation")
	v.see("Left pulmonary vein isolation is now drawn, with")
	v.see("Drawn 1 ring") // the first of the plan
	if n := eval[int](v, `document.querySelectorAll(".point").length`); n < 4 || n > 14 {
		v.t.Errorf("an adjusted ring has %d points to move, want a few", n)
	}
	v.see("Conduction is that of the lesions on the map")
	v.see("Posterior wall isolated")
	v.see("left superior, left inferior, right superior and right inferior")
	v.gone(roundMitral)
	v.press("Undo")
	v.see("Undone: adjust Left pulmonary vein isolation")
}

// drawRingWithKeys puts a ring round openings chosen by name, one round points of its own, and a line past a part of the wall.
func drawRingWithKeys(v *visitor) {
	v.t.Helper()
	v.reach("Draw a ring")
	v.keys(kb.Enter)
	v.see("Or round openings")
	v.tabTo("superior vena cava")
	v.keys(" ")
	v.tabTo("Place ring")
	v.keys(kb.Enter)
	v.see("It goes round the superior vena cava.")
	v.see("Drawn 2 ring")
	v.do(chromedp.KeyEvent("z", chromedp.KeyModifiers(chromedp.ModifierCtrl)))
	v.see("Undone: add Drawn 2")
	v.reach("Draw a ring")
	v.keys(kb.Enter)
	v.tabTo("Steer the cross with the keys")
	v.keys(kb.Enter)
	v.see("mm from")
	for _, way := range []string{kb.ArrowUp, kb.ArrowRight, kb.ArrowDown} {
		for range 2 {
			v.do(chromedp.KeyEvent(way, chromedp.KeyModifiers(chromedp.ModifierShift)))
		}
		v.keys(kb.Enter)
	}
	v.see("3 points.")
	v.tabTo("Close the ring")
	v.keys(kb.Enter)
	v.see("Drawn 2 added: a ring of 3 points")
	v.do(chromedp.KeyEvent(kb.ArrowLeft))
	v.see("1 mm left. Point 3 of 3")
	v.do(chromedp.KeyEvent("z", chromedp.KeyModifiers(chromedp.ModifierCtrl)), chromedp.KeyEvent("z", chromedp.KeyModifiers(chromedp.ModifierCtrl)))
	v.see("Undone: add Drawn 2")
	v.reach("Draw a line")
	v.keys(kb.Enter)
	v.tabTo("From")
	v.keys("mit")
	v.choose("To", "end of Drawn 1")
	v.tabTo("Place line")
	v.keys(kb.Enter)
	v.see("lie on one place") // the line drawn before ends at the annulus
	v.keys(kb.Escape)
	v.gone("Cancel drawing")
}

// submitDrawn finds the drawn line in the grade, on its map and in its table.
func submitDrawn(v *visitor) {
	v.t.Helper()
	v.fill("Anticoagulation for at least", "3")
	v.choose("And afterwards", "then by stroke risk")
	v.fill("Rhythm monitoring at months", "3, 6, 12")
	v.fill("Each time for", "24")
	v.press("Submit for grading")
	v.see("Points are taken from 100")
	v.see("Drawn 1")
	if n := eval[int](v, `[...document.querySelectorAll(".lesion title")].filter(title => title.textContent.startsWith("Drawn 1: does the work of the mitral isthmus line")).length`); n != 1 {
		v.t.Errorf("the map of the grade shows %d lesions called Drawn 1, want 1", n)
	}
	v.audit("grade with a drawn line")
}

// reach has the thing of that name focused, with the tabulator key where it is not.
func (v *visitor) reach(name string) {
	v.t.Helper()
	if v.await("a focus", "focusedName") != name {
		v.tabTo(name)
	}
}

// gone waits for a text to be no longer visible.
func (v *visitor) gone(text string) {
	v.t.Helper()
	v.await(fmt.Sprintf("the text %q to go", text), `(text => seeText(text) ? "" : "yes")`, text)
}

// middleOf is the middle of a lesion, as a place of its drawing.
func (v *visitor) middleOf(lesion string) (place [2]float64) {
	v.t.Helper()
	found := v.await("the lesion "+lesion, `(name => {
		const title = [...document.querySelectorAll(".lesion title")].find(title => title.textContent === name);
		const path = title?.parentNode.querySelector(".stroke");
		if (!path) return "";
		const middle = path.getPointAtLength(path.getTotalLength() / 2);
		return JSON.stringify([middle.x, middle.y]);
	})`, lesion)
	if err := json.Unmarshal([]byte(found), &place); err != nil {
		v.t.Fatal(err)
	}
	return place
}

// onMap is where in the window a place of the left atrium's drawing is, once the page stands still.
func (v *visitor) onMap(place [2]float64) (at [2]float64) {
	v.t.Helper()
	question := `((x, y) => {
		const map = document.querySelector(".chamber");
		map.scrollIntoView({ block: "start", behavior: "instant" });
		const at = new DOMPoint(x, y).matrixTransform(map.getScreenCTM());
		return JSON.stringify([at.x, at.y]);
	})`
	found := ""
	for again := "-"; again != found; time.Sleep(60 * time.Millisecond) {
		again, found = found, v.await("the map", question, place[0], place[1])
	}
	if err := json.Unmarshal([]byte(found), &at); err != nil {
		v.t.Fatal(err)
	}
	return at
}

// pull presses the mouse at one place and lets it go at another.
func (v *visitor) pull(from, to [2]float64) {
	v.t.Helper()
	left := func(p *input.DispatchMouseEventParams) { p.Button, p.ClickCount = input.MouseButtonLeft, 1 }
	v.do(chromedp.MouseEvent(chromedp.MousePressed, from[0], from[1], left),
		chromedp.MouseEvent(chromedp.MouseMoved, (from[0]+to[0])/2, (from[1]+to[1])/2, left),
		chromedp.MouseEvent(chromedp.MouseMoved, to[0], to[1], left),
		chromedp.MouseEvent(chromedp.MouseReleased, to[0], to[1], left))
}

// touch taps each place with a finger.
func (v *visitor) touch(places ...[2]float64) {
	v.t.Helper()
	for _, place := range places {
		finger := []*input.TouchPoint{{X: place[0], Y: place[1]}}
		v.do(touchEvent(input.DispatchTouchEventTypeTouchStart, finger), touchEvent(input.DispatchTouchEventTypeTouchEnd, []*input.TouchPoint{}))
	}
}

func touchEvent(kind input.DispatchTouchEventType, fingers []*input.TouchPoint) chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		_, err := cdp.Call(ctx, target, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: kind, TouchPoints: fingers})
		return err
	})
}
