package main

import (
	"fmt"
	"testing"

	"isthmus/competency"
)

// TestSharedCases: two trainees log one operation. The second is told that the first has a case like it and says that it is the same; the
// supervisor is told what both claim alone; and who enters an operation twice is warned.
func TestSharedCases(t *testing.T) {
	browser := openBrowser(t)
	base, programme := serveDemo(t)
	mateo := newVisitor(t, browser, base, 390)
	signIn(mateo, "mateo")
	mateo.see("What to do next")
	first := logToday(mateo, programme)
	hana := newVisitor(t, browser, base, 390)
	signIn(hana, "hana")
	hana.see("What to do next")
	second := logToday(hana, programme)
	hana.visit("/cases/" + second)
	hana.see("has a case with the same date, site, operation and supervisor")
	hana.press("It is the same operation")
	hana.see("Also logged by Mateo Yilmaz.")
	hana.see("said that another trainee's case is of the same operation")
	hana.audit("shared case")

	supervisor := newVisitor(t, browser, base, 1280)
	signIn(supervisor, supervisorOf(hana, programme, second))
	supervisor.see("Inbox")
	supervisor.visit("/cases/" + second)
	supervisor.see("Claimed alone by more than one trainee")
	supervisor.audit("steps claimed twice")
	supervisor.visit("/inbox")
	supervisor.see("claimed twice")

	again := draftAgain(mateo, programme, first)
	mateo.visit("/cases/" + again + "/edit")
	mateo.see("You already have a case with this date, site and operation")
	mateo.audit("alike case")
}

// asking is JavaScript that asks the API from within the page and gives the answer's body and ETag.
const asking = `const ask = async (method, path, body, tag) => { const r = await fetch("/api/programmes/%s" + path,
	{method, headers: {"Content-Type": "application/json", ...(tag ? {"If-Match": tag} : {})}, body: body && JSON.stringify(body)});
	if (!r.ok) throw new Error(method + " " + path + " " + r.status + " " + await r.text()); return {body: await r.json(), tag: r.headers.get("ETag")} };`

// logToday submits a case of an operation three days ago, every step by the trainee: the same record whoever logs it.
func logToday(v *visitor, programme competency.ProgrammeID) string {
	v.t.Helper()
	return eval[string](v, fmt.Sprintf(`(async () => { `+asking+`
		const people = (await ask("GET", "/people?role=faculty")).body.items, site = (await ask("GET", "")).body.settings.sites[0];
		const day = new Date(Date.now() - 3 * 864e5).toISOString().slice(0, 10);
		const precision = (await ask("GET", "")).body.settings.date_precision;
		const lesions = ["left-pulmonary-vein-isolation", "right-pulmonary-vein-isolation"].map(lesion => ({lesion, energy: "bipolar-rf", applications: 2, block: "exit-and-entrance"}));
		const record = {supervisor: people[0].id, site, operated_on: precision === "month" ? day.slice(0, 7) : day, af: {continuous_months: 8, longest_episode_days: 0, ends: "does-not-end", rhythm_control_pursued: true},
			left_atrium_band: "45-49", operation: "coronary", approach: "sternotomy", urgency: "elective", on_bypass: true, left_atrium_opened: false, lesions,
			left_appendage: {state: "kept"}, steps: lesions.map(l => ({step: l.lesion, performed_by: "trainee"})), events: []};
		const made = await ask("POST", "/cases", {record});
		await ask("POST", "/cases/" + made.body.case.id + "/submission", {}, made.tag);
		return made.body.case.id })()`, programme))
}

// draftAgain begins a case with the record of another of the visitor's.
func draftAgain(v *visitor, programme competency.ProgrammeID, of string) string {
	v.t.Helper()
	return eval[string](v, fmt.Sprintf(`(async () => { `+asking+`
		const record = (await ask("GET", "/cases/%s")).body.case.record;
		return (await ask("POST", "/cases", {record})).body.case.id })()`, programme, of))
}

// supervisorOf is the first name of a case's supervisor, as people sign in in the demo.
func supervisorOf(v *visitor, programme competency.ProgrammeID, of string) string {
	v.t.Helper()
	return eval[string](v, fmt.Sprintf(`(async () => { `+asking+`
		return (await ask("GET", "/cases/%s")).body.supervisor_name.split(" ")[0].toLowerCase() })()`, programme, of))
}
