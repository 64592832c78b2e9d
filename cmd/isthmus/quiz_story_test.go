package main

import (
	"context"
	"encoding/json"
	"net/http"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"isthmus/assessment"
	"isthmus/assessment/question"
)

// clientClock sets the page's own clock by so many hours.
func clientClock(v *visitor, hours string) {
	v.t.Helper()
	eval[bool](v, `(() => { const real = globalThis.realNow ??= Date.now.bind(Date); Date.now = () => real() + (`+hours+`) * 3600000; return true; })()`)
}

// TestQuizLate: the time of a test is the server's, whatever the clock of the device says, before or behind; an answer that was held up by a
// lost connection until the end and its grace were over does not count, and the page says so.
func TestQuizLate(t *testing.T) {
	browser := openBrowser(t)
	var ahead atomic.Int64 // how far the server's clock is put forward
	clock := func() time.Time { return wallClock().Add(time.Duration(ahead.Load())) }
	base, _ := serveDemoAs(t, clock, func(handler http.Handler) http.Handler { return handler })
	v := newVisitor(t, browser, base, 390)
	signIn(v, "noor")
	v.see("What to do next")
	v.visit("/knowledge")
	v.press("Test: Guidelines")
	v.press("Start the test")
	v.see("Question 1 of 8")
	clientClock(v, "5")
	answerQuestion(v)
	v.see("Saved.")
	v.see("11 min")
	nothingElseIsTold(v)
	clientClock(v, "-30")
	ahead.Store(int64(6 * time.Minute))
	v.press("Next")
	v.see("Question 2 of 8")
	answerQuestion(v)
	v.see("2 of 8 questions answered")
	v.see("5 min") // with the answer to the save came the server's time
	v.see("Saved.")
	v.press("Next")
	v.see("Question 3 of 8")
	v.offline(true)
	answerQuestion(v)
	v.see("No connection. Kept on this device")
	ahead.Store(int64(12*time.Minute + assessment.SittingGrace + time.Second))
	v.offline(false)
	v.see("The time was up")
	v.see("2 answered.")
	v.see("1 answer of this page had not reached the server by then and does not count.")
	v.audit("a test ended without its last answer")
}

// nothingElseIsTold looks at the pages that lead to a test of questions that is open, and at the planner, which tells nothing meanwhile.
func nothingElseIsTold(v *visitor) {
	v.t.Helper()
	v.visit("/")
	v.see("Test: questions, guidelines")
	v.audit("today with an open test of questions")
	v.visit("/scenarios/persistent-mitral-repair")
	v.see("Your plan")
	v.press("Check conduction")
	v.see("A test is open")
	v.visit("/knowledge")
	v.see("Nothing else is asked or told until it is over.")
	v.audit("knowledge with an open test")
	v.press("Go on with the test")
	v.see("Question 2 of 8") // the first without an answer
	v.press("Previous")
	v.see("Question 1 of 8")
}

// TestQuizTellsNoKeyOfAnyKind answers tests until every kind of item was asked, and looks through all that went to the browser meanwhile:
// no key, feedback, rationale, id of an item, nor a place of a drawing that is right.
func TestQuizTellsNoKeyOfAnyKind(t *testing.T) {
	browser := openBrowser(t)
	wire := &traffic{}
	base, _ := serveDemoAs(t, wallClock, wire.recording)
	v := newVisitor(t, browser, base, 1280)
	signIn(v, "hana")
	v.see("What to do next")
	asked := map[string]bool{}
	for _, topic := range []string{"All topics", "Lines", "Anatomy", "Energy", "Concomitant surgery", "All topics", "Appendage", "Complications", "Follow-up"} {
		if len(asked) == 5 {
			break
		}
		v.visit("/knowledge")
		v.press("Test: " + topic)
		v.press("Start the test")
		v.see("Question 1 of")
		wire.forget() // what is told of a test before is told rightly
		v.visit(eval[string](v, "location.pathname"))
		v.see("Question 1 of")
		for {
			answerQuestion(v)
			asked[kindOnPage(v)] = true
			v.see("Saved.")
			if eval[bool](v, `[...document.querySelectorAll("button")].find(one => one.textContent === "Next").disabled`) {
				break
			}
			at := eval[string](v, `document.querySelector("#question-title").textContent`)
			v.press("Next")
			v.gone(at)
		}
		v.visit(eval[string](v, "location.pathname"))
		v.see("Question 1 of")
		wire.holdsNoKey(t)
		wire.holdsNoDrawing(t)
		v.press("Submit the test")
		v.see("questions right")
	}
	for _, kind := range []question.Kind{question.SingleBest, question.Several, question.Numeric, question.Ordering, question.OnMap} {
		if !asked[string(kind)] {
			t.Errorf("no question of kind %s was asked", kind)
		}
	}
}

// kindOnPage is the kind of the question on the page, told by its ways to answer.
func kindOnPage(v *visitor) string {
	v.t.Helper()
	return eval[string](v, `(() => {
		const one = document.querySelector(".quiz-question");
		if (one.querySelector(".quiz-map")) return "map";
		for (const [type, kind] of [["radio", "single-best"], ["checkbox", "several"], ["text", "numeric"]]) if (one.querySelector("input[type=" + type + "]")) return kind;
		return "ordering";
	})()`)
}

