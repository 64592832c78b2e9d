package main

import (
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// hundred is what a judge is asked of every question.
const hundred = "Of a hundred trainees who just pass, how many answer it rightly?"

// TestPanelInBrowser: the director makes a test of two questions, two judges rate it in two rounds, the mark is adopted, and a trainee who
// takes the test is told it with where it comes from.
func TestPanelInBrowser(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	amara := newVisitor(t, browser, base, 1280)
	signIn(amara, "amara")
	amara.see("Cohort")
	amara.visit("/tests")
	amara.see("New test")
	amara.audit("tests")
	amara.fill("What it is called", "Two questions at the start")
	amara.press("Begin the draft")
	amara.see("Before it can be put to use")
	amara.audit("a test drawn by topic, empty")
	amara.press("Add a row")
	amara.see("The bank has")
	amara.audit("a test drawn by topic")
	amara.choose("Which questions", "A fixed form")
	amara.see("No question yet.")
	for range 2 {
		eval[bool](amara, `(() => { const select = [...document.querySelectorAll(".field")].find(one => one.textContent.startsWith("Next question")).querySelector("select"); select.value = select.options[1].value; select.dispatchEvent(new Event("change", { bubbles: true })); return true; })()`)
		amara.press("Add the question")
	}
	amara.see("Take out")
	amara.audit("a fixed form")
	amara.press("Save the draft")
	amara.gone("Before it can be put to use")
	amara.press("Put it to use")
	amara.see("Passing mark 70 %: an example, no panel has set it.")
	amara.press("Call a panel")
	amara.see("Judges")
	amara.press("Mei Castellano")
	amara.press("Leila Brandt")
	amara.audit("calling a panel")
	amara.press("Call the panel")
	amara.see("0 of 2")
	amara.audit("a panel, its director")
	mei, leila := newVisitor(t, browser, base, 390), newVisitor(t, browser, base, 390)
	signIn(mei, "mei")
	mei.see("A panel waits for your ratings: 2 of 2 questions left.")
	mei.press("A panel waits for your ratings: 2 of 2 questions left.")
	mei.see("Question 1 of 2")
	mei.see("Right.") // judges rate with the key
	mei.audit("a judge rates")
	mei.offline(true)
	mei.fill(hundred, "40")
	mei.see("1 of 2 rated. Not saved:")
	mei.do(chromedp.Reload()) // without a network: the page is lost, and with it what it held
	mei.see("Mei Castellano")
	mei.gone("Question 1 of 2")
	mei.offline(false)
	mei.do(chromedp.Reload())
	mei.see("1 of 2 rated. Saved.") // kept beside the page
	mei.press("Previous")
	mei.see("Question 1 of 2")
	mei.tabTo("Next")
	mei.keys("\r")
	mei.see("Question 2 of 2")
	mei.reach("Question 2 of 2")
	mei.tabTo(hundred + " Slider")
	mei.keys(kb.ArrowRight) // from the middle, by keyboard alone
	mei.see("2 of 2 rated. Saved.")
	mei.see("Everything is rated.")
	signIn(leila, "leila")
	leila.see("A panel waits for your ratings: 2 of 2 questions left.")
	leila.press("A panel waits for your ratings: 2 of 2 questions left.")
	leila.see("Question 1 of 2")
	if eval[bool](leila, `document.body.textContent.includes("In round 1")`) || eval[string](leila, `document.querySelector("#rating").value`) != "" {
		t.Error("leila sees a rating before she gave hers")
	}
	leila.fill(hundred, "80")
	leila.see("1 of 2 rated. Saved.")
	leila.press("Next")
	leila.see("Question 2 of 2")
	leila.fill(hundred, "59")
	leila.see("2 of 2 rated. Saved.")
	amara.do(chromedp.Reload())
	amara.see("2 of 2")
	if eval[bool](amara, `document.body.textContent.includes("standard deviation of")`) {
		t.Error("the director sees the spread of an open round")
	}
	amara.press("Close round 1")
	amara.see("Round 2 of 2 is open.")
	amara.see("discuss")
	amara.audit("a panel after its first round, its director")
	mei.do(chromedp.Reload())
	mei.see("In round 1 the judges said 60 on average, from 40 to 80")
	mei.see("To discuss: they are far apart.")
	mei.audit("a judge rates again")
	mei.fill(hundred, "60")
	mei.see("2 of 2 rated. Saved.")
	amara.do(chromedp.Reload())
	amara.see("Round 2 of 2 is open.")
	amara.press("Close round 2")
	// Marks 55.5 and 69.5: mean 62.5, error 7.
	amara.see("62.5 %")
	amara.see("standard error 7 points, by the judges only")
	amara.press("Adopt the mark")
	amara.fill("Why it is adopted", "Agreed upon after the discussion.")
	amara.press("Adopt the mark")
	amara.see("It was adopted.")
	amara.audit("a panel that is over, its director")
	noor := newVisitor(t, browser, base, 390)
	signIn(noor, "noor")
	noor.see("What to do next")
	noor.visit("/knowledge")
	noor.press("Test: Two questions at the start, 2 questions")
	noor.see("Passing mark 62.5 %, set by a panel of 2 (modified Angoff), standard error 7 points.")
	noor.audit("before a test with a panel's mark")
	noor.press("Start the test")
	noor.see("Question 1 of 2")
	noor.press("Submit the test")
	noor.see("Press again to end all the same.")
	noor.press("Submit the test")
	noor.see("Not passed: the passing mark was not reached.")
	noor.see("Passing mark 62.5 %, set by a panel of 2 (modified Angoff), standard error 7 points.")
	noor.audit("a result with a panel's mark")
	amara.press("The test")
	amara.see("0 of 1 person passed")
	amara.audit("a test in use, its results")
}
