package api

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
)

// invite invites an address to a role in north.
func (w *world) invite(who, email, role string) service.InvitationView {
	w.Helper()
	var view service.InvitationView
	w.as(who).do("POST", in("/invitations"), fmt.Sprintf(`{"email":%q,"name":"Nia New","roles":[{"role":%q}]}`, email, role)).want(201).into(&view)
	return view
}

// secretOf is the token in a link's fragment.
func secretOf(link string) string { return strings.TrimPrefix(link, "/invitation#") }

// rotate sends somebody to the main site and gives the rotation's id.
func (w *world) rotate(who, person string) string {
	w.Helper()
	var member service.MemberRecord
	w.as(who).do("POST", in("/members/"+person+"/rotations"), `{"site":"Main site","from":"2026-03-01","until":"2026-08-31"}`).want(200).into(&member)
	return member.Rotations[0].ID
}

// accept answers an invitation as a new account.
func (w *world) accept(link string, want int) *reply {
	w.Helper()
	return w.anonymous().do("POST", "/api/invitation/acceptance", map[string]string{"token": secretOf(link), "name": "Nia Newcomer", "password": password}).want(want)
}

// TestInvitation goes the whole way of a link: made, looked at, accepted once, signed in with.
func TestInvitation(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		view := w.invite("jonas", "Nia@Example.org", "trainee")
		var seen service.Invited
		w.anonymous().do("POST", "/api/invitation", map[string]string{"token": secretOf(view.Link)}).want(200).into(&seen)
		if seen.ProgrammeName != "north" || seen.Email != "nia@example.org" || seen.HasAccount || len(seen.Roles) != 1 {
			t.Errorf("the link shows %+v", seen)
		}
		var list service.List[service.InvitationView]
		w.as("amara").do("GET", in("/invitations"), nil).want(200).into(&list)
		if len(list.Items) != 1 || list.Items[0].Link != "" || list.Items[0].InvitedByName != "Jonas" {
			t.Errorf("open: %+v", list.Items)
		}
		w.as("jonas").do("POST", in("/invitations"), `{"email":"nia@example.org","roles":[{"role":"trainee"}]}`).want(409)
		for _, bad := range []string{`"name":"=cmd()","password":"a narrow passage"`, `"name":"","password":"a narrow passage"`, `"name":"Nia","password":"short"`} {
			w.anonymous().do("POST", "/api/invitation/acceptance", fmt.Sprintf(`{"token":%q,%s}`, secretOf(view.Link), bad)).want(422)
		}
		w.accept(view.Link, 200)
		if p := w.accept(view.Link, 410).problem(); p.Type != "/problems/invitation-over" {
			t.Errorf("twice: %s", p.Type)
		}
		var session Session
		w.anonymous().do("POST", "/api/session", map[string]string{"email": "nia@example.org", "password": password}).want(200).into(&session)
		if session.Person.Name != "Nia Newcomer" || len(session.Memberships) != 1 || !slices.Equal(session.Memberships[0].Roles, []string{"trainee"}) {
			t.Errorf("signed in as %+v", session)
		}
		again := w.invite("amara", "late@example.org", "committee")
		var fresh service.InvitationView
		w.as("amara").do("POST", in("/invitations/"+again.ID+"/link"), nil).want(200).into(&fresh)
		w.accept(again.Link, 410)
		w.clock.advance(15 * 24 * time.Hour)
		w.accept(fresh.Link, 410)
		if log := w.log.String(); strings.Contains(log, secretOf(view.Link)) || strings.Contains(log, "nia@example.org") {
			t.Error("the log holds the token or the address")
		}
	})
}

