package main

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/chromedp/chromedp/kb"

	"isthmus/assessment/question"
)

// TestQuizInBrowser takes a test of questions in a real browser. No key reaches the browser before the submission; a lost connection, a
// reload and a clock that is set lose nothing; two tabs do not overwrite each other unasked.
func TestQuizInBrowser(t *testing.T) {
	browser := openBrowser(t)
	wire := &traffic{}
	base, _ := serveDemoAs(t, wallClock, wire.recording)
	v := newVisitor(t, browser, base, 390)
	signIn(v, "noor")
	v.see("What to do next")
	v.visit("/knowledge")
	v.see("Start the daily set")
	v.see("What you have shown to know")
	v.audit("knowledge")
	v.press("Test: Lines")
	v.see("Lines: 8 questions, 12 minutes.")
	v.audit("before a test of questions")
	v.press("Start the test")
	v.see("Question 1 of 8")
	v.see("11 min")
	eval[bool](v, `(() => { const now = Date.now.bind(Date); Date.now = () => now() + 3600000; return true; })()`)
	answerQuestion(v)
	v.see("1 of 8 questions answered")
	v.see("Saved.")
	v.see("11 min") // the page's own clock is an hour ahead
	v.audit("a question")
	v.tabTo("Next")
	v.keys(kb.Enter)
	v.see("Question 2 of 8")
	if name := v.await("a focus", "focusedName"); name != "Question 2 of 8" {
		t.Errorf("after going on the focus is on %q", name)
	}
	v.offline(true)
	answerQuestion(v)
	v.see("No connection. Kept on this device")
	v.audit("a question without a connection")
	v.offline(false)
	v.see("Saved.")
	attempt := eval[string](v, "location.pathname")
	v.visit(attempt)
	v.see("2 of 8 questions answered")
	v.see("Question 3 of 8")
	other := newVisitor(t, browser, base, 1280)
	signIn(other, "noor")
	other.see("What to do next")
	other.visit(attempt)
	other.see("Question 3 of 8")
	answerQuestion(other)
	other.see("Saved.")
	other.audit("a question, wide")
	v.press("Question 4, open")
	v.see("Question 4 of 8")
	answerQuestion(v)
	v.see("Your answers were changed elsewhere.")
	v.audit("two tabs on one attempt")
	v.press("Keep mine on top")
	v.gone("Your answers were changed elsewhere.")
	v.see("Saved.")
	v.see("4 of 8 questions answered") // the third is theirs
	other.press("Question 5, open")
	other.see("Question 5 of 8")
	answerQuestion(other)
	other.see("Your answers were changed elsewhere.")
	other.press("Take the ones saved elsewhere")
	other.gone("Your answers were changed elsewhere.")
	other.see("4 of 8 questions answered")
	wire.holdsNoKey(t)
	other.press("Submit the test")
	other.see("4 questions are not answered. Press again to end all the same.")
	other.press("Submit the test")
	other.see("of 8 questions right")
	other.see("The cut of 70 % is an example: no panel has set it.")
	other.see("Source:")
	other.see("For education. Not advice on a patient.")
	other.audit("the result of a test of questions")
	v.visit(attempt)
	v.see("of 8 questions right")
	v.audit("the result on a phone")
}

// TestQuizPracticeInBrowser: feedback follows each answer by keyboard alone; and a test ends by the server's clock.
func TestQuizPracticeInBrowser(t *testing.T) {
	browser := openBrowser(t)
	var ahead atomic.Int64 // how far the server's clock is put forward
	clock := func() time.Time { return wallClock().Add(time.Duration(ahead.Load())) }
	base, _ := serveDemoAs(t, clock, func(handler http.Handler) http.Handler { return handler })
	v := newVisitor(t, browser, base, 390)
	signIn(v, "noor")
	v.see("What to do next")
	v.visit("/knowledge")
	v.press("Practise Energy")
	v.see("Question 1 of 8")
	answerQuestion(v)
	v.tabTo("Answer")
	v.keys(kb.Enter)
	v.see("Source:")
	v.audit("feedback of practice")
	v.press("End and see the result")
	v.see("7 questions are not answered")
	v.press("End and see the result")
	v.see("of 8 questions right")
	v.press("Back to knowledge")
	v.see("Wilson score")
	v.audit("knowledge with figures")
	v.press("Test: All topics")
	v.press("Start the test")
	v.see("Question 1 of 20")
	answerQuestion(v)
	v.see("Saved.")
	ahead.Store(int64(31 * time.Minute))
	v.visit("/knowledge")
	v.see("Test: all topics")
	v.press("Test: all topics")
	v.see("The time was up")
	v.see("1 answered.")
}

// answerQuestion gives the question on the page some answer, whatever its kind.
func answerQuestion(v *visitor) {
	v.t.Helper()
	answerBy(v, v.press)
}

