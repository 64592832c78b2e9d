package api

import (
	"net/http"
	"slices"
	"strings"
	"testing"
	"time"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/competency"
)

// reviewerMay are the operations that answer a reviewer about trainees: with 200 inside the invitation only.
var reviewerMay = []string{
	"standing", "standing-difference", "curves", "growth", "agreement", "standard-moves", "case", "case-versions", "case-follow-ups", "plan", "comparison", "viewing", "figures",
}

// TestReviewerSeesTheInvitation walks every operation that reads as a reviewer invited to kofi's records alone, with ines's ids and then with
// kofi's; then on the day after the last one, and with nothing chosen. Nothing of ines is ever answered, nothing at all after the end, and every
// record that was answered stands in the audit trail.
func TestReviewerSeesTheInvitation(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		w.letSee("yuki", store.ViewingChoice{Trainees: []competency.PersonID{"kofi"}}, "2026-06-10")
		ids := map[string]*strings.Replacer{}
		for _, who := range []string{"ines", "kofi"} {
			made := w.as(who).do("POST", in("/cases"), recordOf{biatrial()}).want(201)
			path := made.header.Get("Location")
			w.as(who).do("POST", path+"/submission", nil, "If-Match", made.etag()).want(200)
			var plan service.Plan
			w.as(who).do("POST", in("/plans"), validBodies()["submit-plan"]).want(201).into(&plan)
			ids[who] = strings.NewReplacer("{person}", who, "{trainee}", who, "{case}", path[strings.LastIndex(path, "/")+1:], "{plan}", string(plan.ID), "{version}", "1",
				"{scenario}", scenarioID())
		}
		walk := func(whose string) (answered []string) {
			for _, op := range described(w) {
				rest, inside := strings.CutPrefix(op.Path, base)
				if op.Method != http.MethodGet || !inside {
					continue
				}
				path := ids[whose].Replace(in(rest))
				if op.OperationID == "standing-difference" {
					path += "?from=2026-05-01"
				}
				got := w.as("yuki").do("GET", path, nil)
				if text := string(got.body); got.status == 200 && (strings.Contains(text, "Ines") || strings.Contains(text, `"ines"`)) {
					t.Errorf("%s tells of ines: %s", got.request, text)
				}
				if got.status == 200 && strings.ContainsAny(rest, "{") && slices.ContainsFunc([]string{"{person}", "{trainee}", "{case}", "{plan}"}, func(id string) bool { return strings.Contains(rest, id) }) {
					answered = append(answered, op.OperationID)
				}
				if got.status == 200 && strings.HasPrefix(rest, "/viewing") {
					answered = append(answered, op.OperationID)
				}
			}
			return answered
		}
		if got := walk("ines"); !slices.Equal(got, []string{"viewing"}) {
			t.Errorf("with the ids of ines: %v", got)
		}
		before := w.readings()
		if before != 0 {
			t.Errorf("%d readings are logged when nothing was read", before)
		}
		inside := walk("kofi")
		for _, id := range inside {
			if !slices.Contains(reviewerMay, id) {
				t.Errorf("%s answers a reviewer", id)
			}
		}
		for _, id := range []string{"standing", "growth", "case", "case-versions", "plan", "comparison", "viewing"} {
			if !slices.Contains(inside, id) {
				t.Errorf("%s refuses a chosen trainee; %v answer", id, inside)
			}
		}
		if got := w.readings() - before; got < len(inside)-1 { // all but viewing itself
			t.Errorf("%d readings are logged of %v", got, inside)
		}
		w.letSee("yuki", store.ViewingChoice{Trainees: []competency.PersonID{"kofi"}, Figures: store.FiguresRows}, "2026-06-10")
		w.clock.advance(9 * 24 * time.Hour) // the last day
		w.clients = map[string]*client{}
		w.as("yuki").do("GET", in("/trainees/kofi/standing"), nil).want(200)
		w.as("yuki").do("GET", in("/viewing/figures"), nil).want(200)
		w.clock.advance(24 * time.Hour)
		w.clients = map[string]*client{}
		logged := w.readings()
		if got := walk("kofi"); !slices.Equal(got, []string{"viewing"}) || w.readings() != logged {
			t.Errorf("after the last day: %v", got)
		}
		var own service.ViewingGiven
		if w.as("yuki").do("GET", in("/viewing"), nil).want(200).into(&own); !own.Ended || len(own.Trainees) != 0 || own.Figures != "" {
			t.Errorf("after the last day: %+v", own)
		}
		w.letSee("yuki", store.ViewingChoice{}, "2026-08-01")
		if got := walk("kofi"); !slices.Equal(got, []string{"viewing"}) {
			t.Errorf("with nothing chosen: %v", got)
		}
	})
}

// readings counts what reviewers read by the audit trail.
func (w *world) readings() int {
	w.Helper()
	var n int
	w.must(w.store.DB().QueryRowContext(w.Context(), "SELECT COUNT(*) FROM audit_entries WHERE act = 'reviewer.read'").Scan(&n))
	return n
}

