package service

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"isthmus/api/store"
	"isthmus/assessment"
	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
	"isthmus/assessment/strict"
	"isthmus/competency"
	"isthmus/policies"
)

// EditionText is a scenario as it is handed in: itself, or its file in YAML. Exactly one of the two.
type EditionText struct {
	Scenario *assessment.Scenario `json:"scenario,omitempty"`
	YAML     string               `json:"yaml,omitempty"`
}

// EditionCreation is a scenario to begin. The key, when given, makes a resend harmless.
type EditionCreation struct {
	EditionText
	IdempotencyKey string `json:"-"`
}

// ScenarioCheck is what is wrong with a scenario, and how its own answers are graded under the programme's scope policy.
type ScenarioCheck struct {
	Pattern       *af.Derivation           `json:"pattern,omitempty"` // absent while the history contradicts itself
	Faults        []strict.Fault           `json:"faults"`
	Answers       []assessment.AnswerCheck `json:"answers"` // none while there are other mistakes
	Policy        string                   `json:"policy"`
	PolicyVersion int                      `json:"policy_version"`
	Caution       string                   `json:"caution"`
}

// checker is what every scenario of the programme is checked by.
func (s *Service) checker(policy assessment.Policy) assessment.Checker {
	return assessment.Checker{Model: s.deps.Model, Policy: policy, Screen: competency.Identifiers}
}

// screenScenario refuses what could name a patient, and text that one of the databases could not keep.
func (s *Service) screenScenario(scenario assessment.Scenario) error {
	faults := s.checker(assessment.Policy{}).Identifiers(scenario)
	file := strings.ReplaceAll(string(assessment.EncodeScenario(scenario)), `\\`, "") // a backslash of the text's own
	if strings.Contains(file, `\u0000`) {
		faults.Add("", "a text holds the NUL character: remove it")
	}
	return faults.Err()
}

// draftOf reads what was handed in as a draft: it may be unfinished, but a file must be well formed.
func (s *Service) draftOf(text EditionText) (assessment.Scenario, error) {
	switch {
	case text.Scenario != nil && text.YAML != "":
		return assessment.Scenario{}, fault("yaml", "give the scenario or its file, not both")
	case text.Scenario != nil:
		return *text.Scenario, under("scenario", s.screenScenario(*text.Scenario))
	case text.YAML == "":
		return assessment.Scenario{}, fault("scenario", "is missing: give the scenario, or its file in yaml")
	}
	var scenario assessment.Scenario
	document, err := strict.YAML("", []byte(text.YAML), &scenario)
	if err != nil {
		return scenario, under("yaml", err)
	}
	if err := s.screenScenario(scenario); err != nil {
		return scenario, under("yaml", located(document, err))
	}
	return scenario, nil
}

// located gives the faults of an error their places in a document.
func located(document *strict.Document, err error) error {
	var faults strict.Faults
	if errors.As(err, &faults) {
		return document.Locate(faults)
	}
	return err
}

// CreateEdition begins a scenario as a draft of version 1; what it says of version and status is passed over. The error is strict.Faults,
// ErrDuplicate when the library has its id, ErrKeyReused or ErrForbidden.
func (s *Service) CreateEdition(ctx context.Context, actor Actor, programme competency.ProgrammeID, in EditionCreation) (EditionView, error) {
	o, err := onceFor(in.IdempotencyKey, "edition.create", programme, in)
	if err != nil {
		return EditionView{}, err
	}
	var view EditionView
	check := func(h *scene) error { return h.mayAuthor(policies.Create) }
	load := func(h *scene, id string) (err error) {
		view, err = h.editionByID(assessment.ScenarioID(id))
		return err
	}
	err = s.create(ctx, actor, programme, o, check, load, func() error {
		scenario, err := s.draftOf(in.EditionText)
		if err != nil {
			return err
		}
		return s.write(ctx, actor, programme, "edition.create", func(h *scene) (err error) {
			if err := check(h); err != nil {
				return err
			}
			view, err = h.newEdition(scenario, o)
			return err
		})
	})
	return view, err
}

// newEdition makes, saves and audits a draft.
func (h *scene) newEdition(scenario assessment.Scenario, o once) (EditionView, error) {
	if _, known := h.starter.byID[scenario.ID]; known {
		return EditionView{}, fmt.Errorf("a starter scenario has the id: %w", ErrDuplicate)
	}
	var err error
	if scenario.Author == "" {
		if scenario.Author, err = h.name(h.actor.Person); err != nil {
			return EditionView{}, err
		}
	}
	e, err := assessment.NewEdition(scenario, string(h.actor.Person))
	if err != nil {
		return EditionView{}, under("scenario", err)
	}
	if err := h.tx.CreateEdition(h.programme.ID, e, h.now); err != nil {
		return EditionView{}, err
	}
	act := store.Done{Kind: "create", By: h.actor.Person, At: h.now, Version: e.Version}
	if err := h.tx.AddEditionAct(h.programme.ID, e.ID, act); err != nil {
		return EditionView{}, err
	}
	if err := o.remember(h, string(e.ID)); err != nil {
		return EditionView{}, err
	}
	if err := h.tx.Audit("edition", string(e.ID), nil, e); err != nil {
		return EditionView{}, err
	}
	return h.editionView(store.Edition{Edition: e, CreatedAt: h.now, UpdatedAt: h.now})
}

// CheckScenario says what is wrong with a scenario and how its own answers are graded. Of a file every mistake has its place, in the same
// words as on the command line. Nothing is kept.
func (s *Service) CheckScenario(ctx context.Context, actor Actor, programme competency.ProgrammeID, text EditionText) (ScenarioCheck, error) {
	var policy assessment.Policy
	err := s.read(ctx, actor, programme, func(h *scene) (err error) {
		if err := h.mayAuthor(policies.Preview); err != nil {
			return err
		}
		policy, err = h.policy()
		return err
	})
	if err != nil {
		return ScenarioCheck{}, err
	}
	var found assessment.Check
	switch {
	case text.Scenario != nil && text.YAML == "":
		found = s.checker(policy).Scenario(*text.Scenario)
	case text.Scenario == nil && text.YAML != "":
		found = s.checker(policy).File("", []byte(text.YAML))
	default:
		return ScenarioCheck{}, fault("scenario", "give the scenario, or its file in yaml: one of the two")
	}
	check := ScenarioCheck{
		Faults: append([]strict.Fault{}, found.Faults.List...), Answers: append([]assessment.AnswerCheck{}, found.Answers...),
		Policy: policy.ID, PolicyVersion: policy.Version, Caution: atrium.Caution,
	}
	if pattern, err := found.Scenario.Pattern(); err == nil {
		check.Pattern = &pattern
	}
	return check, nil
}