// answerBy does it with a way to press buttons.
func answerBy(v *visitor, press func(name string)) {
	v.t.Helper()
	switch kind := eval[string](v, `(() => {
		const one = document.querySelector(".quiz-question");
		if (one.querySelector(".quiz-map")) return "map";
		for (const kind of ["radio", "checkbox", "text"]) if (one.querySelector("input[type=" + kind + "]")) return kind;
		return "order";
	})()`); kind {
	case "text":
		eval[bool](v, `(() => { const field = document.querySelector(".quiz-question input"); field.focus(); return true; })()`)
		v.keys("12,5")
	case "map":
		answerOnMap(v, press)
	case "order":
		press("This order is right as it stands")
	default:
		eval[bool](v, `(() => { document.querySelector(".quiz-question input:not(:checked)").focus(); return true; })()`)
		v.keys(" ")
	}
}

// answerOnMap puts a place, a line or a ring on the map by the keys alone: what is drawn goes from the middle of the map to the right and up.
func answerOnMap(v *visitor, press func(name string)) {
	v.t.Helper()
	cross := func(keys ...string) {
		eval[bool](v, `(() => { document.querySelector(".quiz-map .cross").focus(); return true; })()`)
		for _, key := range keys {
			v.keys(key)
		}
	}
	v.see(" yet.") // nothing is put or drawn: the map is there
	draw := eval[string](v, `[...document.querySelectorAll(".quiz-map .begin")].map(one => one.textContent)[0] || "a place"`)
	switch {
	case strings.HasSuffix(draw, "a line"):
		press(draw)
		cross(kb.Enter, kb.ArrowRight, kb.ArrowRight, kb.ArrowRight, kb.ArrowRight, kb.ArrowRight, kb.ArrowRight, kb.Enter)
		press("Finish")
		v.see("Drawn: a line of 2 points")
	case strings.HasSuffix(draw, "a ring"):
		press(draw)
		right, up := []string{}, []string{}
		for range 6 {
			right, up = append(right, kb.ArrowRight), append(up, kb.ArrowUp)
		}
		cross(append(append(append(append([]string{kb.Enter}, right...), kb.Enter), up...), kb.Enter)...)
		press("Close the ring")
		v.see("Drawn: a ring of 3 points")
	default:
		cross(kb.ArrowRight, kb.ArrowUp, kb.Enter)
		v.see("The place is put.")
	}
}

// TestQuestionOnMap answers questions on the atrial map by keys in practice, and sees what is right beside it: places, lines and rings.
func TestQuestionOnMap(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	for width, who := range map[int64]string{390: "noor", 1280: "hana"} {
		v := newVisitor(t, browser, base, width)
		signIn(v, who)
		v.see("What to do next")
		for _, topic := range []string{"Anatomy", "Lines"} {
			for told := 0; told == 0; { // a form of eight can lack them
				v.visit("/knowledge")
				v.press("Practise " + topic)
				v.see("Question 1 of 8")
				for place := 1; place <= 8; place++ {
					if place > 1 {
						v.press("Next")
						v.see(fmt.Sprintf("Question %d of 8", place))
					}
					if eval[bool](v, `!document.querySelector(".quiz-map")`) {
						continue
					}
					answerOnMap(v, v.press)
					v.audit(fmt.Sprintf("a question on the map, %s %d", topic, width))
					v.press("Answer")
					v.see("Your answer:")
					v.see("is right:")
					v.audit(fmt.Sprintf("feedback on the map, %s %d", topic, width))
					told++
				}
				v.press("End and see the result")
				v.press("End and see the result")
				v.see("of 8 questions right")
			}
			v.see("is right:")
		}
	}
}

// holdsNoKey fails for every answer so far that tells what is right: by a field, by the words of a rationale or of feedback, or by an item's id.
func (w *traffic) holdsNoKey(t *testing.T) {
	t.Helper()
	w.Lock()
	defer w.Unlock()
	seen := 0
	for _, one := range w.calls {
		if strings.Contains(one.path, "/quizzes") {
			seen++
			for _, field := range []string{"told", "key", "rationale", "source", "feedback", "seed", "order", "item", "blueprint", "tolerance", "result"} {
				if strings.Contains(one.body, `"`+field+`":`) {
					t.Errorf("the answer to %s holds %q during a test: %.300s", one.path, field, one.body)
				}
			}
		}
		for _, it := range question.Starter().Items() {
			secrets := []string{it.Rationale, `"` + string(it.ID) + `"`}
			if it.Map != nil {
				at, _ := json.Marshal(it.Map.Key[0])
				secrets = append(secrets, string(at))
			}
			for _, o := range it.Options {
				if len(o.Feedback) > 30 {
					secrets = append(secrets, o.Feedback)
				}
			}
			for _, secret := range secrets {
				quoted, _ := json.Marshal(secret)
				if strings.Contains(one.body, secret) || strings.Contains(one.body, strings.Trim(string(quoted), `"`)) {
					t.Errorf("the answer to %s holds %q during a test", one.path, secret)
				}
			}
		}
	}
	if seen < 10 {
		t.Errorf("only %d calls about questions were recorded", seen)
	}
}
