package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// TestQuestionIsWritten: faculty writes a question by the form, cannot approve it; another member of faculty does, and a trainee is asked it.
func TestQuestionIsWritten(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	mei := newVisitor(t, browser, base, 390)
	signIn(mei, "mei")
	mei.see("Inbox")
	mei.visit("/questions")
	mei.see("148 questions")
	mei.audit("questions")
	mei.press("New question")
	mei.fill("A short name", "Which stairs turn once")
	mei.see("It is called which-stairs-turn-once for ever")
	mei.audit("a new question")
	mei.press("Begin the draft")
	mei.see("to mend before review")
	mei.fill("Question", "Which staircase turns once round on its way from one floor to the next?")
	for i, text := range []string{"One of 360 degrees", "One of 180 degrees", "One without a turn"} {
		option := "Option " + string(rune('1'+i))
		mei.fill(option, text)
		eval[bool](mei, `(() => { const area = document.querySelectorAll("[data-field='options[`+string(rune('0'+i))+`].feedback'] textarea")[0]; area.focus(); return true; })()`)
		mei.keys("So it is.")
	}
	mei.press("Option 1 is right")
	mei.choose("Topic", "Another")
	mei.fill("Name of the topic", "stairs")
	mei.fill("Why it is right", "A full turn has 360 degrees.")
	mei.fill("Source of the fact", "common practice, no source")
	mei.see("No fault.")
	mei.see("As a trainee sees it")
	mei.audit("a question being written")
	mei.press("Submit for review")
	mei.see("You wrote in this version: another member of faculty reviews it.")
	mei.audit("a question in review, its author")
	leila := newVisitor(t, browser, base, 1280)
	signIn(leila, "leila")
	leila.see("Inbox")
	leila.visit("/questions")
	leila.see("2 questions wait for your review.") // another is of the demo
	leila.audit("questions, wide")
	leila.press("Which staircase turns once round on its way from one floor to the next?")
	leila.see("With its answer")
	leila.audit("a question in review")
	leila.press("Approve")
	leila.see("Live, version 1")
	leila.see("reviewed by Leila")
	noor := newVisitor(t, browser, base, 390)
	signIn(noor, "noor")
	noor.see("What to do next")
	noor.visit("/knowledge")
	noor.press("Practise Stairs")
	noor.see("Which staircase turns once round")
}

// TestQuestionsAreImported: a file with a mistake is told where it is, and taken whole once it is mended; a question much like another is warned of.
func TestQuestionsAreImported(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	v := newVisitor(t, browser, base, 1280)
	signIn(v, "tomasz")
	v.see("Inbox")
	v.visit("/questions/import")
	v.see("Choose a file")
	const good = "id,topic,author,kind,stem,option_1_text,option_1_feedback,option_2_text,option_2_feedback,option_3_text,option_3_feedback,key,rationale,source\n"
	row := "stairs-that-turn,stairs,Tomasz,single-best,Which staircase turns once?,Spiral,It does.,Straight,It does not.,Ladder,It does not.,a,A full turn has 360 degrees.,common practice\n"
	give := func(text string) {
		t.Helper()
		path := filepath.Join(t.TempDir(), "stairs.csv")
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		v.do(chromedp.SetUploadFiles("input[type=file]", []string{path}))
	}
	give(good + strings.Replace(row, "single-best", "single", 1))
	v.see("stairs.csv, line 2")
	v.audit("a file of questions with a fault")
	give(good + row + strings.Replace(row, "stairs-that-turn", "stairs-that-wind", 1))
	v.see("CSV: 2 questions, no fault")
	v.see("also in this file")
	give(good + row)
	v.see("CSV: 1 question, no fault")
	v.see("A new draft")
	v.audit("a file of questions")
	v.press("Import 1 question")
	v.see("1 draft is in the bank.")
	v.press("Read them")
	v.see("149 questions")
}
