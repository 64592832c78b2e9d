package main

import (
	"net/http"
	"sync/atomic"
	"testing"
	"time"
)

// sixTaps is the most a prepared case may take from the inbox to its signature.
const sixTaps = 6

// TestSigning signs two cases at phone width, counting taps: the first right after signing in, the second when the proof of identity
// has grown too old, so that the password is asked for in place.
func TestSigning(t *testing.T) {
	browser := openBrowser(t)
	var ahead atomic.Int64
	clock := func() time.Time { return wallClock().Add(time.Duration(ahead.Load())) }
	base, _ := serveDemoAs(t, clock, func(handler http.Handler) http.Handler { return handler })
	v := newVisitor(t, browser, base, 390)
	signIn(v, "tomasz")
	v.see("2 cases wait")
	taps := 0
	tap := func(name string) { taps++; v.press(name) }

	prepared := func(operation string) {
		tap(operation)
		v.see("Filled in from the trainee's account")
		tap("4, Performed with spoken advice")
		tap("3, Operate with the supervisor at call")
		tap(demoKeep[0])
		tap(demoChange[0])
		v.audit("sign-off prepared")
		tap("Sign")
	}
	prepared("Mitral valve")
	v.see("1 case waits")
	t.Logf("%d taps from the inbox to the signature", taps)
	if taps > sixTaps {
		t.Errorf("signing a prepared case takes %d taps, more than %d", taps, sixTaps)
	}

	ahead.Store(int64(16 * time.Minute))
	prepared("Coronary bypass")
	v.see("Prove who you are")
	v.fill("Password", "not the password")
	tap("Sign")
	v.see("That is not your password.")
	v.audit("sign-off proof")
	v.fill("Password", demoPassword)
	tap("Sign")
	v.see("No case waits for you")

	director := newVisitor(t, browser, base, 390)
	signIn(director, "amara")
	director.press("Noor Eriksen")
	director.see("Two accounts")
	director.see("Steps told alike")
	director.audit("two accounts")
}
