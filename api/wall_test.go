package api

import (
	"strings"
	"testing"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/assessment"
	"isthmus/assessment/pack"
	"isthmus/competency"
)

// scenarioID is a live scenario.
func scenarioID() string { return string(pack.Scenarios()[0].ID) }

// validBodies are bodies that would be accepted, by operation.
func validBodies() map[string]any {
	return map[string]any{
		"check-import": importBody("operated_on\n2026-05-28\n"), "create-import": importBody("operated_on\n2026-05-28\n"),
		"conduction": `{"lesions":[]}`, "activation": `{"lesions":[]}`, "create-case": recordOf{biatrial()}, "preview-case": recordOf{biatrial()}, "edit-case": recordOf{biatrial()},
		"submit-plan": map[string]any{"scenario": scenarioID(), "plan": pack.Scenarios()[0].Expert[0].Plan},
		"amend-case":  `{"reason":"A line is missing."}`, "restore-case": `{"reason":"It was right."}`, "return-case": `{"reason":"Look again."}`, "withdraw-case": `{"reason":"Logged twice."}`, "sign-off-case": statement(biatrial()),
		"create-edition": map[string]any{"scenario": toldAgain("other-scenario")}, "edit-edition": map[string]any{"scenario": toldAgain("own-scenario")},
		"check-scenario": map[string]any{"scenario": toldAgain("own-scenario")}, "return-edition": `{"reason":"Say why."}`, "retire-edition": `{"reason":"Told twice."}`,
		"create-question": asks{stairs("other-question")}, "edit-question": asks{stairs("own-question")}, "check-question": asks{stairs("own-question")},
		"return-question": `{"reason":"Say why."}`, "retire-question": `{"reason":"Asked twice."}`, "create-test": ownTest(), "edit-test": ownTest(), "check-test": ownTest(), "retire-test": `{"reason":"Too easy."}`,
		"call-panel": `{"method":"angoff","judges":["mei"]}`, "rate-panel": `{"ratings":{}}`, "withdraw-panel": `{"reason":"Called twice."}`, "adopt-panel": `{"reason":"Agreed upon."}`,
		"check-question-import": `{"file":"eA==","name":"x.csv"}`, "import-questions": `{"file":"eA==","name":"x.csv"}`,
		"save-case-pattern": map[string]any{"name": "Usual", "record": biatrial()}, "rename-case-pattern": `{"name":"Other"}`, "join-case": `{"with":"none"}`,
		"preview-settings": map[string]any{"settings": competency.Defaults()},
		"change-settings":  map[string]any{"after": 0, "settings": competency.Defaults(), "reason": "Say why here."},
		"give-role":        `{"role":"faculty","from":"2027-01-01"}`, "set-role-end": `{"role":"trainee","from":"2026-01-05","until":"2027-01-01"}`,
		"check-roster": rosterOf(), "import-roster": rosterOf(),
		"add-rotation": `{"site":"Main site"}`, "set-rotation-end": `{"until":"2027-01-01"}`, "invite": `{"email":"nia@example.org","roles":[{"role":"trainee"}]}`,
		"start-quiz": `{"mode":"practice","topic":"lines"}`, "save-quiz": `{"replies":[]}`,
		"lesions": `{"lesions":[]}`, "start-sitting": map[string]string{"scenario": scenarioID()}, "save-sitting": `{"plan":{"lesions":[]}}`,
		"add-scope-policy":     map[string]any{"policy": ownPolicy(1), "in_force_from": "2026-07-01"},
		"preview-scope-policy": map[string]any{"policy": ownPolicy(1)},
		"add-follow-up":        map[string]any{"follow_up": monthThree()}, "amend-follow-up": map[string]any{"follow_up": monthThree(), "reason": "It was read wrongly."},
		"save-case-key": map[string]any{"case_key": keyOf("1")}, "find-cases": map[string]any{"case_key": keyOf("1")},
		"call-meeting": map[string]any{"held_on": "2026-06-01", "trainees": []string{"ines"}, "members": []string{"ruth"}},
		"vote":         `{"outcome":"continue"}`, "declare-conflict": `{"reason":"Shares a household."}`, "respond": `{"text":"I have read it."}`,
		"decide":         `{"outcome":"continue","reasons":"The thresholds are not reached.","evidence_hash":"0"}`,
		"add-standard":   map[string]any{"yaml": string(competency.ExampleStandardYAML()), "in_force_from": "2026-07-01"},
		"check-standard": map[string]any{"yaml": string(competency.ExampleStandardYAML())},
		"move-trainee":   `{"version":1,"reason":"Asked for it."}`, "create-simulation": simulationOrder(), "choose-delivery": `{"deliver":false,"after":0}`, "create-report": `{"kind":"portfolio","trainee":"ines"}`,
		"set-viewing": `{"trainees":["ines"],"until":"2026-07-01"}`,
	}
}

// toldAgain is a scenario of a programme's own: a starter scenario told again.
func toldAgain(id assessment.ScenarioID) assessment.Scenario {
	s := pack.Scenarios()[0]
	s.ID, s.Title = id, "Told again: "+s.Title
	return s
}

