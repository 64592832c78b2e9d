package main

import (
	"encoding/json"
	"fmt"
	"testing"
)

// caseNote is the note and the revision of a case as the server has it.
func (v *visitor) caseNote(id string) (note string) {
	v.t.Helper()
	return eval[string](v, fmt.Sprintf(`(async () => { const base = "/api/programmes/" + (await (await fetch("/api/session")).json()).memberships[0].programme;
		return (await (await fetch(base + "/cases/" + %q)).json()).case.record.note || ""; })()`, id))
}

// elsewhere changes a draft as another device would, and keeps a change of the same one on this device that was made before.
func (v *visitor) elsewhere(record map[string]any, id, theirs, mine string) {
	v.t.Helper()
	bodies := []string{}
	for _, note := range []string{theirs, mine} {
		own := map[string]any{}
		for field, value := range record {
			own[field] = value
		}
		own["note"] = note
		text, err := json.Marshal(map[string]any{"record": own})
		if err != nil {
			v.t.Fatal(err)
		}
		bodies = append(bodies, string(text))
	}
	if status := eval[int](v, fmt.Sprintf(`(async () => { const base = "/api/programmes/" + (await (await fetch("/api/session")).json()).memberships[0].programme;
		return (await fetch(base + "/cases/" + %q, {method: "PUT", headers: {"content-type": "application/json", "if-match": '"1"'}, body: %q})).status; })()`, id, bodies[0])); status != 200 {
		v.t.Fatalf("the change elsewhere = %d", status)
	}
	eval[string](v, app("parts/outbox.js", fmt.Sprintf(`m => m.enqueue("case", %s, {id: %q, base: 1, name: "A draft"}).then(async kept => (await kept.outcome).kind)`, bodies[1], id)))
}

// TestWaitingStates shows what was refused and what was changed elsewhere too: both versions side by side, one of them chosen, nothing merged.
func TestWaitingStates(t *testing.T) {
	base, _ := serveUnreliably(t)
	browser := openBrowser(t)
	for _, width := range []int64{390, 1280} {
		v := newVisitor(t, browser, base, width)
		signIn(v, "ines")
		v.see("What to do next")
		record := v.ownRecord()
		first := v.enter(record, "The first draft.", "")
		second := v.enter(record, "The second draft.", "")
		v.sendAllQuietly()
		v.elsewhere(record, first, "Changed on the other device.", "Changed on this device.")
		v.elsewhere(record, second, "Also changed elsewhere.", "Kept on top.")
		refused := v.enter(record, "Seen with Dr Oakwood.", "")
		v.visit("/waiting")
		v.see("changed elsewhere too: choose")
		v.see("refused: correct it")
		v.see("Changed on the other device.")
		v.audit("waiting with conflicts")
		v.press("Keep what Isthmus has")
		v.see("The one Isthmus has is kept")
		v.press("Send what is on this device")
		v.await("the second draft to be sent", `(() => document.querySelectorAll(".queued").length === 1 ? "yes" : "")`)
		if note := v.caseNote(first); note != "Changed on the other device." {
			t.Errorf("the first draft says %q", note)
		}
		if note := v.caseNote(second); note != "Kept on top." {
			t.Errorf("the second draft says %q", note)
		}
		v.press("Delete")
		v.press("Delete it")
		v.see("Nothing waits")
		if status := eval[int](v, fmt.Sprintf(`(async () => { const base = "/api/programmes/" + (await (await fetch("/api/session")).json()).memberships[0].programme;
			return (await fetch(base + "/cases/" + %q)).status; })()`, refused)); status != 404 {
			t.Errorf("what was refused and given up = %d", status)
		}
	}
}

// sendAllQuietly sends what waits without looking.
func (v *visitor) sendAllQuietly() {
	v.t.Helper()
	eval[int](v, app("parts/outbox.js", "m => m.sendNow().then(() => 1)"))
	if left := v.waits(); left != 0 {
		v.t.Fatalf("%d still wait", left)
	}
}

// TestPlanWithoutNetwork makes a plan for practice, loses the page and finds it again, hands it in without a network, and finds it graded once the
// network is back: one plan, not two.
func TestPlanWithoutNetwork(t *testing.T) {
	base, network := serveUnreliably(t)
	v := newVisitor(t, openBrowser(t), base, 390)
	signIn(v, "noor")
	v.see("What to do next")
	v.visit("/scenarios/" + "permanent-accepted")
	v.see("Your plan")
	before := v.plans()
	v.press("Do not ablate")
	v.choose("Why not", "Risk too high")
	v.visit("/scenarios")
	v.see("Scenarios")
	v.visit("/scenarios/" + "permanent-accepted")
	v.see("You go on with what you planned here")
	v.audit("a kept plan")
	v.press("Begin anew")
	v.gone("You go on with what you planned here")
	v.press("Do not ablate")
	v.choose("Why not", "Risk too high")
	aftercare(v)
	network.noWrite.Store(true)
	v.press("Submit for grading")
	v.see("Waiting to be sent")
	v.see("waits")
	if now := v.plans(); now != before {
		t.Errorf("%d plans, want %d", now, before)
	}
	network.noWrite.Store(false)
	v.sendAll()
	if now := v.plans(); now != before+1 {
		t.Errorf("%d plans, want %d", now, before+1)
	}
	v.visit("/scenarios/" + "permanent-accepted")
	v.see("Earlier attempts")
	v.gone("You go on with what you planned here")
}

// plans counts the person's graded plans.
func (v *visitor) plans() int {
	v.t.Helper()
	return eval[int](v, `(async () => { const base = "/api/programmes/" + (await (await fetch("/api/session")).json()).memberships[0].programme;
		return (await (await fetch(base + "/plans?limit=200")).json()).items.length; })()`)
}
