package service

import (
	"isthmus/assessment"
)

// starter are the scenarios that come with the program: every programme has them.
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

// scenario is what is live under an id in the programme: its own version, else the starter's. The error is ErrNotFound when nothing is.
func (h *scene) scenario(id assessment.ScenarioID) (assessment.Scenario, error) {
	scenario, known := h.starter.byID[id]
	if !known || scenario.Status != assessment.Live {
		return assessment.Scenario{}, missing("scenario")
	}
	return scenario, nil
}

// scenarioVersion is the version of a scenario that somebody answered, whatever has become of it since. The error is ErrNotFound for a
// version that was never live in the programme.
func (h *scene) scenarioVersion(id assessment.ScenarioID, version int) (assessment.Scenario, error) {
	scenario, known := h.starter.byID[id]
	if !known || scenario.Version != version {
		return assessment.Scenario{}, missing("scenario version")
	}
	return scenario, nil
}

// liveScenarios lists what can be answered in the programme, in the order people see it.
func (h *scene) liveScenarios() ([]assessment.Scenario, error) {
	var live []assessment.Scenario
	for _, scenario := range h.starter.list {
		if scenario.Status == assessment.Live {
			live = append(live, scenario)
		}
	}
	return live, nil
}

// edition names one version of a scenario.
type edition struct {
	id      assessment.ScenarioID
	version int
}

// titlesOf gives the titles of versions that were answered; the id stands for one that is not found.
func (h *scene) titlesOf(editions ...edition) (map[edition]string, error) {
	titles := make(map[edition]string, len(editions))
	for _, e := range editions {
		titles[e] = string(e.id)
		if scenario, known := h.starter.byID[e.id]; known {
			titles[e] = scenario.Title
		}
	}
	return titles, nil
}
