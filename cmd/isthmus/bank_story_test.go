package main

import (
	"context"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// TestMapQuestionIsWritten: a question answered by a line on the map is written by the form, with a wrong line and what is said to it; another member
// of faculty approves it, and a trainee who draws the wrong line reads what was written.
func TestMapQuestionIsWritten(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	mei := newVisitor(t, browser, base, 390)
	signIn(mei, "mei")
	mei.see("Inbox")
	mei.visit("/questions/new")
	mei.fill("A short name", "Level line")
	mei.press("Begin the draft")
	mei.see("to mend before review")
	mei.fill("Question", "Draw a level line in the middle of the back wall, to the right.")
	mei.choose("Kind", "On the map")
	mei.choose("What is drawn", "A line")
	mei.see("No line is drawn yet.")
	mei.drawLine("Draw a line", 0)
	mei.press("Add a wrong drawing with what is said to it")
	mei.see("Wrong 1")
	mei.see("No line is drawn yet.")
	mei.fill("What is said to it", "That one lies far below the middle.")
	mei.drawLine("Draw a line", 8)
	mei.choose("Topic", "Another")
	mei.fill("Name of the topic", "levels")
	mei.fill("Why it is right", "The cross begins in the middle of the wall.")
	mei.fill("Source of the fact", "common practice, no source")
	mei.see("No fault.")
	mei.audit("a question on the map being written")
	mei.press("Right drawing")
	mei.see("Drawn: a line of 2 points")
	mei.press("Submit for review")
	mei.see("You wrote in this version: another member of faculty reviews it.")
	mei.audit("a question on the map in review, its author")
	leila := newVisitor(t, browser, base, 1280)
	signIn(leila, "leila")
	leila.see("Inbox")
	leila.visit("/questions/level-line")
	leila.see("To wrong drawing 1: That one lies far below the middle.")
	leila.see("A drawing that is right:")
	leila.audit("a question on the map in review")
	leila.press("Approve")
	leila.see("Live, version 1")
	noor := newVisitor(t, browser, base, 390)
	signIn(noor, "noor")
	noor.see("What to do next")
	noor.visit("/knowledge")
	noor.press("Practise Levels")
	noor.see("Draw a level line")
	noor.see("No line is drawn yet.")
	noor.drawLine("Draw a line", 8)
	noor.press("Answer")
	noor.see("That one lies far below the middle.")
}

// TestEffectQuestionIsWritten: a ring marked by what it does in the conduction model is written by the form, and what it must do is read by the reviewer; a
// question of the starter bank that closes and leaves circuits is revised.
func TestEffectQuestionIsWritten(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	v := newVisitor(t, browser, base, 1280)
	signIn(v, "tomasz")
	v.see("Inbox")
	v.visit("/questions/new")
	v.fill("A short name", "Ring round the right")
	v.press("Begin the draft")
	v.see("to mend before review")
	v.fill("Question", "Isolate both right pulmonary veins with one ring.")
	v.choose("Kind", "On the map")
	v.choose("What is drawn", "A ring")
	v.see("must close or isolate something")
	v.press("Right superior vein")
	v.press("Right inferior vein")
	v.press("Draw a ring")
	v.see("Or round openings")
	v.press("right superior vein")
	v.press("right inferior vein")
	v.press("Place ring")
	v.see("Drawn: a ring of")
	v.choose("Topic", "Lines")
	v.fill("Why it is right", "The ring lies outside both openings.")
	v.fill("Source of the fact", "common practice, no source")
	v.see("No fault.")
	v.audit("a question marked by its effect being written")
	v.press("Close the circuit round …")
	v.see("must name what the circuit goes round")
	v.press("Mitral annulus")
	v.see("the key is not marked right") // the ring leaves the annulus as it is
	v.press("Delete: close the circuit round")
	v.see("No fault.")
	v.press("Submit for review")
	v.see("must isolate: right superior and right inferior")
	narrow := newVisitor(t, browser, base, 390)
	signIn(narrow, "mei")
	narrow.see("Inbox")
	narrow.visit("/questions/draw-tricuspid-line")
	narrow.see("must leave the circuit round superior vena cava")
	narrow.press("Revise")
	narrow.see("Leave the circuit round")
	narrow.see("No fault.")
	narrow.press("Add a distance to keep")
	narrow.see("Stay clear of")
	narrow.audit("a question that closes a circuit being written")
}

// drawLine draws a line of 20 mm to the right by the keys, beginning so many steps of 5 mm below the middle of the first map of the page.
func (v *visitor) drawLine(begin string, below int) {
	v.t.Helper()
	shift := chromedp.KeyModifiers(chromedp.ModifierShift)
	v.press(begin)
	v.see("Cancel drawing")
	eval[bool](v, `(() => { document.querySelector(".quiz-map .cross").focus(); return true; })()`)
	for range below {
		v.do(chromedp.KeyEvent(kb.ArrowDown, shift))
	}
	v.keys(kb.Enter)
	for range 4 {
		v.do(chromedp.KeyEvent(kb.ArrowRight, shift))
	}
	v.keys(kb.Enter)
	v.press("Finish")
	v.see("Drawn: a line of 2 points")
}

// TestQuestionsByKeyboard writes, submits, reads and approves a question without a pointer; the focus stays with what was moved.
func TestQuestionsByKeyboard(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	mei := newVisitor(t, browser, base, 1280)
	signIn(mei, "mei")
	mei.see("Inbox")
	mei.visit("/questions")
	mei.see("148 questions")
	mei.tabTo("New question")
	mei.keys(kb.Enter)
	mei.see("A short name")
	mei.tabTo("A short name")
	mei.keys("Three steps")
	mei.tabTo("Begin the draft")
	mei.keys(kb.Enter)
	mei.see("to mend before review")
	mei.tabTo("Question")
	mei.keys("In which order does one go down a staircase of three steps?")
	mei.tabTo("Kind")
	mei.keys("put")
	mei.see("What is put in order, as it should stand")
	for i, text := range []string{"The lowest step", "The uppermost step", "The middle step"} {
		mei.tabTo("Option " + string(rune('1'+i)))
		mei.keys(text)
		mei.tabTo("Why it stands there")
		mei.keys("One goes down, not up.")
	}
	mei.tabTo("Add an option")
	mei.keys(kb.Enter)
	mei.focused("Option 4") // the new one has the focus
	mei.tabTo("Delete option 4")
	mei.keys(kb.Enter)
	mei.focused("Option 3")
	mei.do(chromedp.KeyEvent(kb.Tab, chromedp.KeyModifiers(chromedp.ModifierShift)))
	for name := ""; name != "Option 1 later"; name = mei.await("a focus", "focusedName") {
		mei.do(chromedp.KeyEvent(kb.Tab, chromedp.KeyModifiers(chromedp.ModifierShift)))
	}
	mei.keys(kb.Enter)
	mei.focused("Option 2 later") // the button moved with its option
	mei.keys(kb.Enter)
	mei.focused("Option 3 later")
	mei.keys(kb.Enter) // it is last already
	mei.focused("Option 3 later")
	mei.tabTo("Topic")
	mei.keys("lines")
	mei.tabTo("Marking")
	mei.keys("by")
	mei.tabTo("Why it is right")
	mei.keys("The uppermost step comes first on the way down.")
	mei.tabTo("Source of the fact")
	mei.keys("common practice, no source")
	mei.see("No fault.")
	mei.tabTo("Submit for review")
	mei.keys(kb.Enter)
	mei.see("You wrote in this version: another member of faculty reviews it.")
	mei.see("By pairs that stand right")
	tomasz := newVisitor(t, browser, base, 1280)
	signIn(tomasz, "tomasz")
	tomasz.see("Inbox")
	tomasz.visit("/questions")
	tomasz.see("waits for your review.")
	tomasz.tabTo("In which order does one go down a staircase of three steps?")
	tomasz.keys(kb.Enter)
	tomasz.see("With its answer")
	tomasz.tabTo("Approve")
	tomasz.keys(kb.Enter)
	tomasz.see("Live, version 1")
	order := eval[string](tomasz, `[...document.querySelectorAll(".quiz-question .step-name")].slice(0, 3).map(one => one.firstChild.textContent).join(", ")`)
	if order != "The uppermost step, The middle step, The lowest step" {
		t.Errorf("the right order reads %q", order)
	}
}

// focused waits for the thing of that name to have the focus.
func (v *visitor) focused(name string) {
	v.t.Helper()
	v.await("the focus on "+name, `(name => focusedName() === name ? "yes" : "")`, name)
}

// TestQuestionIsRevisedByTwo: two members of faculty write in one draft at a time; what either changed is kept, a reviewer sees what differs from the
// version that is asked, and a question much like another is warned of and kept apart from it.
func TestQuestionIsRevisedByTwo(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	mei := newVisitor(t, browser, base, 390)
	signIn(mei, "mei")
	mei.see("Inbox")
	const path = "/questions/trigger-most-common-home"
	mei.visit(path)
	mei.press("Revise")
	mei.see("Read as a reviewer does")
	stem := eval[string](mei, `document.querySelector("[data-field=stem] textarea").value`)
	tomasz := newVisitor(t, browser, base, 1280)
	signIn(tomasz, "tomasz")
	tomasz.see("Inbox")
	tomasz.visit(path)
	tomasz.see("No fault.")
	tomasz.fill("Question", stem+" Choose one.")
	tomasz.press("Save")
	tomasz.see("Saved.")
	mei.fill("Why it is right", "The other member of faculty does not touch this.")
	mei.press("Save")
	mei.see("while you were writing")
	mei.see("you changed it")
	mei.see("they changed it")
	mei.audit("a question changed by two")
	mei.press("Save as chosen")
	mei.gone("while you were writing")
	mei.see("Saved.")
	tomasz.visit(path + "?view=read")
	tomasz.see("What changed since version 1, which is asked")
	tomasz.see(stem + " Choose one.")
	tomasz.see("The other member of faculty does not touch this.")
	if rows := eval[int](tomasz, `document.querySelectorAll(".changes tbody tr").length`); rows != 2 {
		t.Errorf("%d parts differ from the version that is asked, want the question and why", rows)
	}
	tomasz.audit("a question and what changed in it")
	tomasz.do(inPrint())
	tomasz.audit("a question in print")
	mei.do(darkened())
	mei.audit("a question being written in the dark")
	leila := newVisitor(t, browser, base, 1280)
	signIn(leila, "leila")
	leila.see("Inbox")
	leila.visit("/questions/new")
	leila.fill("A short name", "The same once more")
	leila.press("Begin the draft")
	leila.see("to mend before review")
	leila.fill("Question", stem)
	leila.see("Much like another question")
	leila.press("Never in one form with it")
	leila.see("Never asked in one form with it.")
	leila.see("Saved.")
	leila.audit("a question much like another")
	if kept := eval[string](leila, `[...document.querySelectorAll(".apart li > span")].map(one => one.textContent).join()`); !strings.HasPrefix(kept, stem[:20]) {
		t.Errorf("kept apart from %q, want the question it is like", kept)
	}
}

// inPrint shows the page as it is printed.
func inPrint() chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		_, err := cdp.Call(ctx, target, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
		return err
	})
}
