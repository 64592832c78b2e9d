package main

import "testing"

// TestCasePatterns keeps a case as a pattern at phone width, begins another from it and takes that back, then renames and deletes it.
func TestCasePatterns(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	v := newVisitor(t, browser, base, 390)
	signIn(v, "noor")
	v.see("What to do next")
	logCase(v)
	v.press("Which steps made the role")
	v.see("The programme's rules, and every version of them")
	v.audit("role explained")

	const manage = "Save this as a pattern, or change your patterns"
	v.visit("/cases/new")
	v.see("Nothing that identifies a patient")
	v.choose("Operation", "Mitral valve")
	v.press("Box")
	v.press("Roof line: supervisor")
	v.press("All the rest by me")
	v.press(manage)
	v.fill("Name of the pattern", "Mitral with box")
	v.press("Save as a pattern")
	v.see("Begin from a pattern of yours")
	v.audit("a pattern kept")

	v.visit("/cases/new")
	v.see("Begin from a pattern of yours")
	v.press("Yesterday")
	v.press("18 months")
	v.press("50 to 54 mm")
	v.press("Mitral with box")
	v.see("Every step has someone.")
	v.see("box, 4 circuits left, assistant")
	v.see("Key steps among them: left pulmonary vein isolation")
	v.press("Which steps made the role")
	v.see("3 of 4 key steps count")
	v.audit("begun from a pattern")
	v.press("Take it back")
	v.see("Steps appear as you choose lesions.")

	v.press(manage)
	v.press("Rename Mitral with box")
	v.fill("New name of Mitral with box", "Box, roof by the supervisor")
	v.press("Rename it")
	v.see("Box, roof by the supervisor")
	v.press("Delete Box, roof by the supervisor")
	v.see("Cases that began from it stay as they are.")
	v.press("Delete it")
	v.see("Deleted Box, roof by the supervisor.")
}

// TestPatternsWithoutNetwork begins a case from a pattern that the device kept; to keep one needs the network, which is said.
func TestPatternsWithoutNetwork(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	v := newVisitor(t, browser, base, 390)
	signIn(v, "ines")
	v.see("What to do next")
	v.ready()
	v.offline(true)
	v.visit("/cases/new")
	v.see("Begin from a pattern of yours")
	v.see("No connection to Isthmus. This is as it was")
	v.press("Mitral, biatrial")
	v.see("Every step has someone.")
	v.see("Key steps among them")
	v.see("Kept on this device")
	v.press("Save this as a pattern, or change your patterns")
	v.fill("Name of the pattern", "Another")
	v.press("Save as a pattern")
	v.see("No connection")
	v.audit("a pattern without network")
	v.offline(false)
}
