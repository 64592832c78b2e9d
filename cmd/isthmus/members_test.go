package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"isthmus/competency/roster"
)

// TestMembers: the coordinator invites by link; a newcomer accepts at phone width and is in; the link works once; the coordinator adds a site and
// a role and keeps the newcomer out, whose page then leads to the sign-in; a roster file invites the next.
func TestMembers(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	jonas := newVisitor(t, browser, base, 1280)
	signIn(jonas, "jonas")
	jonas.see("Jonas Okafor")
	jonas.visit("/people")
	jonas.see("Mei Castellano")
	jonas.fill("E-mail address", "nia@example.org")
	jonas.press("Make the link")
	jonas.see("it is shown only once")
	jonas.audit("people")
	link := eval[string](jonas, `document.querySelector(".secret").textContent`)

	nia := newVisitor(t, browser, base, 390)
	nia.visit(strings.TrimPrefix(link, base))
	nia.see("You sign in as nia@example.org from then on.")
	nia.audit("invitation")
	nia.press("Accept")
	nia.see("Give your name")
	nia.fill("Your name", "Nia Newcomer")
	nia.fill("A new password, 15 characters or more", "short")
	nia.press("Accept")
	nia.see("a password must have")
	nia.fill("A new password, 15 characters or more", "another narrow passage")
	nia.press("Accept")
	nia.see("What to do next")
	nia.see("Nia Newcomer")
	late := newVisitor(t, browser, base, 1280)
	late.visit(strings.TrimPrefix(link, base))
	late.see("This link is not good, or not any more.")
	late.audit("invitation over")

	jonas.visit("/people")
	jonas.press("Nia Newcomer")
	jonas.see("nia@example.org")
	jonas.press("Add a rotation")
	jonas.choose("Site", eval[string](jonas, `document.querySelector("[data-field=site] option:nth-child(2)").textContent`))
	jonas.press("Add the rotation")
	jonas.see("Remove")
	jonas.press("Give one more role")
	jonas.choose("Role", "Faculty")
	jonas.press("Give the role")
	jonas.see("Faculty")
	jonas.audit("member")
	jonas.press("Keep out from now on")
	jonas.press("Yes, keep out")
	jonas.see("Kept out since")
	nia.visit("/")
	nia.see("No account, or the password is forgotten?")
	rosterFile(t, jonas)
}

// rosterFile imports a roster that invites one person.
func rosterFile(t *testing.T, v *visitor) {
	t.Helper()
	people := []roster.Person{{SourcedID: "a", Email: "ada@example.org", Name: "Ada Next", Active: true, Roles: []roster.Role{{Role: "trainee", From: "2027-01-01"}}}}
	data, err := roster.Write(roster.Org{SourcedID: "o", Name: "Northmere"}, people)
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "roster.zip")
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
	v.visit("/people/roster")
	v.see("Archive")
	v.do(chromedp.SetUploadFiles("#roster-file", []string{path}))
	v.see("What the file would do")
	v.see("is invited: trainee from 1 Jan 2027")
	v.audit("roster")
	v.press("Import: 1 person to add")
	v.see("The links are shown only once")
	v.audit("roster done")
}
