package main

import "testing"

// TestSettingsPage: the director changes the role rule with what it would mean beside it; everyone reads what holds and what each version
// changed.
func TestSettingsPage(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	for _, width := range []int64{1280, 390} {
		v := newVisitor(t, browser, base, width)
		signIn(v, "amara")
		v.see("Noor Eriksen")
		v.visit("/settings")
		v.see("What holds")
		v.see("Primary surgeon: the trainee performed every key step")
		v.audit("settings")
		v.press("Change the settings")
		v.see("Nothing differs from what holds yet.")
		v.audit("settings form")
		if width == 1280 {
			v.fill("Share of all steps", "55")
			v.press("Mitral isthmus line")
			v.see("now primary surgeon")
			v.fill("Due at months", "6, 3")
			v.see("must list 1 to 20 months, rising")
			v.fill("Due at months", "3, 6, 12, 18")
			v.see("3 settings would change.")
			v.audit("settings changed")
			v.press("Save as version")
			v.see("Say why, in a sentence")
			v.fill("Why", "The committee asked for more of the steps.")
			v.press("Save as version")
			v.see("The committee asked for more of the steps.")
			v.see("Mitral isthmus line")
			v.audit("settings versions")
		}
	}
	v := newVisitor(t, browser, base, 390)
	signIn(v, "noor")
	v.see("What to do next")
	v.visit("/settings")
	v.see("55 % or more of all steps")
	v.visit("/settings/new")
	v.see("Only a director of the programme changes its settings.")
}
