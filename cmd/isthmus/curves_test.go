package main

import (
	"testing"

	"github.com/chromedp/chromedp/kb"
)

// TestLearningCurves reads a trainee's learning curves at both widths, goes from mark to mark with the keys, opens a case from the chart, asks by
// another rule, and takes the chart away in three forms.
func TestLearningCurves(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	for _, width := range []int64{390, 1280} {
		v := newVisitor(t, browser, base, width)
		signIn(v, "ines")
		v.see("What to do next")
		v.visit("/curves")
		v.see("What counts as a success:")
		v.see("The limit is set for 40 cases")
		v.audit("curves")
		v.choose("A case counts as a success when", "Every line complete and block tested")
		v.see("Every line complete and block tested.")
		v.press("As a table: Case by case")
		v.see("Adequate from here")
		v.audit("curves by another rule")
		taken := eval[string](v, `(() => {
			const blobs = []; const make = URL.createObjectURL; globalThis.taken = blobs;
			URL.createObjectURL = blob => { if (blob.type !== "image/svg+xml" || !blobs.some(one => one.type === blob.type)) blobs.push(blob); return make(blob); };
			HTMLAnchorElement.prototype.click = () => {}; return "ready"; })()`)
		if taken != "ready" {
			t.Fatal(taken)
		}
		for _, form := range []string{"SVG", "PNG", "CSV"} {
			v.press(form + " of Case by case")
			v.see("Case by case saved as " + form)
		}
		if kinds := eval[string](v, `globalThis.taken.map(blob => blob.type + (blob.size > 300 ? "" : " empty")).sort().join(" ")`); kinds != "image/png image/svg+xml text/csv" {
			t.Errorf("taken away: %s", kinds)
		}
		v.visit("/curves")
		v.see("The limit is set for 40 cases")
		if hidden := eval[string](v, `(() => { const all = [...document.querySelectorAll("a.mark .miss")];
			return all.length > 0 && all.every(one => one.checkVisibility({ checkOpacity: true })) ? "" : all.length + " failures, not all seen"; })()`); hidden != "" {
			t.Error(hidden)
		}
		first := eval[string](v, `(() => { const mark = document.querySelector("a.mark[tabindex='0']"); mark.focus(); return mark.getAttribute("aria-label"); })()`)
		v.keys(kb.ArrowRight)
		if second := eval[string](v, `document.activeElement.getAttribute("aria-label")`); second == first || second == "" {
			t.Errorf("from %q the arrow went to %q", first, second)
		}
		v.keys(kb.Enter)
		v.see("Operation")
		if path := eval[string](v, "location.pathname"); len(path) < len("/cases/") || path[:7] != "/cases/" {
			t.Errorf("the mark led to %s", path)
		}
	}
}
