package service

import (
	"fmt"

	"isthmus/competency"
	"isthmus/policies"
)

// StandardEffect is what a standard would mean for the trainees there are today, were all of them judged by it.
type StandardEffect struct {
	On    competency.Day `json:"on"`
	N     int            `json:"n"`    // trainees
	Now   []StateCount   `json:"now"`  // by what judges each today
	Then  []StateCount   `json:"then"` // by the standard in the making
	Lines []LineEffect   `json:"lines"`
	Says  string         `json:"says"`
}

// StateCount is how many trainees are in a state. A trainee who is not ready is in the state of the requirement that asks most: lapsed
// before short, short before on course, on course before not enough data.
type StateCount struct {
	State string `json:"state"` // ready, or a state of a requirement
	N     int    `json:"n"`
}

// LineEffect is how the trainees would stand on one requirement.
type LineEffect struct {
	Requirement string       `json:"requirement"`
	Then        []StateCount `json:"then"`
}

// stateReady is the state of a trainee who meets every requirement.
const stateReady = "ready"

// requirementStates are the states of a requirement, the one that asks most first; met asks nothing.
var requirementStates = []competency.State{competency.Lapsed, competency.Short, competency.OnCourse, competency.NotEnoughData, competency.Met}

// effectOf judges every trainee of today by what judges them, and by another standard.
func (h *scene) effectOf(line timeline, standard competency.Standard) (*StandardEffect, error) {
	everyone, err := h.tx.EvidenceForAll(h.programme.ID)
	if err != nil {
		return nil, err
	}
	effect := &StandardEffect{On: h.today, Lines: []LineEffect{}}
	var now []competency.Standing
	trainees, err := h.tx.People(h.programme.ID, string(policies.Trainee), h.today)
	if err != nil {
		return nil, err
	}
	then := make([]competency.Standing, len(trainees))
	for i, trainee := range trainees {
		evidence, err := h.completed(everyone[trainee.ID], trainee.ID, standard, h.today)
		if err != nil {
			return nil, err
		}
		then[i] = competency.Stand(standard, evidence, h.today)
		if len(line.standards) == 0 {
			continue
		}
		own, err := h.cohortWork(line, trainee.ID, everyone[trainee.ID], h.today, h.today)
		if err != nil {
			return nil, err
		}
		now = append(now, competency.Stand(own.standard, own.now, h.today))
	}
	effect.N, effect.Now, effect.Then = len(trainees), countStates(now, traineeState), countStates(then, traineeState)
	for i, r := range standard.Requirements {
		effect.Lines = append(effect.Lines, LineEffect{r.ID, countStates(then, func(s competency.Standing) string { return string(s.Requirements[i].State) })})
	}
	effect.Says = effect.words(len(now) > 0)
	return effect, nil
}

// words say how many would be ready.
func (e *StandardEffect) words(judged bool) string {
	ready := func(counts []StateCount) int {
		for _, c := range counts {
			if c.State == stateReady {
				return c.N
			}
		}
		return 0
	}
	switch {
	case e.N == 0:
		return "The programme has no trainee today."
	case !judged:
		return fmt.Sprintf("Were all judged by it today, %d of %d would be ready for committee review. Nobody has a standing yet.", ready(e.Then), e.N)
	}
	return fmt.Sprintf("Were all judged by it today, %d of %d would be ready for committee review; %d of %d are now, each by their own version.", ready(e.Then), e.N, ready(e.Now), e.N)
}

// traineeState is the state of the requirement that asks most.
func traineeState(s competency.Standing) string {
	for _, state := range requirementStates {
		for _, r := range s.Requirements {
			if r.State == state && state != competency.Met {
				return string(state)
			}
		}
	}
	return stateReady
}

// countStates counts standings by state, in the order of the states, those that nobody is in left out.
func countStates(standings []competency.Standing, of func(competency.Standing) string) []StateCount {
	counts := []StateCount{}
	for _, state := range append([]string{stateReady}, stateNames()...) {
		n := 0
		for _, s := range standings {
			if of(s) == state {
				n++
			}
		}
		if n > 0 {
			counts = append(counts, StateCount{state, n})
		}
	}
	return counts
}

func stateNames() []string {
	names := make([]string, len(requirementStates))
	for i, state := range requirementStates {
		names[len(names)-1-i] = string(state)
	}
	return names
}
