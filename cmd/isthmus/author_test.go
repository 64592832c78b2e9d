package main

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// written is where the scenario of this test is found.
const written = "the-harbour-pilots-pause"

// TestAuthor writes a scenario in a real browser, at phone and desktop width: its expert plan is drawn, a fault is mended, two people write
// at once and nothing is lost, the author cannot approve, another does, and a trainee plans it. Then the director changes the scope policy
// and a new grade names it. It fails on any accessibility violation and on any console error.
func TestAuthor(t *testing.T) {
	browser := openBrowser(t)
	for _, width := range []int64{390, 1280} {
		t.Run(fmt.Sprintf("%d px", width), func(t *testing.T) {
			base, _ := serveDemo(t)
			author, second := newVisitor(t, browser, base, width), newVisitor(t, browser, base, width)
			beginScenario(author)
			writeCase(author)
			drawExpert(author)
			addFlawed(author)
			writeAtOnce(author, second)
			submitForReview(author)
			reviewer := newVisitor(t, browser, base, width)
			approve(reviewer)
			trainee := newVisitor(t, browser, base, width)
			planWritten(trainee)
			director := newVisitor(t, browser, base, width)
			changePolicy(director)
			gradeAgain(trainee)
			reviseAndRetire(reviewer)
		})
	}
}

// beginScenario comes by the library and begins a draft.
func beginScenario(v *visitor) {
	v.t.Helper()
	signIn(v, "mei")
	v.see("Inbox")
	v.press("Library")
	v.see("The choirmaster's prolapse")
	v.audit("library")
	v.fill("Find", "choirmaster")
	v.see("1 of 52 scenarios")
	v.press("New scenario")
	v.see("Every patient is invented")
	v.fill("Title", "The harbour pilot's pause")
	v.audit("new scenario")
	v.press("Begin the draft")
	v.see("Draft, version 1")
	v.see("to mend before review")
}

// writeCase fills in the patient and the operation. The pattern follows by rule; the fault at the age leads to its field.
func writeCase(v *visitor) {
	v.t.Helper()
	v.fill("Vignette", "A harbour pilot of 61 felt his heart pause on the ladder of a tanker. His AF comes in spells of hours and leaves by itself. You repair the mitral valve with the left atrium open. What do you ablate?")
	v.fill("Longest episode", "2")
	v.see("AF pattern: paroxysmal")
	v.see("the longest episode ended by itself within 7 days")
	v.fill("Age", "12")
	v.see("Age: must be between 18 and 110, not 12")
	v.audit("scenario with faults")
	v.press("Age: must be between 18 and 110")
	v.see("Must be between 18 and 110, not 12")
	v.await("the focus at the age", `(name => focusedName() === name ? name : "")`, "Age")
	v.fill("Age", "61")
	v.gone("Must be between 18 and 110, not 12")
	v.fill("Left atrial diameter", "43")
	v.fill("Ejection fraction", "58")
	v.choose("Mitral regurgitation", "Severe")
	v.choose("Operation", "Mitral valve")
	v.press("Left atrium opened")
	v.see("a live scenario must have")
}

// drawExpert makes the expert's plan: named lesions, and a mitral line drawn on the map.
func drawExpert(v *visitor) {
	v.t.Helper()
	v.press("Answers (0)")
	v.press("Add an expert plan")
	v.fill("Title of the expert plan", "Left atrial set with a drawn mitral line")
	v.fill("Why an expert does so", "The left atrium is open anyway: the box is closed, and the way round the mitral annulus with it.")
	v.press("Ablate")
	for _, lesion := range []string{"Left pulmonary vein isolation", "Right pulmonary vein isolation"} {
		v.press(lesion)
		v.press("One application more, " + lesion)
		v.choose("Block test, "+lesion, "Exit and entrance block")
	}
	for _, lesion := range []string{"Roof line", "Floor line", "Coronary sinus lesion", "Left appendage line"} {
		v.press(lesion)
		v.choose("Energy, "+lesion, "Cryothermy")
	}
	v.press("Draw a line")
	v.see("0 points.")
	for _, at := range [][2]float64{v.middleOf("Floor line"), onAnnulus} {
		at = v.onMap(at)
		v.do(chromedp.MouseClickXY(at[0], at[1]))
	}
	v.see("2 points.")
	v.keys(kb.Enter)
	v.see("Drawn 1 line")
	v.press("Excised")
	v.choose("Method", "Excision and suture")
	v.press("Judge the closure by echo")
	aftercare(v)
	v.see("wanted A or better, gets A")
	v.audit("expert plan")
}

// aftercare plans what follows, as the default policy likes it.
func aftercare(v *visitor) {
	v.t.Helper()
	v.fill("Anticoagulation for at least", "3")
	v.choose("And afterwards", "then by stroke risk")
	v.fill("Rhythm monitoring at months", "3, 6, 12")
	v.fill("Each time for", "24")
}

// addFlawed adds a plan that is wrong on purpose, first with the wrong letter.
func addFlawed(v *visitor) {
	v.t.Helper()
	v.press("Add a flawed plan")
	v.fill("Title of the flawed plan", "Leaves the AF alone")
	v.press("Do not ablate")
	v.choose("Why not", "Risk too high")
	aftercare(v)
	v.see("wanted C, but gets D")
	v.choose("Letter it must get", "D")
	v.see("wanted D, gets D")
	v.see("No fault.")
	v.audit("flawed plan")
	v.press("Save")
	v.see("Saved.")
	v.gone("Not saved yet")
}

