package main

import (
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp/kb"
)

// TestStanding reads standings on a phone and at a desk: first what to do next, then every requirement with when it may be met; then a day in the
// past, and what changed since another, down to the evidence that came in.
func TestStanding(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	for _, width := range []int64{390, 1280} {
		v := newVisitor(t, browser, base, width)
		signIn(v, "mateo")
		v.see("What to do next")
		v.visit("/standing")
		v.see("What to do next")
		v.see("The patient decides what is done.")
		v.see("as likely as not")
		v.see("waiting for sign-off")
		if order := eval[string](v, `[...document.querySelectorAll("h2")].map(one => one.textContent).join("; ")`); !strings.HasPrefix(order, "What to do next; Where you stand; On another day") {
			t.Errorf("the page says in order: %s", order)
		}
		v.audit("standing next")

		v.tabTo("What changed since")
		v.keys(kb.Enter)
		v.see("requirements changed")
		v.see("Came in: ")
		v.press(eval[string](v, `document.querySelector(".change summary").textContent.trim()`))
		v.audit("standing changes")
		v.set("Since", time.Now().AddDate(0, 0, -300).Format(time.DateOnly))
		v.see("left out before: signed off after " + time.Now().UTC().AddDate(0, 0, -300).Format(time.DateOnly))

		past := time.Now().UTC().AddDate(0, 0, -100)
		v.visit("/standing")
		v.see("as likely as not")
		v.set("As of", past.Format(time.DateOnly))
		v.see("What would have moved most on " + past.Format("2 Jan 2006"))
		v.see("The evidence hash is over everything on record today")
		v.audit("standing in the past")
		v.press("Biatrial cases")
		v.see("as of " + past.Format("2 Jan 2006"))
	}
}

// TestStandingOfAnother: a director reads what would move a trainee most; it leads to the evidence.
func TestStandingOfAnother(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	v := newVisitor(t, browser, base, 390)
	v.do(darkened())
	signIn(v, "amara")
	v.see("Kofi Marchetti")
	v.press("Kofi Marchetti")
	v.see("What would move most")
	v.see("When: cannot say yet, no such case since")
	v.audit("standing of another")
	v.press(eval[string](v, `document.querySelector(".next-act a").textContent.trim()`))
	v.see("Evidence used")
}
