package main

import (
	"net/http"
	"strings"
	"sync/atomic"
	"testing"
	"time"
)

// TestReviewer: the director invites an external reviewer to one trainee and the figures without names; the reviewer accepts, sees that and
// nothing else, and the director finds what was read and takes the trainee away.
func TestReviewer(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	for _, width := range []int64{390, 1280} {
		address, name := "ada@example.org", "Ada Quill"
		if width == 1280 {
			address, name = "bo@example.org", "Bo Quill"
		}
		amara := newVisitor(t, browser, base, width)
		signIn(amara, "amara")
		amara.see("Cohort")
		amara.visit("/people")
		amara.see("Open invitations")
		amara.fill("E-mail address", address)
		amara.choose("Role", "Reviewer (reads what you choose)")
		amara.see("Trainees whose records the reviewer reads")
		amara.press("Make the link")
		amara.see("a reviewer's last day is at most 90 days off")
		amara.set("Last day (at most 90 days off)", eval[string](amara, `new Date(Date.now() + 30 * 864e5).toISOString().slice(0, 10)`))
		amara.press("Make the link")
		amara.see("hoose trainees, figures or both")
		chosen := eval[string](amara, `(() => { const box = document.querySelector("[data-field=viewing] label"); box.click(); return box.textContent.trim(); })()`)
		amara.choose("Figures of the cohort, without names", "Each trainee's line, without a name")
		amara.audit("invite a reviewer")
		amara.press("Make the link")
		amara.see("it is shown only once")
		link := eval[string](amara, `document.querySelector(".secret").textContent`)

		v := newVisitor(t, browser, base, width)
		v.visit(strings.TrimPrefix(link, base))
		v.see("You sign in as " + address)
		v.fill("Your name", name)
		v.fill("A new password, 15 characters or more", "another narrow passage")
		v.press("Accept")
		v.see("Your review")
		v.see("for reading only")
		v.see("Trainee 1")
		v.audit("your review")
		v.press("Standing of " + chosen)
		v.see("Where they stand")
		v.see("Two accounts")
		v.audit("a reviewer's view of a standing")
		v.visit("/cohort")
		v.see("your roles")

		amara.visit("/people")
		amara.press(name)
		amara.see("What the reviewer read")
		amara.see("Standing of " + chosen)
		amara.see("Figures of the cohort")
		amara.audit("what a reviewer read")
		amara.press("Choose anew")
		eval[bool](amara, `(() => { document.querySelector("[data-field=viewing] input:checked").click(); return true; })()`)
		amara.choose("Figures of the cohort, without names", "How many trainees are in each state")
		amara.press("Choose")
		amara.see("It holds from now on.")
		v.visit("/")
		v.see("not told")
		v.audit("counts without names")
		if eval[bool](v, `document.body.innerText.includes(`+"`"+chosen+"`"+`) || document.body.innerText.includes("Trainee 1")`) {
			t.Error("what was taken away is still shown")
		}
	}
}

// TestReviewerEnds: after the last day nothing that was opened before is shown, neither on the page that is open nor after signing in again.
func TestReviewerEnds(t *testing.T) {
	browser := openBrowser(t)
	var ahead atomic.Int64 // how far the server's clock is put forward
	base, _ := serveDemoAs(t, func() time.Time { return wallClock().Add(time.Duration(ahead.Load())) }, func(handler http.Handler) http.Handler { return handler })
	v := newVisitor(t, browser, base, 390)
	signIn(v, "nadia")
	v.see("Your review")
	v.press("Standing of Ines Haddad")
	v.see("Where they stand")
	standing := eval[string](v, "location.pathname + location.search")
	ahead.Store(int64(100 * 24 * time.Hour))
	v.visit(standing)
	v.gone("Where they stand")
	signIn(v, "nadia")
	v.see("Sign out") // the own account is all there is
	v.audit("after a review has ended")
	for _, path := range []string{standing, "/review", "/cohort"} {
		v.visit(path)
		v.await("the page to be read", "settled")
		if says := eval[string](v, "document.body.innerText"); strings.Contains(says, "Ines") || strings.Contains(says, "Where they stand") || strings.Contains(says, "Trainee 1") {
			t.Errorf("after the last day %s shows: %s", path, says)
		}
	}
}