// writeAtOnce lets two people change the same draft. The second is shown what differs and keeps both changes.
func writeAtOnce(v, second *visitor) {
	v.t.Helper()
	signIn(second, "tomasz")
	second.see("Inbox")
	second.visit("/library/" + written)
	second.see("No fault.")
	v.press("Patient and operation")
	v.fill("Ejection fraction", "55")
	v.fill("Title", "The harbour pilot's long pause")
	v.press("Save")
	v.gone("Not saved yet")
	second.fill("Ejection fraction", "49")
	second.press("Hypertension")
	second.press("Save")
	second.see("while you were writing")
	second.see("both changed it")
	second.see("they changed it")
	second.see("you changed it")
	second.audit("two at once")
	second.press("Ejection fraction: take theirs")
	second.press("Save as chosen")
	second.gone("while you were writing")
	second.gone("Not saved yet")
	v.visit("/library/" + written + "?view=read")
	v.see("The harbour pilot's long pause")
	v.see("hypertension") // what the second one wrote is kept beside what the first one wrote
	v.see("55 %")
	v.audit("scenario as a reviewer reads it")
}

// submitForReview hands the draft on; whoever wrote in it cannot approve it, and is told why.
func submitForReview(v *visitor) {
	v.t.Helper()
	v.press("Submit for review")
	v.see("In review, version 1")
	v.see("You wrote in this version: another member of faculty reviews it.")
	if disabled := eval[bool](v, `[...document.querySelectorAll("button")].find(b => b.textContent === "Approve").disabled`); !disabled {
		v.t.Error("the author can press Approve")
	}
	v.audit("waiting for review")
}

// approve finds the scenario first in the list, returns it once with a reason, and approves it.
func approve(v *visitor) {
	v.t.Helper()
	signIn(v, "leila")
	v.see("Inbox")
	v.visit("/library")
	v.see("for your review.")
	v.see("Review it")
	v.press("The harbour pilot's long pause")
	v.see("As the trainee sees it")
	v.see("wanted A or better, gets A")
	v.see("wanted D, gets D")
	v.press("Approve")
	v.see("Live, version 1")
	v.see("reviewed by Leila Brandt")
	v.audit("live scenario")
	v.visit("/library/" + written + "/file")
	v.see("id: " + written)
	v.audit("scenario file")
}

// planWritten plans the new scenario as a trainee; the grade leads to the policy it used.
func planWritten(v *visitor) {
	v.t.Helper()
	signIn(v, "noor")
	v.see("What to do next")
	v.visit("/scenarios/" + written)
	v.see("The harbour pilot's long pause")
	v.press("Do not ablate")
	v.choose("Why not", "Risk too high")
	aftercare(v)
	v.press("Submit for grading")
	v.see("Points are taken from 100")
	v.press("policy default, version 2")
	v.see("Rows are tried from the top")
	v.audit("policy read by a trainee")
}

// changePolicy writes a version of the scope policy, sees a fault, mends it, looks at what would change, and adds it.
func changePolicy(v *visitor) {
	v.t.Helper()
	signIn(v, "amara")
	v.see("Noor Eriksen")
	v.press("More")
	v.press("Policies")
	v.see("Default scope policy")
	v.audit("scope policies")
	v.press("Write a new version")
	v.see("No fault.")
	v.press("Edit row 2")
	v.see("Best letter when ablated all the same")
	v.audit("policy row")
	v.press("Weights, letters, caps")
	v.fill("Points of scope", "30")
	v.see("Must add up to 100, not 95")
	v.audit("policy with a fault")
	v.fill("Points of scope", "35")
	v.see("No fault.")
	v.choose("At least, when nothing is unsafe", "none")
	v.press("What changes")
	v.press("Preview what changes")
	v.see("scenarios compared")
	v.audit("what a policy changes")
	v.press("Add this version")
	v.see("our-scope-policy, version 3")
	v.see("in force since")
	v.audit("policy")
}

// gradeAgain is graded under the new version.
func gradeAgain(v *visitor) {
	v.t.Helper()
	v.visit("/scenarios/" + written)
	v.see("The harbour pilot's long pause")
	v.press("Do not ablate")
	v.choose("Why not", "Risk too high")
	aftercare(v)
	v.press("Submit for grading")
	v.see("Points are taken from 100")
	v.see("policy our-scope-policy, version 3")
}

// reviseAndRetire begins the next version, sees what changed, and takes the scenario out of use.
func reviseAndRetire(v *visitor) {
	v.t.Helper()
	v.visit("/library/" + written)
	v.see("Live, version 1")
	v.press("Revise")
	v.see("Draft, version 2; version 1 is live")
	v.fill("Age", "67")
	v.press("Save")
	v.gone("Not saved yet")
	v.press("Read as a reviewer does")
	v.see("What changed since version 1, which is live")
	v.see("67 years")
	v.audit("what changed")
	v.press("Retire")
	v.fill("Why it is taken out of use", "Another scenario teaches the same better.")
	v.press("Retire")
	v.see("Retired")
	v.press("Version 1")
	v.see("The newest version")
	v.audit("version read again")
}
