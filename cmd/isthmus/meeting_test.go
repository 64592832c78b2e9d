package main

import (
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"
)

// TestMeetingStory holds a meeting with four people: a member declares a conflict for one trainee, two vote without seeing each other, the director
// records and signs, the trainee reads and answers. The second half is done at phone width, and voting with the keys alone.
func TestMeetingStory(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	aiko := newVisitor(t, browser, base, 1280)
	signIn(aiko, "aiko")
	aiko.see("Aiko Moreau")
	aiko.visit("/meetings")
	aiko.see("0 of 3 decided")
	aiko.audit("meetings")
	meeting := eval[string](aiko, `document.querySelector(".rows a").getAttribute("href")`)
	aiko.visit(meeting)
	aiko.see("Votes: 0 of 2")
	aiko.see("Shown once your own vote is in")
	aiko.audit("meeting")
	aiko.tabTo("Independent within the programme's scope")
	aiko.keys(" ")
	aiko.tabTo("Vote")
	aiko.keys(kb.Enter)
	aiko.see("Aiko Moreau: Independent")
	aiko.press("Next: Kofi Marchetti")
	aiko.see("The decision that stands: Continue")
	aiko.press("Declare a conflict of interest")
	aiko.fill("The conflict, in a few words (it cannot be taken back)", "We share a household.")
	aiko.press("Declare")
	aiko.see("Aiko Moreau: We share a household.")
	aiko.see("Votes: 0 of 1")

	ruben := newVisitor(t, browser, base, 390)
	signIn(ruben, "ruben")
	ruben.see("Ruben Takahashi")
	ruben.visit(meeting)
	ruben.see("Votes: 1 of 2")
	ruben.press("Continue training")
	ruben.fill("Remark (optional, for the committee)", "Seen with Dr Oakwood.")
	ruben.press("Vote")
	ruben.see("looks like")
	ruben.fill("Remark (optional, for the committee)", "One more season.")
	ruben.press("Vote")
	ruben.see("Ruben Takahashi: Continue. One more season.")
	ruben.see("Aiko Moreau: Independent")
	ruben.audit("meeting voted")

	amara := newVisitor(t, browser, base, 1280)
	signIn(amara, "amara")
	amara.see("Amara Lindqvist")
	amara.visit(meeting)
	amara.see("Votes: 2 of 2")
	amara.press("Record and sign")
	amara.see("Choose the outcome.")
	amara.press("Independent with conditions")
	amara.fill("Conditions", "With somebody at call for half a year.")
	amara.fill("Reasons, for the trainee to read", "Every threshold is met; the first months are accompanied.")
	amara.audit("meeting deciding")
	amara.press("Record and sign")
	amara.see("The standing it rests on")
	amara.audit("decision")
	decision := eval[string](amara, "location.pathname")

	ines := newVisitor(t, browser, base, 390)
	signIn(ines, "ines")
	ines.see("Ines Haddad")
	ines.visit("/standing")
	ines.see("Decisions")
	ines.press("Independent with conditions")
	ines.see("1 vote for independent and 1 vote for continue")
	if text := eval[string](ines, "document.body.innerText"); containsAny(text, "Aiko", "Ruben", "One more season") {
		t.Errorf("the trainee reads who said what: %s", text)
	}
	ines.audit("decision to the trainee")
	ines.fill("What you want on record", "I agree and thank the committee.")
	ines.press("Put it on record")
	ines.see("I agree and thank the committee.")
	amara.visit(decision)
	amara.see("I agree and thank the committee.")
}

// containsAny reports whether a text holds one of some words.
func containsAny(text string, words ...string) bool {
	return slices.ContainsFunc(words, func(word string) bool { return strings.Contains(text, word) })
}
