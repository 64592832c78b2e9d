package service

import (
	"context"
	"errors"
	"fmt"
	"time"

	"isthmus/api/store"
	"isthmus/assessment"
	"isthmus/assessment/question"
	"isthmus/assessment/strict"
	"isthmus/competency"
	"isthmus/policies"
)

// TestHead is a programme's own test in a list.
type TestHead struct {
	ID          question.TestID   `json:"id"`
	Title       string            `json:"title"`
	Status      assessment.Status `json:"status"` // draft, live, retired
	Version     int               `json:"version"`
	LiveVersion int               `json:"live_version"` // what trainees take; 0 for none
	Fixed       bool              `json:"fixed"`        // chosen questions in order; else drawn by topic for each trainee
	Items       int               `json:"items"`
	Minutes     int               `json:"minutes"`
	Negative    bool              `json:"negative"`
	AuthorName  string            `json:"author_name"`
	UpdatedAt   time.Time         `json:"updated_at"`
	Revision    int               `json:"revision"`
	Cut         question.Cut      `json:"cut"` // of the live version, else of this one
	RetiredFor  string            `json:"retired_for,omitempty"`
	May         []string          `json:"may"` // edit, publish, revise, retire
}

// TestView is a programme's own test with its versions, panels and passing marks.
type TestView struct {
	Head     TestHead          `json:"head"`
	Plan     question.TestPlan `json:"plan"`
	Check    TestCheck         `json:"check"`
	Versions []TestVersionView `json:"versions"` // newest first
	Panels   []PanelHead       `json:"panels"`   // newest first
	MayCall  bool              `json:"may_call"` // the actor can call a panel on the live version
}

// TestCheck is what is wrong with a test, what the bank has for it, and the questions of a fixed form.
type TestCheck struct {
	Faults []strict.Fault    `json:"faults"`
	Supply []question.Supply `json:"supply"` // as the rows
	Chosen []ChosenQuestion  `json:"chosen"` // as the fixed form
}

// ChosenQuestion is a question of a fixed form.
type ChosenQuestion struct {
	question.Ref
	Stem       string              `json:"stem"`
	Topic      question.Topic      `json:"topic"`
	Difficulty question.Difficulty `json:"difficulty"`
}

// TestVersionView is a version that went live, with the marks adopted for it.
type TestVersionView struct {
	Version     int               `json:"version"`
	Plan        question.TestPlan `json:"plan"`
	PublishedBy string            `json:"published_by_name"`
	PublishedAt time.Time         `json:"published_at"`
	Cuts        []TestCutView     `json:"cuts"` // the one in force first
}

// TestCutView is a mark that was adopted.
type TestCutView struct {
	question.Cut
	Reason    string    `json:"reason"`
	AdoptedBy string    `json:"adopted_by_name"`
	AdoptedAt time.Time `json:"adopted_at"`
}

// mayTest reports whether the actor may do this with the programme's own tests. Nobody does who has a test open: a fixed form says what
// will be asked.
func (h *scene) mayTest(action policies.Action) error {
	if err := h.may(policies.Test, action, policies.InProgramme); err != nil {
		return err
	}
	return h.noOpenTest()
}

// testMoves are the acts on a test.
var testMoves = []lifeMove{
	{"edit", policies.Edit, []assessment.Status{assessment.Draft}},
	{"publish", policies.Approve, []assessment.Status{assessment.Draft}},
	{"revise", policies.Edit, []assessment.Status{assessment.Live, assessment.Retired}},
	{"retire", policies.Retire, []assessment.Status{assessment.Draft, assessment.Live}},
}

// Tests lists the programme's own tests, the oldest first.
func (s *Service) Tests(ctx context.Context, actor Actor, programme competency.ProgrammeID) (List[TestHead], error) {
	list := List[TestHead]{Items: []TestHead{}}
	err := s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.mayTest(policies.List); err != nil {
			return err
		}
		rows, err := h.tx.Tests(programme)
		if err != nil {
			return err
		}
		list.Items = make([]TestHead, len(rows))
		for i, row := range rows {
			if list.Items[i], err = h.testHead(row); err != nil {
				return err
			}
		}
		return nil
	})
	return list, err
}

func (h *scene) testHead(t store.OwnTest) (TestHead, error) {
	head := TestHead{
		ID: t.ID, Title: t.Plan.Title, Status: t.Status, Version: t.Version, LiveVersion: t.LiveVersion, Fixed: len(t.Plan.Fixed) > 0, Items: t.Plan.Items(),
		Minutes: t.Plan.Minutes, Negative: t.Plan.Negative, UpdatedAt: t.UpdatedAt, Revision: t.Revision, RetiredFor: t.RetiredFor, May: h.mayMove(policies.Test, testMoves, t.Status),
	}
	of := t.LiveVersion
	if of == 0 {
		of = t.Version
	}
	var err error
	if head.Cut, err = h.cutInForce(t.ID, of); err != nil {
		return head, err
	}
	return head, h.nameInto(map[*string]competency.PersonID{&head.AuthorName: competency.PersonID(t.Author())})
}