// ownPolicy is a version of a programme's own scope policy.
func ownPolicy(version int) assessment.Policy {
	policy := assessment.DefaultPolicy()
	policy.ID, policy.Version = "northern", version
	return policy
}

// TestWalls tries every operation of a programme as a member of another one who has every role there: first with the foreign
// programme's address, then with the own programme's address and foreign ids. All of it is not found, and nothing changes.
func TestWalls(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		path, tag := w.submitted(biatrial())
		var plan service.Plan
		w.as("ines").do("POST", in("/plans"), validBodies()["submit-plan"]).want(201).into(&plan)
		var sitting service.SittingView
		w.as("ines").do("POST", in("/sittings"), validBodies()["start-sitting"]).want(201).into(&sitting)
		var quiz service.QuizView
		w.as("kofi").do("POST", in("/quizzes"), validBodies()["start-quiz"]).want(201).into(&quiz)
		invited := w.invite("jonas", "nia@example.org", "trainee")
		rotation := w.rotate("jonas", "ines")
		meeting := w.called()
		decision := w.decided(meeting)
		test, panel := w.panelled()
		ids := strings.NewReplacer("{person}", "ines", "{invitation}", invited.ID, "{rotation}", rotation, "{case}", path[strings.LastIndex(path, "/")+1:], "{plan}", string(plan.ID), "{sitting}", string(sitting.ID), "{quiz}", string(quiz.ID), "{scenario}", scenarioID(), "{trainee}", "ines", "{version}", "1", "{edition}", "own-scenario", "{question}", "own-question", "{test}", test, "{panel}", panel, "{follow_up}", "none", "{pattern}", "none", "{meeting}", meeting[strings.LastIndex(meeting, "/")+1:], "{decision}", decision[strings.LastIndex(decision, "/")+1:], "{simulation}", w.simulation(), "{report}", w.reported("amara", `{"kind":"portfolio","trainee":"ines"}`))
		w.as("mei").do("POST", in("/library"), map[string]any{"scenario": toldAgain("own-scenario")}).want(201)
		w.as("mei").do("POST", in("/questions"), asks{stairs("own-question")}).want(201)
		tried := 0
		for _, op := range described(w) {
			rest, inside := strings.CutPrefix(op.Path, base)
			if !inside {
				continue
			}
			tried++
			body := validBodies()[op.OperationID]
			if op.RequestBody != nil && body == nil {
				t.Errorf("%s needs a body here", op.OperationID)
			}
			for _, programme := range []competency.ProgrammeID{north, south} {
				shared := !strings.Contains(rest, "{edition}") && (strings.Contains(rest, "{scenario}") || strings.Contains(rest, "{version}")) // every programme has these
				if programme == south && (!strings.Contains(rest, "{") || shared) {
					continue // nothing foreign in it
				}
				before := w.state()
				got := w.as("stranger").do(op.Method, at(programme, ids.Replace(rest)), body, "If-Match", tag, "Idempotency-Key", op.OperationID)
				if got.status != 404 || got.problem().Type != "/problems/not-found" {
					t.Errorf("%s = %d, want 404: %s", got.request, got.status, got.body)
				}
				w.unchanged(before, got.request)
			}
			w.as("nobody").do(op.Method, at(north, ids.Replace(rest)), body, "If-Match", tag).want(404)
			w.anonymous().do(op.Method, at(north, ids.Replace(rest)), body, "If-Match", tag).want(401)
		}
		if tried < 20 {
			t.Errorf("only %d operations tried", tried)
		}
		var list service.List[service.CaseSummary]
		w.as("stranger").do("GET", at(south, "/cases?trainee=ines"), nil).want(200).into(&list)
		if len(list.Items) != 0 {
			t.Errorf("a list of another programme: %+v", list.Items)
		}
		var plans service.List[service.PlanSummary]
		w.as("stranger").do("GET", at(south, "/plans?trainee=ines"), nil).want(200).into(&plans)
		if len(plans.Items) != 0 {
			t.Errorf("a list of another programme: %+v", plans.Items)
		}
	})
}

// TestFormerMembers: a membership that has ended opens nothing any more, and one that has not begun nothing yet.
func TestFormerMembers(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		w.write(south, func(tx *store.Tx) error {
			for _, m := range []store.Membership{
				{Programme: south, Person: "kofi", Role: "trainee", From: "2026-01-01", Until: "2026-05-31"},
				{Programme: south, Person: "leila", Role: "faculty", From: "2026-06-02"},
			} {
				if err := tx.AddMembership(m); err != nil {
					return err
				}
			}
			return tx.Audit("membership", "kofi", nil, "kofi")
		})
		for _, name := range []string{"kofi", "leila"} {
			w.as(name).do("GET", at(south, ""), nil).want(404)
			var session Session
			w.as(name).do("GET", "/api/session", nil).want(200).into(&session)
			if len(session.Memberships) != 1 || session.Memberships[0].Programme != north {
				t.Errorf("%s belongs to %+v", name, session.Memberships)
			}
		}
	})
}
