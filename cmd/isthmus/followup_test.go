package main

import (
	"bytes"
	"io"
	"net/http"
	"strings"
	"sync"
	"testing"

	"github.com/chromedp/chromedp"
)

// recordNumber is what the tests' hospital calls a patient.
const recordNumber = "AB-123 456"

// TestFollowUp records, amends and finds again in a real browser: at phone width, on a second device with the same key, and as the
// coordinator, who sees dates only. Neither the record number nor the key is in anything the browser sends.
func TestFollowUp(t *testing.T) {
	browser := openBrowser(t)
	sent := &outgoing{}
	base, _ := serveDemoAs(t, wallClock, sent.listening)
	v := newVisitor(t, browser, base, 390)
	signIn(v, "ines")
	v.see("Follow-up due")
	v.press("All that is due")
	v.see("Find a case by its record number")
	v.audit("follow-up list")
	v.see("days over")
	path := eval[string](v, `document.querySelector(".rows a.row-link").getAttribute("href")`)
	v.visit(path)
	recordFollowUp(v)
	amendFollowUp(v)
	key := keyCase(v)
	findCase(v, path)
	followUpOffline(v, path)
	second := newVisitor(t, browser, base, 1280)
	enterKey(second, key, path)
	coordinator := newVisitor(t, browser, base, 768)
	signIn(coordinator, "jonas")
	coordinator.see("People")
	coordinator.visit("/follow-up")
	coordinator.see("Operation of")
	coordinator.audit("follow-up coordinator")
	if links := eval[int](coordinator, `document.querySelectorAll(".rows a").length`); links != 0 {
		t.Errorf("the coordinator is led to %d cases", links)
	}
	sent.holdNone(t, recordNumber, "AB123456", key, strings.ReplaceAll(key, " ", ""))
}

// recordFollowUp fills the form in, after it said what is missing.
func recordFollowUp(v *visitor) {
	v.see("What was recorded")
	v.press("Record a follow-up")
	v.press("Record the follow-up")
	v.see("Choose the rhythm.")
	v.press("Sinus rhythm")
	v.press("Ambulatory recording")
	v.fill("Recorded without a break", "48")
	v.press("None over 30 s")
	eval[string](v, `(() => { const group = [...document.querySelectorAll("fieldset")].find(one => one.textContent.startsWith("Antiarrhythmic drug")); group.querySelector("input").click(); return "done"; })()`)
	v.press("Pacemaker placed")
	v.choose("When it was placed", "Before discharge")
	v.choose("Why it was placed", "AV block")
	v.audit("follow-up form")
	v.press("Record the follow-up")
	v.see("48 hours recorded (follow-up rule 1)")
	v.see("Before discharge, AV block")
	v.see("For education. Not advice on a patient.")
	v.audit("follow-up of a case")
}

// amendFollowUp corrects the newest one, with a reason; what it said before stays.
func amendFollowUp(v *visitor) {
	name := eval[string](v, `[...document.querySelectorAll("section.statement")].find(one => one.innerText.includes("48 hours recorded")).querySelector("button").getAttribute("aria-label")`)
	v.press(name)
	v.press("An episode over 30 s")
	v.press("Save the amendment")
	v.see("Say why it is amended.")
	v.fill("Why it is amended", "The recording was read again.")
	v.press("Save the amendment")
	v.see("Amended: The recording was read again.")
	v.see("Earlier versions (1)")
}

// keyCase makes a key, which is shown once, and gives the case its number.
func keyCase(v *visitor) string {
	v.press("Make a key")
	v.see("it is shown only this once")
	v.audit("follow-up key")
	key := eval[string](v, `document.querySelector("code.secret").textContent`)
	v.press("I have kept it safe")
	v.fill("Local record number", recordNumber)
	v.press("Keep its hash")
	v.see("You can find it by its record number.")
	if shown := eval[bool](v, `document.body.innerText.includes("`+key+`")`); shown {
		v.t.Error("the key is shown again")
	}
	return key
}

// findCase finds it by the number in another way of writing, and nothing by another number.
func findCase(v *visitor, path string) {
	v.visit("/follow-up")
	v.fill("Local record number", "AB 999")
	v.press("Find the case")
	v.see("No case of yours was given this number with this key.")
	v.fill("Local record number", "ab123456")
	v.press("Find the case")
	found := strings.TrimSuffix(path, "/follow-up")
	v.do(chromedp.WaitVisible(`section[aria-labelledby="find-title"] a[href="` + found + `"]`))
}

// followUpOffline records the next one without a network: it waits on the device and is there once the network is back.
func followUpOffline(v *visitor, path string) {
	v.visit(path)
	v.press("Record a follow-up")
	v.see("How the rhythm was recorded")
	v.offline(true)
	v.press("Atrial flutter or tachycardia")
	v.press("Single ECG")
	v.press("An episode over 30 s")
	v.press("Class III")
	v.press("Record the follow-up")
	v.see("Waiting to be sent")
	v.see("Follow-up after 6 months")
	v.offline(false)
	v.see("Nothing waits.")
	v.visit(path)
	v.see("6 months: arrhythmia again")
}

// enterKey enters the key on a device that has none, mistyped first, and finds the case there.
func enterKey(v *visitor, key, path string) {
	signIn(v, "ines")
	v.see("What to do next")
	v.visit("/follow-up")
	v.see("There is no key on this device yet.")
	v.fill("Or enter the key you have", "7"+key)
	v.press("Use this key")
	v.see("This is no whole key")
	v.fill("Or enter the key you have", strings.ToLower(key))
	v.press("Use this key")
	v.see("This device has your key")
	findCase(v, path)
	v.audit("follow-up found")
}

// outgoing is what browsers sent: addresses and bodies.
type outgoing struct {
	sync.Mutex
	text bytes.Buffer
}

// listening keeps a copy of every request.
func (o *outgoing) listening(handler http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		body, err := io.ReadAll(r.Body)
		if err != nil {
			http.Error(w, err.Error(), http.StatusBadRequest)
			return
		}
		r.Body = io.NopCloser(bytes.NewReader(body))
		o.Lock()
		o.text.WriteString(r.URL.String() + "\n")
		o.text.Write(body)
		o.Unlock()
		handler.ServeHTTP(w, r)
	})
}

// holdNone fails the test when any of these texts was sent, or when nothing was, which would prove nothing.
func (o *outgoing) holdNone(t *testing.T, texts ...string) {
	t.Helper()
	o.Lock()
	defer o.Unlock()
	all := strings.ToUpper(o.text.String())
	if !strings.Contains(all, "CASE_KEY") {
		t.Error("no case key was sent")
	}
	for _, text := range texts {
		if strings.Contains(all, strings.ToUpper(text)) {
			t.Errorf("%q was sent to the server", text)
		}
	}
}
