package main

import (
	"fmt"
	"time"

	"isthmus/api/service"
	"isthmus/assessment"
	"isthmus/assessment/pack"
)

// demoTest is a test of a scenario with the expert's answer, saved on the way, and then submitted or left until the time was up.
type demoTest struct {
	who       string
	ago       int
	scenario  assessment.ScenarioID
	submitted bool
}

// demoPractice goes before one of the tests.
var demoPractice = demoPlan{"ines", 34, "persistent-coronary-closed", 1}

var demoTests = []demoTest{{"ines", 30, "persistent-coronary-closed", true}, {"kofi", 30, "emergency-dissection", false}}

// tellTests puts the tests in their place.
func (t *demoTeller) tellTests() {
	t.acts = append(t.acts, demoAct{t.at(demoPractice.ago, 20, 30), func() error { return t.plan(demoPractice) }})
	for i, test := range demoTests {
		t.acts = append(t.acts, demoAct{t.at(test.ago, 19, i), func() error { return t.sit(test) }})
	}
}

// sit starts a test, saves half of the plan and then the whole of it, and submits it if it is to be.
func (t *demoTeller) sit(test demoTest) error {
	scenario, known := pack.Scenario(test.scenario)
	if !known || len(scenario.Expert) == 0 {
		return fmt.Errorf("the pack has no answer to %s", test.scenario)
	}
	whole := scenario.Expert[0].Plan
	half := whole
	half.Lesions, half.Aftercare = whole.Lesions[:len(whole.Lesions)/2], nil
	sitting, err := t.service.StartSitting(t.ctx, t.as(test.who), t.programme, service.SittingStart{Scenario: test.scenario})
	if err != nil {
		return fmt.Errorf("test of %s, %d days ago: %w", test.who, test.ago, err)
	}
	for i, draft := range []assessment.Plan{half, whole} {
		t.later(t.clock.Add(time.Duration(4*(i+1))*time.Minute), func() (err error) {
			sitting, err = t.service.SaveSitting(t.ctx, t.as(test.who), t.programme, sitting.ID, sitting.Revision, draft)
			return err
		})
	}
	if test.submitted {
		t.later(t.clock.Add(9*time.Minute), func() error {
			answer := service.PlanSubmission{Scenario: test.scenario, Plan: whole, Sitting: sitting.ID}
			_, err := t.service.SubmitPlan(t.ctx, t.as(test.who), t.programme, answer)
			return err
		})
	}
	return nil
}
