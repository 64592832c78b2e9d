package api

import (
	"strings"
	"testing"
	"time"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/competency"
	"isthmus/policies"
)

// seated adds people to the committee.
func (w *world) seated(people ...string) {
	w.write(north, func(tx *store.Tx) error {
		for _, person := range people {
			if err := tx.AddMembership(store.Membership{Programme: north, Person: competency.PersonID(person), Role: string(policies.Committee), From: joined}); err != nil {
				return err
			}
		}
		return tx.Audit("membership", "committee", nil, people)
	})
}

// called calls a meeting about ines and kofi, in which ruth, mei and leila sit.
func (w *world) called() string {
	w.seated("mei", "leila")
	body := map[string]any{"held_on": "2026-06-01", "trainees": []string{"ines", "kofi"}, "members": []string{"ruth", "mei", "leila"}}
	return w.as("amara").do("POST", in("/meetings"), body).want(201).header.Get("Location")
}

// decided records an outcome about kofi in a meeting.
func (w *world) decided(path string) string {
	hash := w.meetingOf("amara", path).Turns[1].Standing.EvidenceHash
	body := map[string]any{"outcome": "continue", "reasons": "The thresholds are not reached yet.", "evidence_hash": hash}
	return w.as("amara").do("POST", path+"/trainees/kofi/decision", body).want(201).header.Get("Location")
}

// meetingOf is a meeting as somebody sees it.
func (w *world) meetingOf(who, path string) (view service.MeetingView) {
	w.as(who).do("GET", path, nil).want(200).into(&view)
	return view
}

// TestMeeting goes through a meeting: who sees whose vote when, who must keep out, what is frozen, and what the trainee reads.
func TestMeeting(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		w.signedCase()
		path := w.called()
		turn := path + "/trainees/ines"
		w.as("leila").do("POST", turn+"/conflicts", `{"reason":"Shares a household."}`).want(200)
		w.as("leila").do("POST", turn+"/votes", `{"outcome":"independent"}`).want(403)
		w.as("ruth").do("POST", turn+"/votes", `{"outcome":"remediate","remark":"Too few cases."}`).want(200)
		w.as("ruth").do("POST", turn+"/votes", `{"outcome":"continue","remark":"Too few cases."}`).want(200)
		if m := w.meetingOf("mei", path).Turns[0]; m.Voted != 1 || m.Votes != nil || m.OwnVote != nil {
			t.Errorf("mei sees %+v before her own vote", m.Votes)
		}
		w.as("mei").do("POST", turn+"/votes", `{"outcome":"independent"}`).want(200)
		if m := w.meetingOf("mei", path).Turns[0]; m.Voted != 2 || len(m.Votes) != 2 || m.Votes[0].Outcome != "continue" || m.OwnVote == nil {
			t.Errorf("mei sees %+v", m)
		}
		if m := w.meetingOf("leila", path).Turns[0]; m.Votes != nil || len(m.Conflicts) != 1 || m.Conflicts[0].Name != "Leila" || len(m.May) != 0 {
			t.Errorf("leila sees %+v, may %v", m.Votes, m.May)
		}
		seen := w.meetingOf("amara", path)
		if len(seen.Turns[0].Votes) != 2 || seen.Caution == "" || strings.Join(seen.Turns[0].May, " ") != "decide" || seen.Turns[1].Trainee.ID != "kofi" {
			t.Errorf("the director sees %+v", seen.Turns[0])
		}
		for _, who := range []string{"ines", "kofi", "jonas", "yuki", "oskar"} {
			w.as(who).do("GET", path, nil).want(403)
			w.as(who).do("POST", turn+"/votes", `{"outcome":"continue"}`).want(403)
		}
		body := map[string]any{"outcome": "continue", "reasons": "The thresholds are not reached yet.", "evidence_hash": seen.Turns[0].Standing.EvidenceHash}
		w.as("ruth").do("POST", turn+"/decision", body).want(403)
		w.signedCase() // new evidence meanwhile
		w.as("amara").do("POST", turn+"/decision", body).want(412)
		body["evidence_hash"] = w.meetingOf("amara", path).Turns[0].Standing.EvidenceHash
		made := w.as("amara").do("POST", turn+"/decision", body).want(201)
		w.as("amara").do("POST", turn+"/decision", body).want(409)
		w.as("ruth").do("POST", turn+"/votes", `{"outcome":"remediate"}`).want(409)
		w.readsDecision(made.header.Get("Location"))
		w.reversed(made)
	})
}

