package api

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"isthmus/api/service"
	"isthmus/api/signin"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/migrations"
)

const sqlite = migrations.SQLite

// tokenOf makes a bearer token of a person.
func (w *world) tokenOf(name string) string {
	w.Helper()
	var token signin.Token
	w.as(name).do("POST", "/api/tokens", map[string]any{"name": "script", "expires_in_days": 30}).want(201).into(&token)
	if !strings.HasPrefix(token.Secret, "isthmus_") || len(token.Secret) < 50 {
		w.Errorf("token %q", token.Secret)
	}
	return token.Secret
}

func TestSession(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		w.anonymous().do("GET", "/api/session", nil).want(401)
		var session Session
		ines := w.as("ines")
		ines.do("GET", "/api/session", nil).want(200).into(&session)
		if session.Person.Name != "Ines" || len(session.Memberships) != 1 || session.Memberships[0].Roles[0] != "trainee" || session.Caution == "" {
			t.Errorf("session %+v", session)
		}
		w.clock.advance(time.Hour + 59*time.Minute)
		ines.do("GET", "/api/session", nil).want(200) // used: the idle limit starts anew
		w.clock.advance(time.Hour + 59*time.Minute)
		ines.do("GET", "/api/session", nil).want(200)
		w.clock.advance(2*time.Hour + time.Second)
		before := w.state()
		if p := ines.do("POST", in("/cases"), recordOf{biatrial()}).want(401).problem(); !strings.Contains(p.Detail, "ended") {
			t.Errorf("an idle session: %s", p.Detail)
		}
		w.unchanged(before, "an expired session")
		ines.do("GET", "/api/session", nil).want(401)

		kofi := w.as("kofi")
		for range 11 {
			w.clock.advance(time.Hour)
			kofi.do("GET", "/api/session", nil).want(200)
		}
		w.clock.advance(time.Hour)
		kofi.do("GET", "/api/session", nil).want(401) // 12 hours, however busy

		mei := w.as("mei")
		stolen := &client{w: w, cookies: map[string]string{"isthmus": mei.cookies["isthmus"]}}
		stolen.do("GET", "/api/session", nil).want(200)
		mei.do("DELETE", "/api/session", nil).want(204)
		stolen.do("GET", "/api/session", nil).want(401)

		amara := w.as("amara")
		w.write("", func(tx *store.Tx) error {
			if err := tx.SetPassword("amara", hashed()); err != nil {
				return err
			}
			return tx.Audit("person", "amara", nil, "amara")
		})
		amara.do("GET", "/api/session", nil).want(401) // a new password ends what was opened before
	})
}

// TestCookie: out of reach of scripts and of other sites, and only over TLS unless told otherwise.
func TestCookie(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	for _, plain := range []bool{true, false} {
		deps := w.server.Deps
		deps.PlainCookies = plain
		handler, err := New(deps)
		w.must(err)
		r := httptest.NewRequest("POST", "/api/session", strings.NewReader(`{"email":"ines@example.org","password":"`+password+`"}`))
		r.Header.Set("Content-Type", "application/json")
		recorder := httptest.NewRecorder()
		handler.ServeHTTP(recorder, r)
		cookies := recorder.Result().Cookies()
		if len(cookies) != 1 {
			t.Fatalf("cookies %v: %s", cookies, recorder.Body)
		}
		c := cookies[0]
		if !c.HttpOnly || c.SameSite != http.SameSiteStrictMode || c.Path != "/" || c.Secure == plain || c.Domain != "" || strings.HasPrefix(c.Name, "__Host-") == plain {
			t.Errorf("plain %v: cookie %s", plain, c)
		}
		var kept int
		w.must(w.store.DB().QueryRow("SELECT COUNT(*) FROM sessions WHERE token_hash = '" + c.Value + "'").Scan(&kept))
		if kept != 0 {
			t.Error("the database keeps a session's token as it is")
		}
	}
}