// TestInvitationOfAnAccount: an account that is there keeps its password; its owner signs in and accepts, and nobody else.
func TestInvitationOfAnAccount(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		view := w.invite("jonas", "nobody@example.org", "faculty")
		before := w.state()
		if p := w.accept(view.Link, 409).problem(); p.Type != "/problems/has-account" {
			t.Errorf("without signing in: %s", p.Type)
		}
		body := map[string]string{"token": secretOf(view.Link), "password": "another narrow one", "name": "Somebody Else"}
		if p := w.as("stranger").do("POST", "/api/invitation/acceptance", body).want(409).problem(); p.Type != "/problems/other-login" {
			t.Errorf("as another: %s", p.Type)
		}
		w.unchanged(before, "accepting for somebody else")
		token := &client{w: w, cookies: map[string]string{}, token: w.tokenOf("nobody")}
		token.do("POST", "/api/invitation/acceptance", body).want(403)
		w.as("nobody").do("POST", "/api/invitation/acceptance", body).want(200)
		var session Session
		w.anonymous().do("POST", "/api/session", map[string]string{"email": "nobody@example.org", "password": password}).want(200).into(&session)
		if session.Person.Name != "Nobody" || len(session.Memberships) != 1 {
			t.Errorf("%+v", session)
		}
	})
}

// TestInvitationGuesses: after many wrong tokens from an address nothing more is tried.
func TestInvitationGuesses(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	for range 50 {
		w.anonymous().do("POST", "/api/invitation", `{"token":"isthmus_guess"}`).want(410)
	}
	w.anonymous().do("POST", "/api/invitation", `{"token":"isthmus_guess"}`).want(429)
}

// TestRolesAreNotTaken: nobody raises themselves, a coordinator makes none who reads every record, and the operator is no role to give.
func TestRolesAreNotTaken(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		view := w.invite("amara", "lead@example.org", "director")
		before := w.state()
		for _, c := range []struct {
			who, method, path, body string
			want                    int
		}{
			{"jonas", "POST", "/members/jonas/roles", `{"role":"faculty"}`, 403},
			{"amara", "POST", "/members/amara/roles", `{"role":"faculty"}`, 403},
			{"amara", "POST", "/members/amara/deactivation", "", 403},
			{"jonas", "POST", "/members/kofi/roles", `{"role":"director"}`, 403},
			{"jonas", "POST", "/members/kofi/roles", `{"role":"reviewer"}`, 403},
			{"jonas", "POST", "/members/kofi/roles", `{"role":"committee"}`, 403},
			{"amara", "POST", "/members/kofi/roles", `{"role":"operator"}`, 422},
			{"jonas", "POST", "/members/amara/role-end", `{"role":"director","from":"2026-01-05","until":"2026-05-31"}`, 403},
			{"jonas", "POST", "/members/amara/deactivation", "", 403},
			{"jonas", "POST", "/invitations", `{"email":"x@example.org","roles":[{"role":"trainee"},{"role":"director"}]}`, 403},
			{"jonas", "POST", "/invitations/" + view.ID + "/link", "", 403},
			{"jonas", "DELETE", "/invitations/" + view.ID, "", 403},
			{"jonas", "POST", "/invitations", `{"email":"jonas@example.org","roles":[{"role":"faculty"}]}`, 403},
			{"jonas", "POST", "/invitations", `{"email":"kofi@example.org","roles":[{"role":"faculty"}]}`, 422},
			{"amara", "POST", "/invitations", `{"email":"x@example.org","roles":[{"role":"operator"}]}`, 422},
			{"jonas", "POST", "/invitations", `{"email":"x@example.org","roles":[{"role":"trainee","until":"2026-05-31"}]}`, 422},
			{"jonas", "POST", "/invitations", `{"email":"x y","roles":[{"role":"trainee"}]}`, 422},
			{"jonas", "POST", "/members/kofi/roles", `{"role":"trainee"}`, 422},
			{"jonas", "POST", "/members/kofi/roles", `{"role":"faculty","from":"2026-02-30"}`, 422},
			{"jonas", "POST", "/members/kofi/roles", `{"role":"faculty","from":"2026-07-01","until":"2026-06-01"}`, 422},
			{"jonas", "POST", "/members/kofi/role-end", `{"role":"trainee","from":"2026-01-06"}`, 404},
			{"jonas", "POST", "/members/stranger/roles", `{"role":"trainee"}`, 404},
			{"jonas", "POST", "/members/kofi/rotations", `{"site":"The moon"}`, 422},
			{"kofi", "POST", "/members/ines/rotations", `{"site":"Main site"}`, 403},
			{"kofi", "GET", "/members", "", 403},
			{"mei", "POST", "/invitations", `{"email":"x@example.org","roles":[{"role":"trainee"}]}`, 403},
			{"oskar", "GET", "/members", "", 403},
		} {
			var body any
			if c.body != "" {
				body = c.body
			}
			if got := w.as(c.who).do(c.method, in(c.path), body); got.status != c.want {
				t.Errorf("%s: %s %s = %d, want %d: %s", c.who, got.request, c.body, got.status, c.want, got.body)
			}
		}
		w.unchanged(before, "what is refused")
	})
}

