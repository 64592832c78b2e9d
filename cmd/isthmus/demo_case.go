package main

import (
	"fmt"
	"slices"
	"time"

	"isthmus/api/service"
	"isthmus/assessment"
	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
	"isthmus/assessment/pack"
	"isthmus/competency"
)

// The lesions of the demo's sets, and how a set is built up: the veins, the box, the left atrial lines, the right atrial lines.
var (
	demoVeins = []atrium.LesionID{atrium.LeftPulmonaryVeinIsolation, atrium.RightPulmonaryVeinIsolation}
	demoBox   = []atrium.LesionID{atrium.RoofLine, atrium.FloorLine}
	demoLeft  = []atrium.LesionID{atrium.MitralIsthmusLine, atrium.CoronarySinusLesion, atrium.LeftAppendageLine}
	demoRight = []atrium.LesionID{atrium.IntercavalLine, atrium.FreeWallLine, atrium.RightAppendageLine}
	demoSets  = map[string][]atrium.LesionID{
		"veins": demoVeins, "box": slices.Concat(demoVeins, demoBox), "left": slices.Concat(demoVeins, demoBox, demoLeft),
		"biatrial": slices.Concat(demoVeins, demoBox, demoLeft, demoRight),
	}
	demoHistories = map[string]af.History{
		"paroxysmal":    {LongestEpisodeDays: 2, Ends: af.EndsByItself, RhythmControlPursued: true},
		"persistent":    {ContinuousMonths: 5, Ends: af.DoesNotEnd, RhythmControlPursued: true},
		"long-standing": {ContinuousMonths: 22, Ends: af.DoesNotEnd, RhythmControlPursued: true},
	}
	demoBands  = map[string]string{"paroxysmal": "40-44", "persistent": "45-49", "long-standing": "55-60"}
	demoEvents = map[int][]string{352: {"pacemaker"}, 207: {"bleeding-reoperation"}, 141: {"pacemaker"}}
)

// record is what the trainee enters of a case. skill is the trainee's own account of who did what.
func (t *demoTeller) record(c demoCase, skill int) competency.Record {
	open := c.op != "coronary" && c.op != "aortic-valve"
	r := competency.Record{
		Supervisor: t.people[c.by].ID, Site: demoSites[c.ago%len(demoSites)], OperatedOn: string(t.today.Add(-c.ago)),
		AF: demoHistories[c.af], LeftAtriumBand: demoBands[c.af], Operation: c.op, Approach: "sternotomy", Urgency: "elective",
		OnBypass: true, LeftAtriumOpened: open, Events: slices.Clone(demoEvents[c.ago]), Note: demoNotes[c.ago%len(demoNotes)],
	}
	for _, id := range demoSets[c.set] {
		r.Lesions = append(r.Lesions, demoLesion(id, open))
	}
	r.Appendage = competency.AppendageDelivered{State: atrium.AppendageExcised, Method: "excision-and-suture", Result: "closed"}
	if !open {
		r.Appendage = competency.AppendageDelivered{State: atrium.AppendageExcluded, Method: "epicardial-occluder", Result: "closed"}
	}
	r.Steps = demoSteps(r, skill)
	return r
}

// demoLesion delivers a lesion the usual way: rings with the clamp, twice and tested; lines frozen where the atrium is open.
func demoLesion(id atrium.LesionID, open bool) atrium.Lesion {
	lesion := atrium.Lesion{Name: id, Energy: atrium.Cryo, Applications: 1}
	switch {
	case slices.Contains(demoVeins, id):
		lesion.Energy, lesion.Applications, lesion.Block = atrium.BipolarRF, 2, atrium.ExitAndEntrance
	case !open, id == atrium.IntercavalLine:
		lesion.Energy, lesion.Applications = atrium.BipolarRF, 2
	}
	return lesion
}

// demoSteps says who performed what: with rising skill the trainee takes over the rings, the box, the lines, the appendage.
func demoSteps(r competency.Record, skill int) []competency.Step {
	var steps []competency.Step
	for _, id := range competency.StepsOf(r.Lesions, r.Appendage) {
		alone, helped := 4, 3 // the skill from which the trainee does the step alone, and with help
		switch {
		case slices.Contains(demoVeins, atrium.LesionID(id)):
			alone, helped = 2, 1
		case slices.Contains(demoBox, atrium.LesionID(id)):
			alone, helped = 3, 2
		case id == competency.StepAppendage:
			alone, helped = 5, 4
		}
		step := competency.Step{Step: id, PerformedBy: competency.BySupervisor}
		switch {
		case skill >= alone:
			step.PerformedBy = competency.ByTrainee
		case skill >= helped:
			step.PerformedBy = competency.ByTraineeWithHelp
		}
		steps = append(steps, step)
	}
	return steps
}

