package main

import (
	"fmt"
	"strings"
	"testing"
)

// TestCompare opens an expert's plan beside a graded one, lights a difference on both maps, and reads the growth page as the trainee and as
// the director, at phone and desktop width.
func TestCompare(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	for _, width := range []int64{390, 1280} {
		t.Run(fmt.Sprintf("%d px", width), func(t *testing.T) {
			v := newVisitor(t, browser, base, width)
			signIn(v, "noor")
			v.see("Recent grades")
			v.press("The choirmaster's prolapse")
			v.see("Points are taken from 100")
			if strings.Contains(eval[string](v, "document.body.innerText"), "Why the expert plans it so") {
				t.Error("the expert's plan shows before it is asked for")
			}
			besideExpert(v)
			ownGrowth(v)
			growthForDirector(newVisitor(t, browser, base, width))
		})
	}
}

// besideExpert reads the comparison of a box with a biatrial set.
func besideExpert(v *visitor) {
	v.t.Helper()
	v.press("Compare with an expert plan")
	v.see("Why the expert plans it so")
	v.see("Your plan D, ")
	v.see("only the expert makes the mitral isthmus line")
	v.see("A circuit round the tricuspid annulus")
	v.see("For education. Not advice on a patient.")
	v.audit("beside an expert")
	v.press("Show on both maps: Mitral isthmus line")
	v.see("Lit on both maps")
	if lit := eval[int](v, "document.querySelectorAll('.two-maps .mark.lit').length"); lit != 2 {
		v.t.Errorf("%d marks lit on the two maps, want 2", lit)
	}
	if lit := eval[int](v, "document.querySelectorAll('.one-map:last-child .lesion.lit').length"); lit != 1 {
		v.t.Errorf("%d of the expert's lesions lit, want 1", lit)
	}
	if v.width < 600 {
		v.press("Map: Expert's plan")
		if shown := eval[string](v, "[...document.querySelectorAll('.one-map')].filter(m => m.checkVisibility()).map(m => m.getAttribute('aria-label')).join()"); shown != "Expert's plan" {
			v.t.Errorf("a phone shows the map of %q", shown)
		}
	}
	v.audit("difference lit")
}

// ownGrowth reads one's growth and opens a number to the plans behind it.
func ownGrowth(v *visitor) {
	v.t.Helper()
	v.visit("/")
	v.press("Growth across attempts")
	v.see("My growth")
	v.see("The first try at each scenario is the fair measure")
	v.see("too few for a share")
	v.audit("growth")
	v.press("First tries")
	v.see("The ferry mate's three grafts, try 1")
	v.press("As a table")
	v.see("Handed in")
	v.audit("growth opened")
	v.press("The ferry mate's three grafts, try 1")
	v.see("Points are taken from 100")
}

// growthForDirector comes to a trainee's growth from the standing.
func growthForDirector(v *visitor) {
	v.t.Helper()
	signIn(v, "amara")
	v.see("Ines Haddad")
	v.press("Ines Haddad")
	v.see("Steps told alike") // what comes late moves the link below it
	v.press("Growth across attempts")
	v.see("Growth of Ines Haddad")
	v.see("Vein isolation alone where a box is needed")
	v.audit("growth of a trainee")
}