// TestRolesAndRotations gives, ends and moves.
func TestRolesAndRotations(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		var member service.MemberRecord
		w.as("jonas").do("POST", in("/members/kofi/roles"), `{"role":"faculty","from":"2026-07-01"}`).want(200)
		w.as("jonas").do("POST", in("/members/kofi/role-end"), `{"role":"trainee","from":"2026-01-05","until":"2026-05-31"}`).want(200).into(&member)
		if len(member.Roles) != 2 || member.Roles[1].Until != "2026-05-31" {
			t.Errorf("%+v", member.Roles)
		}
		w.as("kofi").do("GET", in(""), nil).want(404) // between two roles
		w.as("jonas").do("POST", in("/members/kofi/roles"), `{"role":"trainee"}`).want(200)
		w.as("kofi").do("GET", in(""), nil).want(200)
		id := w.rotate("amara", "ines")
		w.as("jonas").do("POST", in("/members/ines/rotations"), `{"site":"Main site","from":"2026-08-31"}`).want(422)
		w.as("jonas").do("POST", in("/rotations/"+id+"/end"), `{"until":"2026-02-01"}`).want(422)
		w.as("jonas").do("POST", in("/rotations/"+id+"/end"), `{"until":"2026-06-30"}`).want(200).into(&member)
		if member.Rotations[0].Until != "2026-06-30" {
			t.Errorf("%+v", member.Rotations)
		}
		w.as("jonas").do("DELETE", in("/rotations/"+id), nil).want(204)
		w.as("jonas").do("DELETE", in("/rotations/"+id), nil).want(404)
	})
}

// TestMemberDeactivation: sessions and tokens end at once, sign-in is refused with the reason only after the right password, and every
// record stays.
func TestMemberDeactivation(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		path, _ := w.submitted(biatrial())
		token := &client{w: w, cookies: map[string]string{}, token: w.tokenOf("ines")}
		token.do("GET", path, nil).want(200)
		w.as("jonas").do("POST", in("/members/ines/deactivation"), nil).want(200)
		w.as("jonas").do("POST", in("/members/ines/deactivation"), nil).want(422)
		token.do("GET", path, nil).want(401)
		w.as("ines").do("GET", path, nil).want(401)
		sign := map[string]string{"email": "ines@example.org", "password": password}
		if p := w.anonymous().do("POST", "/api/session", sign).want(403).problem(); p.Type != "/problems/account-closed" {
			t.Errorf("sign-in: %s", p.Type)
		}
		w.anonymous().do("POST", "/api/session", map[string]string{"email": "ines@example.org", "password": "another passage"}).want(401)
		w.as("mei").do("GET", path, nil).want(200)
		w.as("amara").do("GET", in("/trainees/ines/standing"), nil).want(200)
		var people service.List[service.Member]
		w.as("mei").do("GET", in("/people?role=trainee"), nil).want(200).into(&people)
		if slices.ContainsFunc(people.Items, func(m service.Member) bool { return m.ID == "ines" }) {
			t.Error("who is deactivated is offered")
		}
		w.as("jonas").do("DELETE", in("/members/ines/deactivation"), nil).want(200)
		w.as("jonas").do("DELETE", in("/members/ines/deactivation"), nil).want(422)
		w.anonymous().do("POST", "/api/session", sign).want(200)
	})
}
