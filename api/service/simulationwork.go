package service

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"sync"
	"time"

	"isthmus/api/store"
	"isthmus/assessment/strict"
	"isthmus/competency/simulate"
)

// How a simulation is worked off.
const (
	simulationLease = 30 * time.Second // without a sign of life for this long anybody may take it over
	simulationTries = 3                // how often it is begun before it is given up
	simulationSigns = 40               // signs of life in all
)

// WorkOnSimulations works off one waiting simulation of any programme, if there is one that nobody works on; it reports whether there was.
// Any number of processes may call it. One that is cancelled meanwhile stops at its next sign of life. The error is of the database: the
// simulation then waits to be taken up again.
func (s *Service) WorkOnSimulations(ctx context.Context) (bool, error) {
	lease, now := s.deps.NewID(), s.deps.Clock()
	one, found, err := s.deps.Store.LeaseSimulation(ctx, lease, now, now.Add(simulationLease))
	if err != nil || !found {
		return false, err
	}
	result, err := s.simulated(ctx, one, lease)
	var faults strict.Faults
	after := one
	after.State, after.Ready = store.SimulationDone, one.Total
	switch {
	case errors.Is(err, errLeaseLost):
		return true, nil
	case errors.As(err, &faults):
		after.State, after.Ready, after.Message = store.SimulationFailed, 0, whyFailed(err)
	case err != nil:
		return true, fmt.Errorf("simulation %s: %w", one.ID, err)
	}
	after.Result = result
	return true, s.endSimulation(ctx, one, after, lease)
}

// simulated runs a simulation, giving signs of life, and gives its result as JSON. The error is errLeaseLost when it was cancelled or
// taken over.
func (s *Service) simulated(ctx context.Context, one store.Simulation, lease string) ([]byte, error) {
	if one.Tries > simulationTries {
		return nil, fault("trainees", "it was begun several times and never came to an end: ask for fewer")
	}
	var plan simulate.Plan
	if err := json.Unmarshal(one.Plan, &plan); err != nil {
		return nil, fault("plan", "cannot be read again")
	}
	ctx, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	var telling sync.Mutex
	told := 0
	result, err := simulate.Run(ctx, plan, func(done int) {
		if !telling.TryLock() { // somebody is telling: the next block comes soon
			return
		}
		defer telling.Unlock()
		if done-told < one.Total/simulationSigns {
			return
		}
		told = done
		held, err := s.deps.Store.KeepSimulation(ctx, one.ID, lease, done, s.deps.Clock().Add(simulationLease))
		if err != nil || !held {
			stop(errors.Join(err, lost(held)))
		}
	})
	if err != nil {
		if cause := context.Cause(ctx); cause != nil {
			return nil, cause
		}
		return nil, err
	}
	return json.Marshal(result)
}

// endSimulation saves what came of it, unless it is no longer ours.
func (s *Service) endSimulation(ctx context.Context, one, after store.Simulation, lease string) error {
	doing := store.Act{Programme: one.Programme, Actor: one.By, Name: "simulation.end", RequestID: one.RequestID, At: s.deps.Clock()}
	err := s.deps.Store.Write(ctx, doing, func(tx *store.Tx) error {
		held, err := tx.HoldsSimulation(one.Programme, one.ID, lease)
		if err != nil || !held {
			return errors.Join(err, lost(held))
		}
		after.ClosedAt = doing.At
		_, err = closeSimulation(tx, one, after)
		return err
	})
	if errors.Is(err, errLeaseLost) || errors.Is(err, ErrStale) {
		return nil
	}
	return err
}