// TestInvitedReviewer: the director invites a reviewer with a choice and a last day; without either it is refused. Who accepts sees the choice
// alone, the director sees what they read, and a new choice replaces the first.
func TestInvitedReviewer(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		path, _ := w.submitted(biatrial())
		chosen := map[string]any{"trainees": []string{"ines"}, "figures": "counts"}
		role := func(until string, viewing any) map[string]any {
			term := map[string]any{"role": "reviewer", "viewing": viewing}
			if until != "" {
				term["until"] = until
			}
			return term
		}
		for what, term := range map[string]any{
			"no last day": role("", chosen), "91 days": role("2026-08-31", chosen), "no choice": role("2026-07-01", nil), "an empty choice": role("2026-07-01", map[string]any{}),
			"no trainee": role("2026-07-01", map[string]any{"trainees": []string{"mei"}}), "one twice": role("2026-07-01", map[string]any{"trainees": []string{"ines", "ines"}}),
			"other figures": role("2026-07-01", map[string]any{"figures": "names"}), "a trainee with a choice": map[string]any{"role": "trainee", "viewing": chosen},
		} {
			before := w.state()
			got := w.as("amara").do("POST", in("/invitations"), map[string]any{"email": "nia@example.org", "roles": []any{term}})
			if got.status != 422 {
				t.Errorf("%s: %d %s", what, got.status, got.body)
			}
			w.unchanged(before, what)
		}
		body := map[string]any{"email": "nia@example.org", "roles": []any{role("2026-08-30", chosen)}}
		w.as("jonas").do("POST", in("/invitations"), body).want(403)
		var made service.InvitationView
		w.as("amara").do("POST", in("/invitations"), body).want(201).into(&made)
		token := made.Link[strings.Index(made.Link, "#")+1:]
		if shown := w.anonymous().do("POST", "/api/invitation", map[string]string{"token": token}).want(200); strings.Contains(string(shown.body), "ines") {
			t.Errorf("the link tells whom it is about: %s", shown.body)
		}
		w.anonymous().do("POST", "/api/invitation/acceptance", map[string]string{"token": token, "name": "Nia", "password": password}).want(200)
		nia := w.as("nia")
		var own service.ViewingGiven
		if nia.do("GET", in("/viewing"), nil).want(200).into(&own); own.Until != "2026-08-30" || own.Ended || len(own.Trainees) != 1 || own.Trainees[0].Name != "Ines" || own.Figures != "counts" {
			t.Errorf("nia may see %+v", own)
		}
		nia.do("GET", path, nil).want(200)
		nia.do("GET", in("/trainees/kofi/standing"), nil).want(403)
		nia.do("GET", in("/cohort"), nil).want(403)
		var figures service.CohortFigures
		if nia.do("GET", in("/viewing/figures"), nil).want(200).into(&figures); figures.Trainees != nil || len(figures.Requirements) != 0 || figures.Rows != nil || figures.Limit != 5 {
			t.Errorf("two trainees are below the limit: %+v", figures)
		}
		var members service.List[service.MemberRecord]
		w.as("amara").do("GET", in("/members"), nil).want(200).into(&members)
		person := string(members.Items[slices.IndexFunc(members.Items, func(m service.MemberRecord) bool { return m.Name == "Nia" })].ID)
		var read service.List[service.Reading]
		w.as("amara").do("GET", in("/members/"+person+"/readings"), nil).want(200).into(&read)
		if len(read.Items) != 2 || read.Items[0].Object != "figures" || read.Items[1].Object != "case" || read.Items[1].Trainee.Name != "Ines" {
			t.Errorf("nia read %+v", read.Items)
		}
		for _, who := range []string{"jonas", "ruth", "nia", "mei"} {
			w.as(who).do("GET", in("/members/"+person+"/readings"), nil).want(403)
			w.as(who).do("PUT", in("/members/"+person+"/viewing"), validBodies()["set-viewing"]).want(403)
		}
		w.as("amara").do("PUT", in("/members/"+person+"/viewing"), map[string]any{"trainees": []string{"kofi"}, "until": "2026-09-01"}).want(422)
		w.as("amara").do("PUT", in("/members/"+person+"/viewing"), map[string]any{"trainees": []string{"kofi"}, "until": "2026-06-02"}).want(200)
		nia.do("GET", path, nil).want(403)
		nia.do("GET", in("/viewing/figures"), nil).want(403)
		nia.do("GET", in("/trainees/kofi/standing"), nil).want(200)
		w.as("amara").do("POST", in("/members/"+person+"/role-end"), map[string]any{"role": "reviewer", "from": "2026-06-01", "until": "2026-06-01"}).want(200)
		w.clock.advance(24 * time.Hour)
		w.clients = map[string]*client{}
		w.as("nia").do("GET", in("/viewing"), nil).want(404) // no member any more
	})
}

