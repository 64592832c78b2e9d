package service

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"slices"

	"isthmus/api/chart"
	"isthmus/api/store"
	"isthmus/assessment"
	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
	"isthmus/competency"
	"isthmus/policies"
)

// ScopePractice is what a programme operated and planned against its scope policy, apart from one another.
type ScopePractice struct {
	On          competency.Day      `json:"on"`
	From        competency.Day      `json:"from,omitempty"`
	Site        string              `json:"site,omitempty"`
	Pattern     af.Pattern          `json:"pattern,omitempty"`
	Sites       []string            `json:"sites"` // to choose from
	Operated    competency.Practice `json:"operated"`
	Planned     competency.Practice `json:"planned"`
	Charts      []chart.Chart       `json:"charts"`
	Level       float64             `json:"level"`
	Method      string              `json:"method"`
	Assumptions string              `json:"assumptions"`
	Notes       []string            `json:"notes"`
	Caution     string              `json:"caution"`
}

// PracticeBehind is what stands behind one number of practice.
type PracticeBehind struct {
	On      competency.Day           `json:"on"`
	Side    string                   `json:"side"`
	Says    string                   `json:"says"` // what the hits are
	Share   competency.PracticeShare `json:"share"`
	Items   []PracticeItem           `json:"items"` // the hits, or all the share is counted of; oldest first
	Caution string                   `json:"caution"`
}

// The sides of practice.
const (
	Operated = "operated"
	Planned  = "planned"
)

// PracticeItem is one operation or plan behind the numbers.
type PracticeItem struct {
	ID      string       `json:"id"`
	On      string       `json:"on"` // of the operation at the programme's precision, or the day the plan was handed in
	Name    string       `json:"name"`
	Trainee PersonRef    `json:"trainee"`
	Site    string       `json:"site,omitempty"`
	Pattern af.Pattern   `json:"pattern"`
	Scope   atrium.Scope `json:"scope"`
	Target  atrium.Scope `json:"target"`
	Policy  string       `json:"policy"`
}

// PracticeChoice narrows what is counted; empty fields do not, and an empty On is today.
type PracticeChoice struct {
	From, On, Site string
	Pattern        af.Pattern
}

// practiceNotes say how things are counted.
var practiceNotes = []string{
	"Operations: signed off by the day, the version signed last, those withdrawn left out; by the quarter of the operation. Each was judged by the policy in force when it was submitted.",
	"Plans: every trainee's first try at a scenario, in practice or as a test; later tries rehearse what was said about the first.",
	"Less than the policy asks for is a scope below its target; scopes it accepts as well count as the target. Where it asks for no ablation, or the AF pattern is unknown, nothing is counted as less.",
	"A step is left out by what the lines reach, never by their names. The lesions below it are those whose names are missing where it was left out; a drawn line counts as the named one whose work it does.",
}

// Practice counts what was operated and planned against the scope policy: for the director and the committee. The error is ErrForbidden,
// ErrTestOpen, or strict.Faults about the choice.
func (s *Service) Practice(ctx context.Context, actor Actor, programme competency.ProgrammeID, choice PracticeChoice) (ScopePractice, error) {
	answer := ScopePractice{
		Level: competency.PracticeLevel, Method: competency.PracticeMethod, Assumptions: competency.PracticeAssumptions, Notes: practiceNotes, Caution: atrium.Caution,
	}
	err := s.practiceRead(ctx, actor, programme, choice, func(h *scene, filter competency.PracticeFilter) error {
		operated, _, err := h.operated(filter)
		if err != nil {
			return err
		}
		planned, _, err := h.planned()
		if err != nil {
			return err
		}
		answer.On, answer.From, answer.Site, answer.Pattern, answer.Sites = filter.On, filter.From, filter.Site, filter.Pattern, sitesOf(h.programme.Settings.Sites, operated)
		if filter.Site != "" && !slices.Contains(answer.Sites, filter.Site) {
			return fault("site", "%q is no site of the programme", filter.Site)
		}
		answer.Operated, answer.Planned = competency.PracticeOf(operated, filter), competency.PracticeOf(planned, filter)
		answer.Charts = practiceCharts(answer)
		return nil
	})
	return answer, err
}