// cutInForce is the mark adopted last for a version of a test, else the example.
func (h *scene) cutInForce(id question.TestID, version int) (question.Cut, error) {
	cuts, err := h.tx.TestCuts(h.programme.ID, id)
	for _, c := range cuts { // the latest first
		if c.Version == version {
			return c.Cut, err
		}
	}
	return question.ExampleMark(), err
}

// livePlan is what trainees take of a test, with its version.
func (h *scene) livePlan(t store.OwnTest) (question.TestPlan, error) {
	versions, err := h.tx.TestVersions(h.programme.ID, t.ID)
	if err != nil {
		return question.TestPlan{}, err
	}
	for _, v := range versions {
		if v.Version == t.LiveVersion {
			return v.Plan, nil
		}
	}
	return question.TestPlan{}, fmt.Errorf("version %d of test %s: %w", t.LiveVersion, t.ID, ErrNotFound)
}

// TestByID gives one test.
func (s *Service) TestByID(ctx context.Context, actor Actor, programme competency.ProgrammeID, id question.TestID) (TestView, error) {
	var view TestView
	err := s.read(ctx, actor, programme, func(h *scene) (err error) {
		view, err = h.testByID(id)
		return err
	})
	return view, err
}

func (h *scene) testByID(id question.TestID) (TestView, error) {
	if err := h.mayTest(policies.Read); err != nil {
		return TestView{}, err
	}
	t, err := h.tx.TestByID(h.programme.ID, id)
	if err != nil {
		return TestView{}, err
	}
	return h.testView(t)
}

// testView gathers what belongs to a test.
func (h *scene) testView(t store.OwnTest) (TestView, error) {
	view := TestView{Plan: t.Plan, Versions: []TestVersionView{}, Panels: []PanelHead{}}
	view.MayCall = t.LiveVersion > 0 && h.may(policies.Panel, policies.Create, policies.InProgramme) == nil
	var err error
	if view.Head, err = h.testHead(t); err != nil {
		return view, err
	}
	if view.Check, err = h.testCheck(t.Plan); err != nil {
		return view, err
	}
	versions, err := h.tx.TestVersions(h.programme.ID, t.ID)
	if err != nil {
		return view, err
	}
	cuts, err := h.tx.TestCuts(h.programme.ID, t.ID)
	if err != nil {
		return view, err
	}
	for _, v := range versions {
		one := TestVersionView{Version: v.Version, Plan: v.Plan, PublishedAt: v.PublishedAt, Cuts: []TestCutView{}}
		for _, c := range cuts {
			if c.Version == v.Version {
				one.Cuts = append(one.Cuts, TestCutView{Cut: c.Cut, Reason: c.Reason, AdoptedAt: c.AdoptedAt})
				if err := h.nameInto(map[*string]competency.PersonID{&one.Cuts[len(one.Cuts)-1].AdoptedBy: c.AdoptedBy}); err != nil {
					return view, err
				}
			}
		}
		if err := h.nameInto(map[*string]competency.PersonID{&one.PublishedBy: v.PublishedBy}); err != nil {
			return view, err
		}
		view.Versions = append(view.Versions, one)
	}
	panels, err := h.tx.Panels(h.programme.ID, t.ID)
	for _, p := range panels {
		view.Panels = append(view.Panels, h.panelHead(p))
	}
	return view, err
}

// testCheck says what is wrong with a plan, and what the bank has for it.
func (h *scene) testCheck(plan question.TestPlan) (TestCheck, error) {
	bank, err := h.bank()
	if err != nil {
		return TestCheck{}, err
	}
	check := TestCheck{Faults: append([]strict.Fault{}, plan.Validate().List...), Supply: bank.SupplyOf(plan.Blueprint), Chosen: []ChosenQuestion{}}
	if len(check.Faults) == 0 {
		_, err := question.Assemble(bank, plan.Blueprint, previewSeed)
		var wrong strict.Faults
		if errors.As(err, &wrong) {
			check.Faults = append(check.Faults, wrong.List...)
		} else if err != nil {
			return check, err
		}
	}
	for _, ref := range plan.Fixed {
		chosen := ChosenQuestion{Ref: ref}
		if it, found := bank.Item(ref.Item); found {
			chosen.Stem, chosen.Topic, chosen.Difficulty = it.Stem, it.Topic, it.Difficulty
		}
		check.Chosen = append(check.Chosen, chosen)
	}
	return check, nil
}

// CheckTest says what is wrong with a test as it would be live, and what the bank has for it. Nothing is kept.
func (s *Service) CheckTest(ctx context.Context, actor Actor, programme competency.ProgrammeID, plan question.TestPlan) (TestCheck, error) {
	var check TestCheck
	err := s.read(ctx, actor, programme, func(h *scene) (err error) {
		if err := h.mayTest(policies.Preview); err != nil {
			return err
		}
		check, err = h.testCheck(plan)
		return err
	})
	return check, err
}