// TestFiguresWithoutNames: enough trainees are counted without a name, small counts are hidden, and rows come only when chosen.
func TestFiguresWithoutNames(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	for _, name := range []string{"tara", "ueli", "vera", "wim"} {
		w.write(north, func(tx *store.Tx) error {
			id := competency.PersonID(name)
			if err := tx.CreatePerson(store.Person{ID: id, Email: name + "@example.org", Name: strings.ToUpper(name), PasswordHash: hashed(), CreatedAt: w.clock.Now()}); err != nil {
				return err
			}
			if err := tx.AddMembership(store.Membership{Programme: north, Person: id, Role: "trainee", From: joined}); err != nil {
				return err
			}
			return tx.Audit("person", name, nil, name)
		})
	}
	var rows service.CohortFigures
	got := w.as("yuki").do("GET", in("/viewing/figures"), nil).want(200).into(&rows)
	if rows.Trainees == nil || *rows.Trainees != 6 || len(rows.Rows) != 6 || len(rows.Requirements) == 0 || rows.Caution == "" {
		t.Errorf("figures %+v", rows)
	}
	for _, word := range []string{`"ines"`, "Ines", "kofi", "tara", "TARA", `"since"`, `"site"`} {
		if strings.Contains(string(got.body), word) {
			t.Errorf("the figures tell %s: %s", word, got.body)
		}
	}
	w.letSee("yuki", store.ViewingChoice{Figures: store.FiguresCounts}, "2026-07-01")
	var counts service.CohortFigures
	if w.as("yuki").do("GET", in("/viewing/figures"), nil).want(200).into(&counts); len(counts.Rows) != 0 || *counts.Trainees != 6 || len(counts.Requirements) == 0 {
		t.Errorf("counts %+v", counts)
	}
	for _, r := range counts.Requirements {
		if len(r.States) != 5 {
			t.Errorf("%s: %+v", r.ID, r.States)
		}
		for _, state := range r.States {
			if state.Count != nil && *state.Count > 0 && *state.Count < counts.Limit {
				t.Errorf("%s: %d %s", r.ID, *state.Count, state.State)
			}
		}
	}
}

// openToMembers are the reads that answer any member, a reviewer too: rules, catalogues and what is the actor's own; nothing of a person's record.
var openToMembers = []string{
	"import-template", "programme", "reminders", "scenario", "scenarios", "scope-policies", "scope-policy-in-force", "settings-versions", "standard", "standards", "viewing",
}

// TestReviewerReadsNothingElse asks for everything there is, each thing by its own id: beside the invitation a reviewer gets what is open to every
// member, and nothing of questions, tests, panels, meetings, decisions, simulations or reports.
func TestReviewerReadsNothingElse(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	path, _ := w.submitted(biatrial())
	var plan service.Plan
	w.as("ines").do("POST", in("/plans"), validBodies()["submit-plan"]).want(201).into(&plan)
	var sitting service.SittingView
	w.as("ines").do("POST", in("/sittings"), validBodies()["start-sitting"]).want(201).into(&sitting)
	var quiz service.QuizView
	w.as("kofi").do("POST", in("/quizzes"), validBodies()["start-quiz"]).want(201).into(&quiz)
	w.as("mei").do("POST", in("/library"), map[string]any{"scenario": toldAgain("own-scenario")}).want(201)
	w.as("mei").do("POST", in("/questions"), asks{stairs("own-question")}).want(201)
	meeting := w.called()
	decision := w.decided(meeting)
	test, panel := w.panelled()
	w.letSee("yuki", store.ViewingChoice{Trainees: []competency.PersonID{"kofi"}}, "2026-06-10")
	last := func(path string) string { return path[strings.LastIndex(path, "/")+1:] }
	ids := strings.NewReplacer("{person}", "ines", "{trainee}", "ines", "{case}", last(path), "{plan}", string(plan.ID), "{sitting}", string(sitting.ID), "{quiz}", string(quiz.ID), "{scenario}", scenarioID(),
		"{version}", "1", "{edition}", "own-scenario", "{question}", "own-question", "{test}", test, "{panel}", panel, "{meeting}", last(meeting), "{decision}", last(decision),
		"{simulation}", w.simulation(), "{report}", w.reported("amara", `{"kind":"portfolio","trainee":"ines"}`))
	var answered []string
	for _, op := range described(w) {
		rest, inside := strings.CutPrefix(op.Path, base)
		if op.Method != http.MethodGet || !inside {
			continue
		}
		path := in(ids.Replace(rest))
		if op.OperationID == "standing-difference" {
			path += "?from=2026-05-01"
		}
		got := w.as("yuki").do("GET", path, nil)
		if got.status == 200 {
			answered = append(answered, op.OperationID)
		}
		if got.status == 400 || got.status == 422 || got.status >= 500 {
			t.Errorf("%s = %d proves nothing: %s", got.request, got.status, got.body)
		}
	}
	slices.Sort(answered)
	if want := slices.Sorted(slices.Values(openToMembers)); !slices.Equal(answered, want) {
		t.Errorf("a reviewer reads %q,\nwant %q", answered, want)
	}
}
