package main

import "testing"

// TestDigestPages chooses hours for the mail of what waits, hears why an hour cannot be, and opens the link of a mail that is none.
func TestDigestPages(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	for _, width := range []int64{390, 1280} {
		v := newVisitor(t, browser, base, width)
		signIn(v, "mei")
		v.see("Mei Castellano")
		v.visit("/account")
		v.see("Sign out")
		if width == 390 {
			v.see("Isthmus sends no mail here")
		}
		v.audit("account without mail")
		status := eval[int](v, `fetch("/api/digest", {method: "PUT", headers: {"content-type": "application/json"}, body: JSON.stringify({choices:
			{rhythm: "daily", weekday: "monday", hour: 8, zone: "Europe/Lisbon", quiet_from: 20, quiet_until: 7}})}).then(answer => answer.status)`)
		if status != 200 {
			t.Fatalf("choosing = %d", status)
		}
		v.visit("/account")
		v.see("The next one may come")
		v.press("Once a week")
		v.fill("At about", "22")
		v.press("Keep")
		v.see("lies in the quiet hours")
		v.fill("At about", "9")
		v.press("Keep")
		v.gone("lies in the quiet hours")
		v.audit("account with mail")
		v.visit("/unsubscribe#no-such-token")
		v.press("Turn the mail off")
		v.see("The address is not that of a mail's link.")
		v.audit("unsubscribe")
	}
}