// holdsNoDrawing fails for every answer that holds a place of a key or of a drawing known to be wrong. The atrium itself is left out: where
// its nodes and neighbours lie is told to everybody always, and tells nothing of what is asked.
func (w *traffic) holdsNoDrawing(t *testing.T) {
	t.Helper()
	w.Lock()
	defer w.Unlock()
	for _, it := range question.Starter().Items() {
		if it.Map == nil {
			continue
		}
		places := it.Map.Key
		said := []string{}
		for _, miss := range it.Map.Misses {
			places, said = append(places[:len(places):len(places)], miss.Path...), append(said, miss.Feedback)
		}
		for _, at := range places {
			text, _ := json.Marshal(at)
			said = append(said, string(text))
		}
		for _, one := range w.calls {
			if strings.HasPrefix(one.path, "GET /api/atrium") {
				continue
			}
			for _, secret := range said {
				if strings.Contains(one.body, secret) {
					t.Errorf("the answer to %s holds %s of %s during a test", one.path, secret, it.ID)
				}
			}
		}
	}
}

// TestQuizByKeyboard takes a test from its offer to its result with the keyboard alone, a drawing on the map among its answers.
func TestQuizByKeyboard(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	v := newVisitor(t, browser, base, 390)
	signIn(v, "noor")
	v.see("What to do next")
	v.visit("/knowledge")
	v.see("Nothing is told before the end.")
	enter := func(name string) {
		t.Helper()
		v.reach(name)
		v.keys(kb.Enter)
	}
	enter("Test: Lines, 8 questions")
	v.see("12 minutes")
	enter("Start the test")
	v.see("Question 1 of 8")
	answerBy(v, enter)
	for place := 2; place <= 8; place++ {
		enter("Next")
		v.see("Question " + string(rune('0'+place)) + " of 8")
		answerBy(v, enter)
	}
	v.see("8 of 8 questions answered")
	enter("Submit the test")
	v.see("of 8 questions right")
	v.see("8 answered.")
}

// TestQuestionOnMapByTouch puts places and lines on the map of a question with a finger.
func TestQuestionOnMapByTouch(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	v := newVisitor(t, browser, base, 390)
	v.do(chromedp.EmulateViewport(390, 844, chromedp.EmulateTouch))
	signIn(v, "noor")
	v.see("What to do next")
	for _, topic := range []string{"Anatomy", "Lines"} {
		for drawn := false; !drawn; {
			v.visit("/knowledge")
			v.press("Practise " + topic)
			v.see("Question 1 of 8")
			for place := 1; place < 8 && kindOnPage(v) != "map"; place++ {
				v.press("Next")
				v.see("Question " + string(rune('1'+place)) + " of 8")
			}
			if drawn = kindOnPage(v) == "map"; drawn {
				v.see(" yet.")
				touchAnswer(v)
				v.press("Answer")
				v.see("is right:")
			}
			v.press("End and see the result")
			v.press("End and see the result")
			v.see("of 8 questions right")
		}
	}
}

// touchAnswer draws what the question on the page asks for, in the middle of its map, with a finger, and undoes one point of it.
func touchAnswer(v *visitor) {
	v.t.Helper()
	begin := eval[string](v, `document.querySelector(".quiz-map .begin")?.textContent || ""`)
	if begin == "" {
		v.touch(v.onMap([2]float64{170, 150}))
		v.see("The place is put.")
		v.press("Take it away")
		v.see("No place is put yet.")
		v.touch(v.onMap([2]float64{150, 220}))
		v.see("The place is put.")
		return
	}
	v.press(begin)
	for _, at := range [][2]float64{{170, 150}, {205, 200}, {150, 230}, {120, 190}} {
		v.touch(v.onMap(at))
	}
	v.see("4 points.")
	if strings.HasSuffix(begin, "a ring") {
		v.press("Close the ring")
		v.see("Drawn: a ring of 4 points")
	} else {
		v.press("Finish")
		v.see("Drawn: a line of 4 points")
	}
	v.press("Delete the point")
	v.see("of 3 points,")
	v.press("Undo")
	v.see("of 4 points,")
}

// TestQuizLooks walks the kinds of questions, their feedback and the result in the dark, on the phone and wide.
func TestQuizLooks(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	for width, who := range map[int64]string{390: "noor", 1440: "hana"} {
		v := newVisitor(t, browser, base, width)
		v.do(darkened())
		signIn(v, who)
		v.see("What to do next")
		seen := map[string]bool{}
		for n, topic := range []string{"Lines", "Concomitant surgery", "Anatomy", "Appendage", "Energy"} { // which kinds come up is drawn
			if n >= 2 && len(seen) >= 4 {
				break
			}
			v.visit("/knowledge")
			v.see("Start the daily set")
			v.audit("dark knowledge")
			v.press("Practise " + topic)
			v.see("Question 1 of 8")
			for place := 1; place <= 8; place++ {
				if place > 1 {
					v.press("Next")
					v.see("Question " + string(rune('0'+place)) + " of 8")
				}
				kind := kindOnPage(v)
				if seen[kind] {
					continue
				}
				seen[kind] = true
				answerQuestion(v)
				v.audit("dark question, " + kind)
				v.press("Answer")
				v.see("Source:")
				v.audit("dark feedback, " + kind)
			}
			v.press("End and see the result")
			v.press("End and see the result")
			v.see("of 8 questions right")
			v.audit("dark result")
			v.press("Question 8,") // right, wrong or not answered: its kind may have come up there first
			if name := v.await("a focus", "focusedName"); name != "Question 8" {
				t.Errorf("the focus is on %q, want question 8", name)
			}
		}
		v.do(onPaper())
		v.shoot("paper result")
		if seen := eval[int](v, `[...document.querySelectorAll("main button, .places")].filter(one => one.checkVisibility()).length`); seen > 0 {
			t.Errorf("%d buttons are printed", seen)
		}
		v.see("For education. Not advice on a patient.")
		if len(seen) < 4 {
			t.Errorf("only %v were looked at", seen)
		}
	}
}

// onPaper shows the page as it is printed.
func onPaper() chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		_, err := cdp.Call(ctx, target, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
		return err
	})
}
