package api

import (
	"testing"
	"time"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/competency"
)

// TestProofOfIdentity: a signature needs a password given within the programme's limit; a token never signs; guesses are throttled.
func TestProofOfIdentity(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		mei := w.as("mei")
		path, tag := w.submitted(biatrial())
		sign := func(c *client) *reply { return c.do("POST", path+"/sign-off", statement(biatrial()), "If-Match", tag) }
		prove := func(c *client, password string) *reply {
			return c.do("POST", "/api/session/proof", map[string]string{"password": password})
		}

		script := &client{w: w, cookies: map[string]string{}, token: w.tokenOf("mei")}
		before := w.state()
		if got := sign(script).want(403).problem(); got.Type != "/problems/forbidden" {
			t.Errorf("a token: %+v", got)
		}
		prove(script, password).want(403)
		prove(w.anonymous(), password).want(401)

		w.clock.advance(competency.DefaultSigningMinutes*time.Minute + time.Microsecond)
		if got := sign(mei).want(403).problem(); got.Type != "/problems/proof-needed" {
			t.Errorf("an old sign-in: %+v", got)
		}
		if got := prove(mei, "not the password").want(403).problem(); got.Type != "/problems/proof-failed" {
			t.Errorf("a wrong password: %+v", got)
		}
		sign(mei).want(403)
		for range 4 {
			prove(mei, "not the password").want(403)
		}
		if got := prove(mei, password).want(429); got.header.Get("Retry-After") == "" {
			t.Error("throttled without Retry-After")
		}
		w.clock.advance(16 * time.Minute)
		sign(mei).want(403)
		w.unchanged(before, "signing without a proof")
		prove(mei, password).want(204)
		w.clock.advance(competency.DefaultSigningMinutes * time.Minute)
		sign(mei).want(200)
		if got := sign(mei).want(412).problem(); got.Changed == nil || got.Changed.Act != "case.sign-off" || got.Changed.ByName != "Mei" {
			t.Errorf("signed already: %+v", got.Changed)
		}
		var own, others service.Phrases
		mei.do("GET", in("/sign-off-phrases"), nil).want(200).into(&own)
		w.as("leila").do("GET", in("/sign-off-phrases"), nil).want(200).into(&others)
		if len(own.Keep) != 1 || own.Keep[0] != (service.Phrase{Text: statement(biatrial()).Keep, Used: 1}) || len(own.Change) != 1 || len(others.Keep) != 0 {
			t.Errorf("phrases %+v, another's %+v", own, others)
		}
		w.as("ines").do("GET", in("/sign-off-phrases"), nil).want(403)
	})
}
