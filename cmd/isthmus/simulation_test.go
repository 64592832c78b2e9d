package main

import (
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"
)

// TestSimulation tries the programme's standard against the example on made-up trainees, at both widths: the form from the programme's
// own cases, a fault, progress, what was found, and the same plan again with its seed. The committee reads it.
func TestSimulation(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	for _, width := range []int64{390, 1280} {
		v := newVisitor(t, browser, base, width)
		signIn(v, "amara")
		v.see("Cohort")
		v.visit("/simulations/new")
		v.see("True abilities")
		v.audit("try a standard")
		v.choose("Compare with (optional)", "The example standard")
		v.fill("Made-up trainees", "20")
		v.press("Try it")
		v.see("must be 100 to 100000")
		v.audit("try a standard, refused")
		v.fill("Made-up trainees", "2000")
		v.fill("Seed (optional)", "42")
		v.press("Try it")
		v.see("Of those it declares ready")
		v.see("Where the two differ")
		v.see("Ready by operation, for each true ability")
		v.see("What was assumed")
		v.audit("simulation")
		first := eval[string](v, `document.querySelector(".simulation table").innerText`)
		v.press("What was asked")
		v.see("42")
		v.visit(eval[string](v, `document.querySelector("a[href^='/simulations/new?from=']").getAttribute("href")`))
		v.see("True abilities")
		if seed := eval[string](v, `document.querySelector("[name=seed]").value`); seed != "42" {
			t.Errorf("the seed that was kept is %q", seed)
		}
		eval[string](v, `document.querySelector("form button[type=submit]").focus(), ""`)
		v.keys(kb.Enter)
		v.see("Where the two differ")
		if again := eval[string](v, `document.querySelector(".simulation table").innerText`); again != first {
			t.Errorf("the same plan and seed gave\n%s\nand then\n%s", first, again)
		}
		v.visit("/simulations")
		v.see("made-up trainees")
		v.audit("simulations")
		v = newVisitor(t, browser, base, width)
		signIn(v, "aiko")
		v.see("Cohort")
		v.visit("/simulations")
		v.see("made-up trainees")
		if strings.Contains(eval[string](v, "document.body.innerText"), "Try a standard") {
			t.Error("the committee is offered what the director does")
		}
	}
}