// readsDecision: the trainee sees reasons and numbers, not who said what, and answers once; nobody else's business is shown.
func (w *world) readsDecision(path string) {
	w.Helper()
	var own, full service.DecisionView
	w.as("ines").do("GET", path, nil).want(200).into(&own)
	if own.Reasons == "" || own.Caution == "" || len(own.Votes)+len(own.Conflicts)+len(own.NamedVotes) != 0 || len(own.Tally) != 2 || own.SignerName != "Amara" || own.Meaning == "" {
		w.Errorf("ines reads %+v", own)
	}
	w.as("ruth").do("GET", path, nil).want(200).into(&full)
	if len(full.NamedVotes) != 2 || len(full.NamedConflicts) != 1 || !full.Decision.Holds() || len(full.NotMet) == 0 || full.Standing.EvidenceHash == "" {
		w.Errorf("ruth reads %+v", full)
	}
	w.as("mei").do("GET", path, nil).want(200)
	for _, who := range []string{"kofi", "jonas", "yuki"} {
		w.as(who).do("GET", path, nil).want(403)
	}
	w.as("kofi").do("POST", path+"/response", `{"text":"Not mine."}`).want(403)
	w.as("ines").do("POST", path+"/response", `{"text":"x"}`).want(422)
	w.as("ines").do("POST", path+"/response", `{"text":"I have read it and agree."}`).want(200).into(&own)
	w.as("ines").do("POST", path+"/response", `{"text":"And again."}`).want(409)
	if own.Response == nil || len(own.May) != 0 {
		w.Errorf("after the answer %+v", own)
	}
}

// reversed: only a later meeting's decision takes the place of one, and the audit trail holds.
func (w *world) reversed(first *reply) {
	w.Helper()
	var before, after service.DecisionView
	first.into(&before)
	body := map[string]any{"held_on": "2026-06-01", "trainees": []string{"ines"}, "members": []string{"ruth"}}
	path := w.as("amara").do("POST", in("/meetings"), body).want(201).header.Get("Location")
	turn := w.meetingOf("amara", path).Turns[0]
	if turn.Before == nil || turn.Before.ID != before.ID {
		w.Errorf("the decision before is %+v", turn.Before)
	}
	verdict := map[string]any{"outcome": "independent-with-conditions", "conditions": "With somebody at call for six months.", "reasons": "All of it was seen since.", "evidence_hash": turn.Standing.EvidenceHash}
	w.as("amara").do("POST", path+"/trainees/ines/decision", verdict).want(201).into(&after)
	w.as("ines").do("GET", first.header.Get("Location"), nil).want(200).into(&before)
	if after.Follows != before.ID || before.SupersededBy != after.ID {
		w.Errorf("%s follows %s, which says %s", after.ID, after.Follows, before.SupersededBy)
	}
	var list service.List[service.DecisionSummary]
	w.as("ines").do("GET", in("/trainees/ines/decisions"), nil).want(200).into(&list)
	if len(list.Items) != 2 || list.Items[0].Superseded || !list.Items[1].Superseded || list.Caution == "" {
		w.Errorf("decisions %+v", list)
	}
	report, err := w.store.VerifyAudit(w.Context())
	if err != nil || !report.Sound() {
		w.Errorf("%+v, %v", report, err)
	}
}

// TestMeetingRefused: what cannot be called, and a decision without a fresh proof.
func TestMeetingRefused(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		path := w.called()
		before := w.state()
		for name, body := range map[string]map[string]any{
			"nobody to speak of":         {"held_on": "2026-06-01", "trainees": []string{}, "members": []string{"ruth"}},
			"a trainee who is none":      {"held_on": "2026-06-01", "trainees": []string{"mei"}, "members": []string{"ruth"}},
			"a member who is none":       {"held_on": "2026-06-01", "trainees": []string{"ines"}, "members": []string{"yuki"}},
			"twice":                      {"held_on": "2026-06-01", "trainees": []string{"ines", "ines"}, "members": []string{"ruth"}},
			"no day":                     {"held_on": "soon", "trainees": []string{"ines"}, "members": []string{"ruth"}},
			"a day far off":              {"held_on": "2031-06-01", "trainees": []string{"ines"}, "members": []string{"ruth"}},
			"a patient in the note":      {"held_on": "2026-06-01", "note": "About Mrs Oakwood", "trainees": []string{"ines"}, "members": []string{"ruth"}},
			"somebody of the other wall": {"held_on": "2026-06-01", "trainees": []string{"stranger"}, "members": []string{"ruth"}},
		} {
			if got := w.as("amara").do("POST", in("/meetings"), body); got.status != 422 {
				t.Errorf("%s = %d", name, got.status)
			}
		}
		for _, who := range []string{"ruth", "mei", "jonas", "ines"} {
			w.as(who).do("POST", in("/meetings"), validBodies()["call-meeting"]).want(403)
		}
		turn := w.meetingOf("amara", path).Turns[1]
		body := map[string]any{"outcome": "continue", "reasons": "The thresholds are not reached yet.", "evidence_hash": turn.Standing.EvidenceHash}
		w.clock.advance(competency.DefaultSigningMinutes*time.Minute + time.Microsecond)
		got := w.as("amara").do("POST", path+"/trainees/kofi/decision", body)
		if got.status != 403 || got.problem().Type != "/problems/proof-needed" {
			t.Errorf("an old proof = %d %s", got.status, got.problem().Type)
		}
		w.as("amara").do("POST", path+"/trainees/mei/decision", body).want(404)
		w.unchanged(before, "refused meetings and decisions")
	})
}
