package service

import (
	"errors"
	"maps"
	"slices"

	"isthmus/api/store"
	"isthmus/assessment"
)

// starter are the scenarios that come with the program: every programme has them until it revises or retires one for itself.
type starter struct {
	list []assessment.Scenario // in the order people see them
	byID map[assessment.ScenarioID]assessment.Scenario
}

// newStarter readies a list of scenarios.
func newStarter(list []assessment.Scenario) *starter {
	s := &starter{list: list, byID: make(map[assessment.ScenarioID]assessment.Scenario, len(list))}
	for _, scenario := range list {
		s.byID[scenario.ID] = scenario
	}
	return s
}

// live is the starter scenario of an id, when there is one that can be answered.
func (s *starter) live(id assessment.ScenarioID) (assessment.Scenario, bool) {
	scenario, known := s.byID[id]
	return scenario, known && scenario.Status == assessment.Live
}

// scenario is what is live under an id in the programme: its own version, else the starter's. The error is ErrNotFound when nothing is.
func (h *scene) scenario(id assessment.ScenarioID) (assessment.Scenario, error) {
	live, err := h.tx.LiveScenarios(h.programme.ID, id)
	if err != nil {
		return assessment.Scenario{}, err
	}
	own, touched := live[id]
	if own != nil {
		return *own, nil
	}
	if scenario, known := h.starter.live(id); known && !touched {
		return scenario, nil
	}
	return assessment.Scenario{}, missing("scenario")
}

// scenarioVersion is the version of a scenario that somebody answered, whatever has become of it since. The error is ErrNotFound for a
// version that was never live in the programme.
func (h *scene) scenarioVersion(id assessment.ScenarioID, version int) (assessment.Scenario, error) {
	kept, err := h.tx.ScenarioVersion(h.programme.ID, id, version)
	if !errors.Is(err, ErrNotFound) {
		return kept.Scenario, err
	}
	if scenario, known := h.starter.byID[id]; known && scenario.Version == version {
		return scenario, nil
	}
	return assessment.Scenario{}, missing("scenario version")
}

// inView is the version of a live scenario that somebody has before them, who may have begun before a later one went live; 0 stands for
// the live one. The error is ErrNotFound.
func (h *scene) inView(id assessment.ScenarioID, version int) (assessment.Scenario, error) {
	live, err := h.scenario(id)
	if err != nil || version == 0 || version == live.Version {
		return live, err
	}
	return h.scenarioVersion(id, version)
}

// keepVersion makes sure that the version somebody answers is found for ever. The programme's own are kept when they go live; a starter
// scenario when it is first answered, for the program may bring a newer one some day.
func (h *scene) keepVersion(id assessment.ScenarioID, version int) error {
	scenario, known := h.starter.byID[id]
	if !known || scenario.Version != version {
		return nil
	}
	return h.tx.KeepScenarioVersion(h.programme.ID, store.ScenarioVersion{Scenario: scenario, KeptAt: h.now})
}

// titleOf is the title of the version that a plan answers. A plan from before versions were kept has the starter's, or its id.
func (h *scene) titleOf(plan store.PlanSummary) string {
	if plan.ScenarioTitle != "" {
		return plan.ScenarioTitle
	}
	if scenario, known := h.starter.byID[plan.Scenario]; known {
		return scenario.Title
	}
	return string(plan.Scenario)
}

// liveScenarios lists what can be answered in the programme, in the order people see it: the starter scenarios in theirs, each in the
// programme's own version where there is one, then the programme's own by id.
func (h *scene) liveScenarios() ([]assessment.Scenario, error) {
	own, err := h.tx.LiveScenarios(h.programme.ID)
	if err != nil {
		return nil, err
	}
	var live []assessment.Scenario
	for _, id := range inOrder(h.starter, own) {
		if scenario, touched := own[id]; touched {
			if scenario != nil {
				live = append(live, *scenario)
			}
		} else if scenario, known := h.starter.live(id); known {
			live = append(live, scenario)
		}
	}
	return live, nil
}

// liveHeads is liveScenarios for a list, which needs no more than the head of each: no scenario is read for it.
func (h *scene) liveHeads() ([]liveHead, error) {
	rows, err := h.tx.Editions(h.programme.ID)
	if err != nil {
		return nil, err
	}
	own := make(map[assessment.ScenarioID]store.ScenarioHead, len(rows))
	for _, row := range rows {
		own[row.ID] = row.Live
	}
	var live []liveHead
	for _, id := range inOrder(h.starter, own) {
		if head, touched := own[id]; touched {
			if head.Version > 0 {
				live = append(live, liveHead{id, head})
			}
		} else if scenario, known := h.starter.live(id); known {
			live = append(live, liveHead{id, store.HeadOf(scenario)})
		}
	}
	return live, nil
}

// liveHead is what a list shows of a scenario that can be answered.
type liveHead struct {
	id assessment.ScenarioID
	store.ScenarioHead
}

// inOrder is every id there is: the starter scenarios in their order, then the programme's own.
func inOrder[T any](s *starter, own map[assessment.ScenarioID]T) []assessment.ScenarioID {
	ids := make([]assessment.ScenarioID, len(s.list), len(s.list)+len(own))
	for i, scenario := range s.list {
		ids[i] = scenario.ID
	}
	for _, id := range slices.Sorted(maps.Keys(own)) {
		if _, known := s.byID[id]; !known {
			ids = append(ids, id)
		}
	}
	return ids
}
