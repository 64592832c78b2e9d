package service

import (
	"context"
	"crypto/sha256"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"

	"isthmus/api/chart"
	"isthmus/api/store"
	"isthmus/assessment/atrium"
	"isthmus/competency"
	"isthmus/competency/simulate"
	"isthmus/policies"
)

// ErrSimulationOver is what cancelling a simulation is refused for that is not waiting any more.
var ErrSimulationOver = errors.New("the simulation is over: it cannot be cancelled any more")

// SimulationOrder is what to simulate.
type SimulationOrder struct {
	Standards []TriedStandard `json:"standards" minItems:"1" maxItems:"2" doc:"One, or two to compare on the same made-up trainees."`
	Mix       simulate.Mix    `json:"mix" doc:"Who trains, on what, and how they are rated."`
	Trainees  int             `json:"trainees" doc:"Made-up trainees, 100 to 100,000."`
	Cases     int             `json:"cases" doc:"Operations until training ends, 1 to 500."`
	Adequate  float64         `json:"adequate" doc:"The true failure rate at or below which somebody is called adequate."`
	Seed      *uint64         `json:"seed,omitempty" maximum:"9007199254740991" doc:"The same order with the same seed gives the same figures; one is chosen and kept when absent."`

	IdempotencyKey string `json:"-"`
}

// TriedStandard is a version of the programme's standard, or a text that is none yet.
type TriedStandard struct {
	Version int    `json:"version,omitempty" minimum:"1" doc:"Of the programme's standard."`
	YAML    string `json:"yaml,omitempty" maxLength:"200000" doc:"A standard that is not in force, in place of a version."`
}

// SimulationView is a simulation as a list shows it.
type SimulationView struct {
	ID        store.SimulationID    `json:"id"`
	By        competency.PersonID   `json:"by"`
	ByName    string                `json:"by_name"`
	Title     string                `json:"title"`
	State     store.SimulationState `json:"state"` // waiting, done, failed, cancelled
	Total     int                   `json:"total"` // made-up trainees
	Ready     int                   `json:"ready"` // simulated so far
	Message   string                `json:"message,omitempty"`
	CreatedAt time.Time             `json:"created_at"`
	ClosedAt  time.Time             `json:"closed_at,omitzero"`
	Revision  int                   `json:"revision"`
	May       []string              `json:"may"` // cancel
}

// SimulationWhole is a simulation with all that it rests on and, once it is done, what it found.
type SimulationWhole struct {
	SimulationView
	Plan    simulate.Plan    `json:"plan"`
	Result  *simulate.Result `json:"result,omitempty"`
	Charts  []chart.Chart    `json:"charts"`
	Caution string           `json:"caution"`
}

// SimulationStart is what an order can begin with.
type SimulationStart struct {
	Mix  simulate.Mix `json:"mix"`
	N    int          `json:"n"`    // signed cases of the last year that kinds, rates and assessors were counted from
	Says string       `json:"says"` // where the numbers come from
}

// Simulate leaves an order to be worked off. The error is strict.Faults, ErrNotFound for a version there is not, ErrKeyReused or
// ErrForbidden.
func (s *Service) Simulate(ctx context.Context, actor Actor, programme competency.ProgrammeID, in SimulationOrder) (SimulationView, error) {
	o, err := onceFor(in.IdempotencyKey, "simulation.create", programme, in)
	if err != nil {
		return SimulationView{}, err
	}
	var view SimulationView
	check := func(h *scene) error { return h.may(policies.Simulation, policies.Create, policies.InProgramme) }
	load := func(h *scene, id string) error {
		one, err := h.tx.SimulationByID(programme, store.SimulationID(id))
		if err == nil {
			view, err = h.simulationView(one)
		}
		return err
	}
	err = s.create(ctx, actor, programme, o, check, load, func() error {
		return s.write(ctx, actor, programme, "simulation.create", func(h *scene) error {
			if err := check(h); err != nil {
				return err
			}
			view, err = h.newSimulation(in, o)
			return err
		})
	})
	return view, err
}