// demoStatement is what the supervisor states of a case.
func demoStatement(r competency.Record, c demoCase) competency.Statement {
	statement := competency.Statement{
		Steps:     demoSteps(r, c.skill),
		HelpGiven: max(1, []int{1, 2, 2, 3, 4, 5}[c.skill]+demoLeaning[c.by]), SupervisionNext: max(1, []int{1, 1, 2, 2, 3, 4}[c.skill]+demoLeaning[c.by]), ComplicationsAgreed: true,
		Keep: demoKeep[c.ago%len(demoKeep)], Change: demoChange[c.ago%len(demoChange)],
	}
	if c.fate == overclaimed && c.who == "hana" && c.ago < 100 { // one whose events the supervisor knows otherwise
		statement.ComplicationsAgreed, statement.Events = false, []string{"phrenic-palsy"}
	}
	return statement
}

// tellCases puts the beginning of every case in its place.
func (t *demoTeller) tellCases() {
	for i, c := range demoCases {
		logged := c.ago - min(c.ago%3, c.signs/2) // most log on the day, some a day or two later
		at := t.at(logged, 17, i)
		t.acts = append(t.acts, demoAct{at, func() error { return t.begin(c, at) }})
	}
}

// begin enters a case and, unless it stays a draft, submits it; what becomes of it follows.
func (t *demoTeller) begin(c demoCase, at time.Time) error {
	claimed := c.skill
	if c.fate == overclaimed {
		claimed = 4
	}
	full := t.record(c, claimed)
	first := full
	if c.fate == returned || c.fate == resubmitted {
		first = t.without(atrium.FloorLine, full, claimed)
	}
	detail, err := t.service.CreateCase(t.ctx, t.as(c.who), t.programme, service.CaseCreation{Record: first})
	if err != nil || c.fate == draft {
		return wrapCase(c, err)
	}
	t.clock = at.Add(2 * time.Minute)
	detail, err = t.service.SubmitCase(t.ctx, t.as(c.who), t.programme, detail.Case.ID, detail.Case.Revision)
	if err != nil {
		return wrapCase(c, err)
	}
	t.goOn(c, detail, full, at)
	return nil
}

// goOn puts what becomes of a submitted case in its place.
func (t *demoTeller) goOn(c demoCase, detail service.CaseDetail, full competency.Record, at time.Time) {
	id, who, by := detail.Case.ID, t.as(c.who), t.as(c.by)
	revision := detail.Case.Revision
	sign := func() error {
		by.ProvedAt = t.clock
		_, err := t.service.SignOffCase(t.ctx, by, t.programme, id, revision, demoStatement(full, c))
		return wrapCase(c, err)
	}
	signs := t.at(c.ago-c.signs, 20, 0)
	switch c.fate {
	case signedOff, overclaimed:
		t.later(signs, sign)
		t.amendLater(c, id)
		t.followLater(c, id)
	case withdrawn:
		t.later(at.AddDate(0, 0, 1), func() error {
			_, err := t.service.WithdrawCase(t.ctx, who, t.programme, id, revision, demoWithdrawn)
			return wrapCase(c, err)
		})
	case returned, resubmitted:
		t.later(at.AddDate(0, 0, 2), func() error {
			after, err := t.service.ReturnCase(t.ctx, by, t.programme, id, revision, demoReturned)
			revision = after.Case.Revision
			return wrapCase(c, err)
		})
	}
	if c.fate == resubmitted {
		t.later(at.AddDate(0, 0, 4), func() error {
			after, err := t.service.EditCase(t.ctx, who, t.programme, id, revision, full)
			if err != nil {
				return wrapCase(c, err)
			}
			after, err = t.service.SubmitCase(t.ctx, who, t.programme, id, after.Case.Revision)
			revision = after.Case.Revision
			return wrapCase(c, err)
		})
		t.later(signs, sign)
	}
}

// without is a record with one lesion forgotten.
func (t *demoTeller) without(id atrium.LesionID, r competency.Record, skill int) competency.Record {
	r.Lesions = slices.DeleteFunc(slices.Clone(r.Lesions), func(l atrium.Lesion) bool { return l.Name == id })
	r.Steps = demoSteps(r, skill)
	return r
}

// wrapCase says which case an error is about.
func wrapCase(c demoCase, err error) error {
	if err != nil {
		return fmt.Errorf("case of %s, %d days ago: %w", c.who, c.ago, err)
	}
	return nil
}

// tellPlans puts every plan in its place.
func (t *demoTeller) tellPlans() {
	for i, p := range demoPlans {
		t.acts = append(t.acts, demoAct{t.at(p.ago, 21, i), func() error { return t.plan(p) }})
	}
}

// plan submits an expert's or a flawed answer of the starter pack.
func (t *demoTeller) plan(p demoPlan) error {
	scenario, known := pack.Scenario(p.scenario)
	if !known || len(scenario.Flawed) < p.flawed || len(scenario.Expert) == 0 {
		return fmt.Errorf("the pack has no answer %d to %s", p.flawed, p.scenario)
	}
	var plan assessment.Plan
	if p.flawed == 0 {
		plan = scenario.Expert[0].Plan
	} else {
		plan = scenario.Flawed[p.flawed-1].Plan
	}
	_, err := t.service.SubmitPlan(t.ctx, t.as(p.who), t.programme, service.PlanSubmission{Scenario: p.scenario, Plan: plan})
	if err != nil {
		return fmt.Errorf("plan of %s, %d days ago: %w", p.who, p.ago, err)
	}
	return nil
}
