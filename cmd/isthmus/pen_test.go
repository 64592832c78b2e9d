package main

import (
	"context"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
)

// drawWithPen draws with the pen while the palm rests on the screen, first along a bent way, then a mitral line that joins at both ends.
func drawWithPen(v *visitor) {
	v.t.Helper()
	v.press("Draw a line")
	v.see("0 points.")
	if how := eval[string](v, `getComputedStyle(document.querySelector(".pen")).touchAction`); how != "none" {
		v.t.Errorf("the drawing surface scrolls with what draws on it: touch-action %s", how)
	}
	bend := [][2]float64{v.onMap([2]float64{150, 250}), v.onMap([2]float64{170, 300}), v.onMap([2]float64{230, 310}), v.onMap([2]float64{250, 260})}
	v.pen(input.DispatchMouseEventTypeMousePressed, bend[0])
	for _, at := range bend[1:] {
		v.pen(input.DispatchMouseEventTypeMouseMoved, at)
	}
	v.pen(input.DispatchMouseEventTypeMouseReleased, bend[3])
	v.touch(v.onMap([2]float64{280, 290})) // the palm
	v.see("points.")
	if n := eval[int](v, `document.querySelectorAll(".draft-point").length`); n < 4 || n > 8 {
		v.t.Errorf("a bent way of the pen has %d points, want its bends and no palm", n)
	}
	v.press("Cancel drawing")
	v.press("Draw a line")
	v.see("0 points.")
	time.Sleep(800 * time.Millisecond) // so long the palm of the last stroke is still one
	from, to := v.onMap(v.middleOf("Floor line")), v.onMap(onAnnulus)
	resting := []*input.TouchPoint{{X: from[0] + 60, Y: from[1] + 40}}
	v.do(touchEvent(input.DispatchTouchEventTypeTouchStart, resting)) // here the palm comes before the tip
	v.see("1 point.")
	v.pen(input.DispatchMouseEventTypeMousePressed, from)
	v.pen(input.DispatchMouseEventTypeMouseReleased, from)
	v.do(touchEvent(input.DispatchTouchEventTypeTouchEnd, []*input.TouchPoint{}))
	v.pen(input.DispatchMouseEventTypeMousePressed, to)
	v.pen(input.DispatchMouseEventTypeMouseReleased, to)
	v.see("2 points.")
	v.press("Finish")
	v.see("Drawn 1 added: a line of 2 points")
	v.gone(roundMitral)
	end := v.onMap([2]float64{169, 345}) // and the end is pulled off the annulus
	v.pen(input.DispatchMouseEventTypeMousePressed, end)
	for _, y := range []float64{330, 310} {
		v.pen(input.DispatchMouseEventTypeMouseMoved, v.onMap([2]float64{169, y}))
	}
	v.pen(input.DispatchMouseEventTypeMouseReleased, v.onMap([2]float64{169, 310}))
	v.see("not joined")
	v.see(roundMitral)
	v.see("Conduction is that of the lesions on the map")
	v.audit("drawn with a pen")
}

// pen presses, moves or lifts the tip of a pen.
func (v *visitor) pen(kind input.DispatchMouseEventType, at [2]float64) {
	v.t.Helper()
	buttons := int64(1)
	if kind == input.DispatchMouseEventTypeMouseReleased {
		buttons = 0
	}
	v.do(chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		_, err := cdp.Call(ctx, target, input.DispatchMouseEvent, input.DispatchMouseEventParams{
			Type: kind, X: at[0], Y: at[1], Button: input.MouseButtonLeft, Buttons: buttons, ClickCount: 1, PointerType: input.DispatchMouseEventPointerTypePen, Force: 0.3,
		})
		return err
	}))
}