// PracticeBehind lists the operations or plans behind a number of Practice with the same choice: those it counts as hits or, with all, everything
// it is counted of. of is the Of of a share. The error is ErrNotFound where there is no such share, or one of Practice.
func (s *Service) PracticeBehind(ctx context.Context, actor Actor, programme competency.ProgrammeID, choice PracticeChoice, side, of string, all bool) (PracticeBehind, error) {
	answer := PracticeBehind{Side: side, Items: []PracticeItem{}, Caution: atrium.Caution}
	err := s.practiceRead(ctx, actor, programme, choice, func(h *scene, filter competency.PracticeFilter) error {
		counted := func() ([]competency.Delivered, []PracticeItem, error) { return h.operated(filter) }
		if side == Planned {
			counted = h.planned
		}
		delivered, items, err := counted()
		if err != nil {
			return err
		}
		answer.On = filter.On
		for share, says := range competency.PracticeOf(delivered, filter).Shares() {
			if share.Of == of {
				answer.Share, answer.Says = share, says
			}
		}
		if answer.Share.Of == "" {
			return fmt.Errorf("share %q of what was %s: %w", of, side, ErrNotFound)
		}
		ids := answer.Share.IDs
		if all {
			ids = answer.Share.All
		}
		wanted := make(map[string]bool, len(ids))
		for _, id := range ids {
			wanted[id] = true
		}
		answer.Items = append(answer.Items, slices.DeleteFunc(items, func(item PracticeItem) bool { return !wanted[item.ID] })...)
		slices.SortFunc(answer.Items, func(a, b PracticeItem) int { return cmp.Or(cmp.Compare(a.On, b.On), cmp.Compare(a.ID, b.ID)) })
		return nil
	})
	return answer, err
}

// practiceRead lets a reader of practice read what fits a choice.
func (s *Service) practiceRead(ctx context.Context, actor Actor, programme competency.ProgrammeID, choice PracticeChoice, read func(*scene, competency.PracticeFilter) error) error {
	return s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.may(policies.Practice, policies.Read, policies.InProgramme); err != nil {
			return err
		}
		if err := h.noOpenTest(); err != nil {
			return err
		}
		filter, err := h.practiceFilter(choice)
		if err != nil {
			return err
		}
		return read(h, filter)
	})
}

// practiceFilter reads the choice.
func (h *scene) practiceFilter(choice PracticeChoice) (competency.PracticeFilter, error) {
	filter := competency.PracticeFilter{Site: choice.Site, Pattern: choice.Pattern}
	var err error
	if filter.On, err = h.dayOrToday(choice.On); err != nil || choice.From == "" {
		return filter, err
	}
	if filter.From, err = competency.ParseDay(choice.From); err != nil {
		return filter, fault("from", "%v", err)
	}
	if filter.From > filter.On {
		return filter, fault("from", "must not be after %s", filter.On)
	}
	return filter, nil
}

// operated is every signed operation as it was known on the filter's day.
func (h *scene) operated(filter competency.PracticeFilter) ([]competency.Delivered, []PracticeItem, error) {
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
	var list []competency.Delivered
	var items []PracticeItem
	for _, one := range newest {
		d, err := targets.delivered(one)
		if err != nil {
			return nil, nil, err
		}
		trainee, err := h.personRef(one.Trainee)
		if err != nil {
			return nil, nil, err
		}
		list = append(list, d)
		items = append(items, PracticeItem{d.ID, one.OperatedOn, one.Operation, trainee, d.Site, d.Pattern, d.Scope, d.Target, d.Policy})
	}
	return list, items, nil
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
func (h *scene) planned() ([]competency.Delivered, []PracticeItem, error) {
	rows, err := h.tx.FirstTries(h.programme.ID)
	if err != nil {
		return nil, nil, err
	}
	list, items := make([]competency.Delivered, len(rows)), make([]PracticeItem, len(rows))
	for i, row := range rows {
		d, err := deliveredByPlan(row)
		if err != nil {
			return nil, nil, err
		}
		list[i] = d
		items[i] = PracticeItem{d.ID, string(d.On), h.titleOf(row.PlanSummary), PersonRef{ID: row.Trainee, Name: row.TraineeName}, "", d.Pattern, d.Scope, d.Target, d.Policy}
	}
	return list, items, nil
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

// sitesOf are the programme's sites, and those of operations from before they were changed.
func sitesOf(now []string, operated []competency.Delivered) []string {
	sites := slices.Clone(now)
	for _, d := range operated {
		if !slices.Contains(sites, d.Site) {
			sites = append(sites, d.Site)
		}
	}
	slices.Sort(sites)
	return sites
}
