package main

import (
	"strings"
	"testing"
)

// TestAmendment amends a signed case at phone width, has it signed again by the supervisor, who is told when the trainee gave an amendment up
// meanwhile, and reads what changed.
func TestAmendment(t *testing.T) {
	browser := openBrowser(t)
	base, programme := serveDemo(t)
	trainee := newVisitor(t, browser, base, 390)
	signIn(trainee, "ines")
	trainee.see("What to do next")
	trainee.visit("/cases")
	trainee.see("Mei Castellano")
	path := eval[string](trainee, `[...document.querySelectorAll(".rows .row")].find(row => row.textContent.includes("Signed off")).querySelector("a").getAttribute("href")`)
	trainee.visit(path)
	trainee.see("Content, SHA-256")
	trainee.audit("case signed")
	openAmendment(trainee, path)

	supervisor := newVisitor(t, browser, base, 768)
	signIn(supervisor, supervisorOf(trainee, programme, strings.TrimPrefix(path, "/cases/")))
	supervisor.see("Inbox")
	supervisor.visit(path + "/sign-off")
	supervisor.see("You signed version 1 of this case. This is version 2.")
	supervisor.see("What changed")
	supervisor.audit("sign-off of an amendment")
	trainee.press("Give the amendment up")
	trainee.fill("Why it is given up", "it was right as it stood")
	trainee.press("Give it up")
	trainee.see("gave the amendment up")
	supervisor.press("Sign")
	supervisor.see("Ines Haddad gave its amendment up meanwhile")
	supervisor.see("Nothing was signed.")
	supervisor.audit("sign-off meanwhile")
	supervisor.press("Go on with what it says now")
	supervisor.see("there is nothing for you to sign")

	openAmendment(trainee, path)
	supervisor.visit(path + "/sign-off")
	supervisor.see("This is version 3.")
	supervisor.press("Sign")
	supervisor.see("Signed.")
	supervisor.visit(path + "/versions")
	supervisor.see("Version 3: the one that counts")
	supervisor.see("Version 2")
	supervisor.choose("From", "Version 1, signed")
	supervisor.see("Permanent pacemaker")
	supervisor.audit("case versions")
	director := newVisitor(t, browser, base, 1280)
	director.do(darkened())
	signIn(director, "amara")
	director.see("Cohort")
	director.visit(path)
	director.see("1 earlier signature")
	director.audit("case amended dark")
	director.press("1 earlier signature")
	director.see("Version 3: the one that counts")
	director.audit("case versions dark")
}

// openAmendment opens a signed case for an amendment, changes an event and hands it in.
func openAmendment(v *visitor, path string) {
	v.t.Helper()
	v.visit(path)
	v.press("Amend")
	v.press("Open the amendment")
	v.see("Give the reason in a sentence.")
	v.fill("What was wrong in it", "a pacemaker was put in before discharge")
	v.press("Open the amendment")
	v.see("An amendment is open")
	v.audit("amendment open")
	v.press("Edit")
	v.see("Lesions made")
	v.press("Permanent pacemaker")
	v.press("Submit for sign-off")
	v.see("Amendment: waiting for sign-off")
	v.audit("amendment handed in")
}
