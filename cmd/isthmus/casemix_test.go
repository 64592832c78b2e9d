package main

import "testing"

// TestCaseMix reads what each trainee still lacks and whether the rotations can supply it, at both widths, and opens a case behind a number.
func TestCaseMix(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	for _, width := range []int64{390, 1280} {
		v := newVisitor(t, browser, base, width)
		signIn(v, "amara")
		v.see("Who needs action")
		v.press("What each still lacks, and whether the rotations can supply it")
		v.see("What the sites gave")
		v.see("expected; chance of")
		v.see("cannot say")
		v.audit("case mix")
		v.press("Where that comes from: Biatrial cases, Noor Eriksen")
		v.see("of the last year")
		v.press("Case 1 at Northmere Hill of Biatrial cases, Noor Eriksen")
		v.see("Operation")
	}
}
