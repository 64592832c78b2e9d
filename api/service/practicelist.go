package service

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"

	"isthmus/api/store"
	"isthmus/assessment"
	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
	"isthmus/competency"
)

// described says of one that was counted, by its place in the list, what people read in it.
type described func(i int) (PracticeItem, error)

// operated is every signed operation as it was known on the filter's day.
func (h *scene) operated(filter competency.PracticeFilter) ([]competency.Delivered, described, error) {
	signed, err := h.tx.SignedVersions(h.programme.ID)
	if err != nil {
		return nil, nil, err
	}
	newest := map[competency.CaseID]competency.Signed{}
	for _, one := range signed { // in the order of signing
		if !one.Withdrawn && competency.DayOf(one.SignedAt) <= filter.On {
			newest[one.Case] = one
		}
	}
	targets := targeting{scene: h, policies: map[string]assessment.Policy{}}
	operations, list := slices.Collect(maps.Values(newest)), make([]competency.Delivered, len(newest))
	for i, one := range operations {
		if list[i], err = targets.delivered(one); err != nil {
			return nil, nil, err
		}
	}
	return list, func(i int) (PracticeItem, error) {
		one, d := operations[i], list[i]
		trainee, err := h.personRef(one.Trainee)
		return PracticeItem{d.ID, one.OperatedOn, one.Operation, trainee, d.Site, d.Pattern, d.Scope, d.Target, d.Policy}, err
	}, nil
}

// targeting finds what the policy asked for, reading each version of the policy once.
type targeting struct {
	scene    *scene
	policies map[string]assessment.Policy // by id and version
}

// delivered is a signed operation against the policy it was judged by.
func (t targeting) delivered(one competency.Signed) (competency.Delivered, error) {
	record, computed := one.Record, one.Computed
	period, _ := competency.ParsePeriod(one.OperatedOn) // checked when it was submitted
	d := competency.Delivered{
		ID: string(one.Case), On: period.First, Known: competency.DayOf(one.SignedAt), Site: record.Site, Pattern: computed.Pattern, Scope: computed.Scope,
		Policy: computed.Policy, AppendageKept: record.Appendage.State == atrium.AppendageKept,
	}
	policy, err := t.policy(computed)
	if err != nil {
		return d, err
	}
	set := competency.LesionSetOf(record)
	if target, err := policy.Target(computed.Pattern, assessment.Patient{LeftAtriumMM: set.LeftAtriumDiameterMM}, operationOf(record)); err == nil && computed.Pattern != "" {
		d.Target = target.Scope
	}
	d.Made, err = t.scene.lesionsMade(set, d.Policy)
	return d, err
}

// policy is the one a case was judged by.
func (t targeting) policy(computed competency.Computed) (assessment.Policy, error) {
	key := fmt.Sprintf("%s %d", computed.PolicyID, computed.PolicyVersion)
	if known, ok := t.policies[key]; ok {
		return known, nil
	}
	policy, err := t.scene.policyOfGrade(assessment.Grade{Policy: computed.PolicyID, PolicyVersion: computed.PolicyVersion})
	t.policies[key] = policy
	return policy, err
}

// lesionsMade names the lesions of a set. Drawn ones are recognised by the model, and only where it matters: when the policy asked for more.
func (h *scene) lesionsMade(set atrium.LesionSet, standing string) ([]atrium.LesionID, error) {
	var made []atrium.LesionID
	drawn := false
	for _, l := range set.Lesions {
		if l.Name != "" {
			made = append(made, l.Name)
		}
		drawn = drawn || l.Name == ""
	}
	if !drawn || standing != assessment.AtMinimum && standing != assessment.BelowMinimum {
		return made, nil
	}
	result, err := h.service.deps.Model.Conduct(set)
	if err != nil {
		return nil, err
	}
	return append(made, recognised(result)...), nil
}

// recognised are the named lesions whose work drawn ones do.
func recognised(result atrium.Result) []atrium.LesionID {
	var made []atrium.LesionID
	for _, l := range result.Lesions {
		if l.Lesion == "" && l.Recognised != "" {
			made = append(made, l.Recognised)
		}
	}
	return made
}

// planned is every trainee's first try at a scenario.
func (h *scene) planned() ([]competency.Delivered, described, error) {
	rows, err := h.tx.FirstTries(h.programme.ID)
	if err != nil {
		return nil, nil, err
	}
	list := make([]competency.Delivered, len(rows))
	for i, row := range rows {
		if list[i], err = deliveredByPlan(row); err != nil {
			return nil, nil, err
		}
	}
	return list, func(i int) (PracticeItem, error) {
		row, d := rows[i], list[i]
		return PracticeItem{d.ID, string(d.On), h.titleOf(row.PlanSummary), PersonRef{ID: row.Trainee, Name: row.TraineeName}, "", d.Pattern, d.Scope, d.Target, d.Policy}, nil
	}, nil
}

// deliveredByPlan is a graded plan against the policy it was graded by.
func deliveredByPlan(row store.PlanRow) (competency.Delivered, error) {
	var grade assessment.Grade
	if err := json.Unmarshal(row.Grade, &grade); err != nil {
		return competency.Delivered{}, fmt.Errorf("stored grade of plan %s: %w", row.ID, err)
	}
	var plan struct { // the rest of it stands in its grade
		Appendage struct {
			State atrium.AppendageState `json:"state"`
		} `json:"left_appendage"`
	}
	if err := json.Unmarshal(row.Plan, &plan); err != nil {
		return competency.Delivered{}, fmt.Errorf("stored plan %s: %w", row.ID, err)
	}
	day := competency.DayOf(row.SubmittedAt)
	d := competency.Delivered{
		ID: string(row.ID), On: day, Known: day, Pattern: af.Pattern(row.Pattern), Scope: grade.Result.Scope, Target: atrium.Scope(grade.TargetScope),
		Policy: grade.AgainstPolicy(), Made: recognised(grade.Result), AppendageKept: plan.Appendage.State == atrium.AppendageKept,
	}
	for _, l := range grade.Result.Lesions {
		if l.Lesion != "" {
			d.Made = append(d.Made, l.Lesion)
		}
	}
	return d, nil
}

// operationOf is what a record knows of the operation the policy asks about.
func operationOf(record competency.Record) assessment.Operation {
	return assessment.Operation{
		Primary: record.Operation, Urgency: record.Urgency, Approach: record.Approach, OnBypass: record.OnBypass, LeftAtriumOpened: record.LeftAtriumOpened,
		TricuspidWork: record.Operation == "mitral-and-tricuspid",
	}
}
