package main

import (
	"net/http"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// TestTray prepares two cases at phone width, one with corrected events, and signs the tray with one proof of identity. The trainee of the
// first withdraws it meanwhile: it is refused with what happened, and the other is signed all the same. Signing out takes the tray along.
func TestTray(t *testing.T) {
	browser := openBrowser(t)
	var ahead atomic.Int64
	clock := func() time.Time { return wallClock().Add(time.Duration(ahead.Load())) }
	base, _ := serveDemoAs(t, clock, func(handler http.Handler) http.Handler { return handler })
	v := newVisitor(t, browser, base, 390)
	signIn(v, "tomasz")
	v.see("2 cases wait")
	v.audit("inbox")
	first := prepareFirst(v)
	v.see("1 case in your tray")
	v.visit("/account")
	v.press("Sign out")
	v.see("Signing out deletes 1 unfinished form or unsigned sign-off from this device")
	v.press("Sign out and delete")
	v.see("Password")
	signIn(v, "mei") // on the same device
	v.see("Inbox")
	v.visit("/inbox/tray")
	v.see("Nothing is in the tray")
	v.visit("/account")
	v.press("Sign out")
	v.see("Password")
	signIn(v, "tomasz")
	v.see("2 cases wait")
	if kept := eval[bool](v, `document.body.innerText.includes("tray")`); kept {
		t.Error("the tray outlives a sign-out")
	}
	prepareFirst(v)
	v.see("1 case in your tray")
	v.press("Coronary bypass")
	v.see("Filled in from the trainee's account")
	answer(v)
	v.press("I know otherwise")
	v.press("Put in the tray")
	v.see("Tick the events as you know them")
	v.audit("sign-off events")
	v.press("Phrenic nerve palsy")
	v.press("Put in the tray")
	v.see("2 cases in your tray")
	v.audit("inbox with a tray")
	v.press("Review and sign")
	v.see("corrected to Phrenic nerve palsy")
	v.audit("tray")
	for _, width := range []int64{768, 1280} { // the tray is on this device only, so the window is made wider
		v.width = width
		v.do(chromedp.EmulateViewport(width, 900))
		v.audit("tray")
	}
	v.width = 390
	v.do(chromedp.EmulateViewport(390, 844))

	v.press("Mitral valve")
	v.see("with your answers as you prepared them")
	v.audit("sign-off from the tray")
	v.press("Keep in the tray")
	v.see("2 cases in your tray")

	trainee := newVisitor(t, browser, base, 390)
	signIn(trainee, first.trainee)
	trainee.see("What to do next")
	trainee.visit(first.path)
	trainee.press("Withdraw")
	trainee.fill("Why it is withdrawn", "it was logged twice")
	trainee.press("Withdraw the case")
	trainee.see("withdrew it")

	ahead.Store(int64(16 * time.Minute))
	v.press("Review and sign")
	v.press("Sign 2 cases")
	v.see("Prove who you are")
	v.fill("Password", "not the password")
	v.press("Sign 2 cases")
	v.see("That is not your password.")
	v.audit("tray proof")
	v.fill("Password", demoPassword)
	v.press("Sign 2 cases")
	v.see("1 case signed.")
	v.see("withdrew it meanwhile")
	if more := eval[bool](v, `[...document.querySelectorAll("button")].some(b => b.textContent.startsWith("Sign "))`); more {
		t.Error("the stale case is offered for a signature")
	}
	v.audit("tray with a stale case")
	v.press("Take out")
	v.see("Nothing is in the tray")
	v.visit("/inbox")
	v.see("No case waits for you")
}

// TestTwoAccounts opens the numbers of the two accounts from the cohort and from a trainee's standing to the steps that differ.
func TestTwoAccounts(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	director := newVisitor(t, browser, base, 1280)
	director.do(darkened())
	signIn(director, "amara")
	director.see("Two accounts")
	director.press("For each trainee")
	director.audit("cohort two accounts dark")
	director.do(chromedp.EmulateViewport(768, 900))
	director.width = 768
	director.audit("cohort two accounts dark")
	director.visit("/agreement?of=roles")
	director.see("Another role after sign-off")
	director.see("after sign-off.")
	director.audit("accounts of the programme dark")
	phone := newVisitor(t, browser, base, 390)
	signIn(phone, "hana")
	phone.see("What to do next")
	phone.visit("/standing")
	phone.see("Steps told alike")
	path := eval[string](phone, `document.querySelector('a[href*="/agreement?of=steps"]').getAttribute("href")`)
	phone.visit(path)
	phone.see("Supervisor's account")
	phone.audit("accounts of a trainee")
	phone.choose("Cases behind", "The trainee claims less")
	phone.see("No such case.")
}

// prepared is a case in the tray, and who its trainee is.
type prepared struct{ path, trainee string }

// prepareFirst answers for the mitral case and puts it in the tray.
func prepareFirst(v *visitor) prepared {
	v.t.Helper()
	v.press("Mitral valve")
	v.see("Filled in from the trainee's account")
	lead := eval[string](v, `document.querySelector("main").innerText.match(/(\w+) \w+, submitted/)[1]`)
	path := eval[string](v, "location.pathname")
	answer(v)
	v.press("Put in the tray")
	return prepared{strings.TrimSuffix(path, "/sign-off"), strings.ToLower(lead)}
}

func answer(v *visitor) {
	v.t.Helper()
	v.press("4, Performed with spoken advice")
	v.press("3, Operate with the supervisor at call")
	v.press(demoKeep[0])
	v.press(demoChange[0])
}
