package api

import (
	"context"
	"net/http"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/policies"
)

// OneSimulation is what every operation on a simulation takes.
type OneSimulation struct {
	InProgramme
	Simulation store.SimulationID `path:"simulation" maxLength:"64"`
}

// simulationMade is a new simulation with its ETag and address.
type simulationMade struct {
	ETag     string `header:"ETag"`
	Location string `header:"Location"`
	Body     service.SimulationView
}

// simulationAnswer is a simulation with its ETag.
type simulationAnswer[T any] struct {
	ETag string `header:"ETag" doc:"For If-Match of a cancellation. Progress does not change it."`
	Body T
}

func (s *server) registerSimulations() {
	type creation struct {
		InProgramme
		Creating
		Body service.SimulationOrder
	}
	type many struct {
		InProgramme
		Paged
	}
	type change struct {
		OneSimulation
		Changing
	}
	const path = base + "/simulations"
	register(s, operation{
		id: "simulation-start", method: http.MethodGet, path: base + "/simulation-start", tag: "Standards", object: policies.Simulation, action: policies.Create,
		summary: "Numbers to begin a simulation with", details: "Kinds of operation, rates and assessors as the programme's own cases of the last year have them; examples for what nobody can count.",
	}, func(ctx context.Context, in *InProgramme) (*answer[service.SimulationStart], error) {
		return given(s.Service.StartSimulation(ctx, actor(ctx), in.Programme))
	})
	register(s, operation{
		id: "create-simulation", method: http.MethodPost, path: path, tag: "Standards", object: policies.Simulation, action: policies.Create,
		summary: "Try a standard, or compare two, on made-up trainees", status: http.StatusAccepted,
		details: "Trainees of given true ability are judged case by case by the rules that judge real ones. The order waits to be worked off, and says how far it has come.",
	}, func(ctx context.Context, in *creation) (*simulationMade, error) {
		in.Body.IdempotencyKey = in.Key
		view, err := s.Service.Simulate(ctx, actor(ctx), in.Programme, in.Body)
		if err != nil {
			return nil, err
		}
		return &simulationMade{ETag: etag(view.Revision), Location: at(in.Programme, "/simulations/"+string(view.ID)), Body: view}, nil
	})
	register(s, operation{
		id: "simulations", method: http.MethodGet, path: path, tag: "Standards", object: policies.Simulation, action: policies.List,
		summary: "Simulations, newest first",
	}, func(ctx context.Context, in *many) (*listed[service.SimulationView], error) {
		return page(s.Service.Simulations(ctx, actor(ctx), in.Programme, in.page()))
	})
	register(s, operation{
		id: "simulation", method: http.MethodGet, path: path + "/{simulation}", tag: "Standards", object: policies.Simulation, action: policies.Read,
		summary: "One simulation: its plan, how far it has come, and what it found", details: "Shares have 95 % intervals for what the number of made-up trainees leaves open.",
	}, func(ctx context.Context, in *OneSimulation) (*simulationAnswer[service.SimulationWhole], error) {
		whole, err := s.Service.SimulationByID(ctx, actor(ctx), in.Programme, in.Simulation)
		if err != nil {
			return nil, err
		}
		return &simulationAnswer[service.SimulationWhole]{ETag: etag(whole.Revision), Body: whole}, nil
	})
	register(s, operation{
		id: "cancel-simulation", method: http.MethodPost, path: path + "/{simulation}/cancel", tag: "Standards", object: policies.Simulation, action: policies.Withdraw,
		summary: "Cancel a simulation that waits or runs",
	}, func(ctx context.Context, in *change) (*simulationAnswer[service.SimulationView], error) {
		revision, err := in.revision(ctx)
		if err != nil {
			return nil, err
		}
		view, err := s.Service.CancelSimulation(ctx, actor(ctx), in.Programme, in.Simulation, revision)
		if err != nil {
			return nil, err
		}
		return &simulationAnswer[service.SimulationView]{ETag: etag(view.Revision), Body: view}, nil
	})
}