func TestSignInRefused(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		wrong := map[string]string{"email": "ines@example.org", "password": "not the password"}
		unknown := map[string]string{"email": "who@example.org", "password": "not the password"}
		first := w.anonymous().do("POST", "/api/session", wrong).want(401).problem()
		second := w.anonymous().do("POST", "/api/session", unknown).want(401).problem()
		if first.Detail != second.Detail || first.Type != second.Type {
			t.Errorf("it shows whether an account exists: %q, %q", first.Detail, second.Detail)
		}
		for range 4 {
			w.anonymous().do("POST", "/api/session", wrong).want(401)
		}
		right := map[string]string{"email": "Ines@Example.org", "password": password}
		got := w.anonymous().do("POST", "/api/session", right).want(429)
		if got.problem().Type != "/problems/too-many-attempts" || got.header.Get("Retry-After") != "900" {
			t.Errorf("throttled: %s, Retry-After %s", got.body, got.header.Get("Retry-After"))
		}
		w.as("kofi") // another account from the same address still can
		w.clock.advance(15*time.Minute + time.Second)
		w.anonymous().do("POST", "/api/session", right).want(200)
		w.anonymous().do("POST", "/api/session", wrong).want(401) // and success cleared the count
		w.anonymous().do("POST", "/api/session", right).want(200)
	})
}

// TestAddressThrottle: guessing through many accounts from one address ends too.
func TestAddressThrottle(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	for range 50 {
		w.must(w.store.RecordFailure(t.Context(), "address 192.0.2.1", w.clock.Now()))
	}
	w.anonymous().do("POST", "/api/session", map[string]string{"email": "kofi@example.org", "password": password}).want(429)
}

func TestTokens(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		secret := w.tokenOf("ines")
		script := &client{w: w, cookies: map[string]string{}, token: secret}
		script.do("GET", in("/cases"), nil).want(200)
		script.do("POST", in("/cases"), recordOf{biatrial()}).want(201)
		script.do("POST", "/api/tokens", map[string]any{"name": "more", "expires_in_days": 1}).want(403)
		script.do("DELETE", "/api/session", nil).want(403)
		script.do("POST", "/api/session", map[string]string{"email": "ines@example.org", "password": password}).want(403)
		var list service.List[signin.Token]
		listed := w.as("ines").do("GET", "/api/tokens", nil).want(200).into(&list)
		if len(list.Items) != 1 || strings.Contains(string(listed.body), secret) {
			t.Errorf("tokens %s", listed.body)
		}
		w.as("kofi").do("DELETE", "/api/tokens/"+list.Items[0].ID, nil).want(404)
		before := w.state()
		for _, bad := range []string{"nonsense", secret + "x", ""} {
			guess := w.anonymous()
			got := guess.do("POST", in("/cases"), recordOf{biatrial()}, "Authorization", "Bearer "+bad).want(401)
			if got.header.Get("WWW-Authenticate") == "" {
				t.Error("401 without WWW-Authenticate")
			}
		}
		w.unchanged(before, "a bad token")
		w.as("ines").do("DELETE", "/api/tokens/"+list.Items[0].ID, nil).want(204)
		before = w.state()
		script.do("POST", in("/cases"), recordOf{biatrial()}).want(401)
		w.unchanged(before, "a revoked token")
		old := &client{w: w, cookies: map[string]string{}, token: w.tokenOf("ines")}
		w.clock.advance(30*24*time.Hour + time.Second)
		old.do("GET", in("/cases"), nil).want(401)
	})
}

// TestCrossOrigin: a write that another site's page sends is not carried out, even with the cookie.
func TestCrossOrigin(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	ines := w.as("ines")
	before := w.state()
	for _, c := range []struct{ origin, site string }{{"https://evil.example", ""}, {"https://evil.example", "cross-site"}, {"", "cross-site"}, {"", "same-site"}} {
		page := &client{w: w, cookies: ines.cookies, origin: c.origin, site: c.site}
		if p := page.do("POST", in("/cases"), recordOf{biatrial()}).want(403).problem(); p.Type != "/problems/cross-origin" {
			t.Errorf("%+v: %s", c, p.Type)
		}
	}
	w.unchanged(before, "a write from another site")
	own := &client{w: w, cookies: ines.cookies, origin: "http://example.com", site: "same-origin"} // example.com is httptest's host
	own.do("POST", in("/cases"), recordOf{biatrial()}).want(201)
}

// TestTouch: a session in use is written at most once a minute, for each write costs as much as the request itself.
func TestTouch(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	ines := w.as("ines")
	kept := func() string {
		sessions, err := w.store.Sessions(t.Context(), w.clock.Now())
		w.must(err)
		for _, data := range sessions {
			return string(data)
		}
		return ""
	}
	first := kept()
	w.clock.advance(59 * time.Second)
	if got := ines.do("GET", "/api/session", nil).want(200); got.header.Get("Set-Cookie") != "" || kept() != first {
		t.Error("written within the minute")
	}
	w.clock.advance(2 * time.Second)
	ines.do("GET", "/api/session", nil).want(200)
	if kept() == first {
		t.Error("not written after a minute")
	}
}
