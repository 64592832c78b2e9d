package service

import (
	"context"
	"slices"

	"isthmus/api/store"
	"isthmus/assessment"
	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
	"isthmus/competency"
	"isthmus/policies"
)

// ScenarioSummary is a scenario in a list, with how the actor did.
type ScenarioSummary struct {
	ID           assessment.ScenarioID `json:"id"`
	Version      int                   `json:"version"`
	Title        string                `json:"title"`
	Pattern      af.Pattern            `json:"pattern"`
	Operation    string                `json:"operation"`
	MyAttempts   int                   `json:"my_attempts"`
	MyBestLetter assessment.Letter     `json:"my_best_letter,omitempty"`
}

// ScenarioView is a scenario as someone who is to answer it sees it: without the expert's answers.
type ScenarioView struct {
	Scenario assessment.Scenario `json:"scenario"`
	Pattern  af.Derivation       `json:"pattern"`
	Attempts []PlanSummary       `json:"attempts"`
	// Wavelength is that of the scope policy in force, so that practice is computed as grading computes; absent in a test.
	Wavelength assessment.Wavelength `json:"wavelength,omitzero"`
}

// Scenarios lists the live scenarios in their order; the cursor is the id of the last one seen.
func (s *Service) Scenarios(ctx context.Context, actor Actor, programme competency.ProgrammeID, page store.Page) (List[ScenarioSummary], error) {
	list := List[ScenarioSummary]{Items: []ScenarioSummary{}, Caution: atrium.Caution}
	err := s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.may(policies.Scenario, policies.List, policies.InProgramme); err != nil {
			return err
		}
		live, err := h.liveHeads()
		if err != nil {
			return err
		}
		shown, next, err := pageOf(live, page, func(head liveHead) string { return string(head.id) })
		if err != nil {
			return err
		}
		attempts, err := h.tx.AttemptsBy(programme, actor.Person)
		if err != nil {
			return err
		}
		hidden, err := h.underTest()
		if err != nil {
			return err
		}
		list.Items, list.Next = make([]ScenarioSummary, 0, len(shown)), next
		for _, head := range shown {
			mine := attempts[head.id]
			if head.id == hidden {
				mine.BestLetter = ""
			}
			list.Items = append(list.Items, ScenarioSummary{
				ID: head.id, Version: head.Version, Title: head.Title, Pattern: head.Pattern, Operation: head.Operation,
				MyAttempts: mine.N, MyBestLetter: assessment.Letter(mine.BestLetter),
			})
		}
		return nil
	})
	return list, err
}

// ScenarioByID gives one live scenario with the actor's own attempts, newest first.
func (s *Service) ScenarioByID(ctx context.Context, actor Actor, programme competency.ProgrammeID, id assessment.ScenarioID) (ScenarioView, error) {
	var view ScenarioView
	err := s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.may(policies.Scenario, policies.Read, policies.InProgramme); err != nil {
			return err
		}
		if hidden, err := h.underTest(); err != nil {
			return err
		} else if hidden == id {
			return ErrTestOpen // its attempts have grades; the scenario itself comes with the sitting
		}
		scenario, err := h.scenario(id)
		if err != nil {
			return err
		}
		pattern, err := scenario.Pattern()
		if err != nil {
			return err
		}
		policy, err := h.policy()
		if err != nil {
			return err
		}
		attempts, err := h.attempts(id)
		view = ScenarioView{Scenario: scenario.ForTrainee(), Pattern: pattern, Attempts: attempts, Wavelength: policy.Wavelength}
		return err
	})
	return view, err
}

// Conduct computes what a lesion set would block and what it would leave. The error is strict.Faults about the set.
func (s *Service) Conduct(ctx context.Context, actor Actor, programme competency.ProgrammeID, set atrium.LesionSet) (atrium.Result, error) {
	if err := s.mayCompute(ctx, actor, programme); err != nil {
		return atrium.Result{}, err
	}
	return s.deps.Model.Conduct(set)
}

// attempts are the actor's own latest plans of a scenario, newest first. Everyone may know their own.
func (h *scene) attempts(scenario assessment.ScenarioID) ([]PlanSummary, error) {
	rows, _, err := h.tx.Plans(h.programme.ID, store.PlanFilter{Trainee: h.actor.Person, Scenario: scenario}, store.Page{Limit: 100})
	if err != nil {
		return nil, err
	}
	return h.summariesOfPlans(rows), nil
}

// pageOf cuts a page out of a list kept in memory; key gives the cursor of an item. The error is store.ErrCursor for an unknown one.
func pageOf[T any](all []T, page store.Page, key func(T) string) (shown []T, next string, err error) {
	start := 0
	if page.After != "" {
		start = 1 + slices.IndexFunc(all, func(item T) bool { return key(item) == page.After })
		if start == 0 {
			return nil, "", store.ErrCursor
		}
	}
	end := len(all)
	if page.Limit > 0 {
		end = min(end, start+page.Limit)
	}
	shown = all[start:end]
	if end < len(all) {
		next = key(all[end-1])
	}
	return shown, next, nil
}