func (h *scene) newSimulation(in SimulationOrder, o once) (SimulationView, error) {
	id := o.newID(h.service)
	plan := simulate.Plan{Mix: in.Mix, Trainees: in.Trainees, Cases: in.Cases, Adequate: in.Adequate, Seed: seedFrom(id)}
	if in.Seed != nil {
		plan.Seed = *in.Seed
	}
	var titles []string
	for i, tried := range in.Standards {
		standard, err := h.triedStandard(tried)
		if err != nil {
			return SimulationView{}, under(fmt.Sprintf("standards[%d]", i), err)
		}
		plan.Standards = append(plan.Standards, standard)
		titles = append(titles, standardTitle(standard))
	}
	if faults := plan.Validate(); faults.Err() != nil {
		return SimulationView{}, faults
	}
	for i, group := range plan.Mix.Groups {
		if err := screen(fmt.Sprintf("mix.groups[%d].name", i), group.Name, maxNote); err != nil {
			return SimulationView{}, err
		}
	}
	text, err := json.Marshal(plan)
	if err != nil {
		return SimulationView{}, fmt.Errorf("simulation: %w", err)
	}
	one := store.Simulation{
		ID: store.SimulationID(id), Programme: h.programme.ID, By: h.actor.Person, RequestID: h.actor.RequestID, Title: strings.Join(titles, " against "),
		Plan: text, State: store.SimulationWaiting, Total: plan.Trainees, CreatedAt: h.now, Revision: 1,
	}
	if err := o.remember(h, id); err != nil {
		return SimulationView{}, err
	}
	if err := h.tx.CreateSimulation(one); err != nil {
		return SimulationView{}, err
	}
	if err := h.tx.Audit("simulation", id, nil, one); err != nil {
		return SimulationView{}, err
	}
	return h.simulationView(one)
}

// seedFrom makes a seed of an id, which no two simulations share.
func seedFrom(id string) uint64 {
	sum := sha256.Sum256([]byte(id))
	return binary.BigEndian.Uint64(sum[:]) & simulate.MostSeed
}

func standardTitle(standard competency.Standard) string {
	return fmt.Sprintf("%s, version %d", standard.Title, standard.Version)
}

// triedStandard reads the standard that an order names or brings.
func (h *scene) triedStandard(tried TriedStandard) (competency.Standard, error) {
	if (tried.Version == 0) == (tried.YAML == "") {
		return competency.Standard{}, fault("version", "say a version of the programme's standard, or bring a text as yaml: one of the two")
	}
	if tried.YAML != "" {
		standard, err := competency.DecodeStandard("", []byte(tried.YAML))
		return standard, under("yaml", err)
	}
	row, err := h.tx.StandardByVersion(h.programme.ID, tried.Version)
	if errors.Is(err, ErrNotFound) {
		return competency.Standard{}, fault("version", "the programme has no version %d of its standard", tried.Version)
	}
	if err != nil {
		return competency.Standard{}, err
	}
	return decodeStored(row)
}

// Simulations lists a programme's simulations, newest first.
func (s *Service) Simulations(ctx context.Context, actor Actor, programme competency.ProgrammeID, page store.Page) (List[SimulationView], error) {
	list := List[SimulationView]{Items: []SimulationView{}}
	err := s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.may(policies.Simulation, policies.List, policies.InProgramme); err != nil {
			return err
		}
		found, next, err := h.tx.Simulations(programme, page)
		if err != nil {
			return err
		}
		list.Items, list.Next = make([]SimulationView, len(found)), next
		for i, one := range found {
			if list.Items[i], err = h.simulationView(one); err != nil {
				return err
			}
		}
		return nil
	})
	return list, err
}

// SimulationByID gives one simulation with its plan and what it found so far.
func (s *Service) SimulationByID(ctx context.Context, actor Actor, programme competency.ProgrammeID, id store.SimulationID) (SimulationWhole, error) {
	whole := SimulationWhole{Charts: []chart.Chart{}, Caution: atrium.Caution}
	err := s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.may(policies.Simulation, policies.Read, policies.InProgramme); err != nil {
			return err
		}
		one, err := h.tx.SimulationByID(programme, id)
		if err != nil {
			return err
		}
		if whole.SimulationView, err = h.simulationView(one); err != nil {
			return err
		}
		if err := json.Unmarshal(one.Plan, &whole.Plan); err != nil {
			return fmt.Errorf("plan of simulation %s: %w", id, err)
		}
		if one.Result == nil {
			return nil
		}
		if err := json.Unmarshal(one.Result, &whole.Result); err != nil {
			return fmt.Errorf("result of simulation %s: %w", id, err)
		}
		whole.Charts = simulationCharts(whole.Plan, *whole.Result)
		return nil
	})
	return whole, err
}

// CancelSimulation gives up one that waits or is worked on. The error is ErrStale or ErrSimulationOver.
func (s *Service) CancelSimulation(ctx context.Context, actor Actor, programme competency.ProgrammeID, id store.SimulationID, revision int) (SimulationView, error) {
	var view SimulationView
	err := s.write(ctx, actor, programme, "simulation.cancel", func(h *scene) error {
		if err := h.may(policies.Simulation, policies.Withdraw, policies.InProgramme); err != nil {
			return err
		}
		before, err := h.tx.SimulationByID(programme, id)
		switch {
		case err != nil:
			return err
		case before.State != store.SimulationWaiting:
			return ErrSimulationOver
		case before.Revision != revision:
			return ErrStale
		}
		after := before
		after.State, after.ClosedAt = store.SimulationCancelled, h.now
		if after, err = closeSimulation(h.tx, before, after); err != nil {
			return err
		}
		view, err = h.simulationView(after)
		return err
	})
	return view, err
}

// closeSimulation saves and audits what became of a simulation.
func closeSimulation(tx *store.Tx, before, after store.Simulation) (store.Simulation, error) {
	if err := tx.CloseSimulation(after, before.Revision); err != nil {
		return after, err
	}
	after.Revision++
	return after, tx.Audit("simulation", string(after.ID), before, after)
}

// StartSimulation gives numbers to begin an order with: what the programme's own cases say, and examples for what nobody can count.
func (s *Service) StartSimulation(ctx context.Context, actor Actor, programme competency.ProgrammeID) (SimulationStart, error) {
	var start SimulationStart
	err := s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.may(policies.Simulation, policies.Create, policies.InProgramme); err != nil {
			return err
		}
		all, err := h.tx.EvidenceForAll(programme)
		if err != nil {
			return err
		}
		list := make([]competency.Evidence, 0, len(all))
		for _, evidence := range all {
			list = append(list, evidence)
		}
		start.Mix, start.N = simulate.MixOf(list, h.today)
		start.Says = fmt.Sprintf("Kinds of operation, rates and assessors are counted from the programme's %d signed cases of the last year; abilities and the spread of assessors are examples for you to set.", start.N)
		if start.N < simulate.FewestMix {
			start.Says = fmt.Sprintf("All numbers are examples for you to set: the programme has %d signed cases in the last year, and %d are needed to count from.", start.N, simulate.FewestMix)
		}
		return nil
	})
	return start, err
}

func (h *scene) simulationView(one store.Simulation) (SimulationView, error) {
	view := SimulationView{
		ID: one.ID, By: one.By, Title: one.Title, State: one.State, Total: one.Total, Ready: one.Ready, Message: one.Message,
		CreatedAt: one.CreatedAt, ClosedAt: one.ClosedAt, Revision: one.Revision, May: []string{},
	}
	if one.State == store.SimulationWaiting && h.may(policies.Simulation, policies.Withdraw, policies.InProgramme) == nil {
		view.May = append(view.May, "cancel")
	}
	var err error
	view.ByName, err = h.name(one.By)
	return view, err
}
