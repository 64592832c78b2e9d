package store

import (
	"context"
	"time"

	"isthmus/competency"
)

// SimulationID identifies a simulation, uuid v7 in text form.
type SimulationID string

// SimulationState is how far a simulation has come.
type SimulationState string

// The states of a simulation: waiting -> done, failed or cancelled.
const (
	SimulationWaiting   SimulationState = waiting
	SimulationDone      SimulationState = "done"
	SimulationFailed    SimulationState = "failed"
	SimulationCancelled SimulationState = "cancelled"
)

// Simulation is a standard tried on made-up trainees, or on its way to be.
type Simulation struct {
	ID        SimulationID
	Programme competency.ProgrammeID
	By        competency.PersonID
	RequestID string
	Title     string
	Plan      []byte `json:"-"` // all that the result depends on, as JSON; a list leaves it out
	State     SimulationState
	Total     int // made-up trainees
	Ready     int
	Result    []byte `json:"-"` // as JSON once it is done; a list leaves it out
	Message   string
	CreatedAt time.Time
	ClosedAt  time.Time // zero while waiting
	Revision  int       // progress does not raise it
	Tries     int
}

type simulationRow struct {
	ID          SimulationID
	ProgrammeID competency.ProgrammeID
	ByID        competency.PersonID
	RequestID   string
	Title       string
	Plan        string
	State       SimulationState
	Total       int
	Ready       int
	Result      *string
	Message     string
	Lease       string
	LeaseUntil  *time.Time
	Tries       int
	CreatedAt   time.Time `gorm:"autoCreateTime:false"`
	ClosedAt    *time.Time
	Revision    int
}

// TableName names the table.
func (simulationRow) TableName() string { return "simulations" }

func (r simulationRow) simulation() Simulation {
	s := Simulation{
		ID: r.ID, Programme: r.ProgrammeID, By: r.ByID, RequestID: r.RequestID, Title: r.Title, Plan: []byte(r.Plan), State: r.State, Total: r.Total, Ready: r.Ready,
		Message: r.Message, CreatedAt: utc(r.CreatedAt), ClosedAt: timeOrZero(r.ClosedAt), Revision: r.Revision, Tries: r.Tries,
	}
	if r.Result != nil {
		s.Result = []byte(*r.Result)
	}
	return s
}

// CreateSimulation adds a simulation that waits to be worked off.
func (tx *Tx) CreateSimulation(s Simulation) error {
	row := simulationRow{
		ID: s.ID, ProgrammeID: s.Programme, ByID: s.By, RequestID: s.RequestID, Title: s.Title, Plan: string(s.Plan), State: SimulationWaiting,
		Total: s.Total, CreatedAt: utc(s.CreatedAt), Revision: 1,
	}
	return tx.insert("create simulation", s.Programme, &row)
}

// SimulationByID loads a simulation of a programme. The error is ErrNotFound.
func (tx *Tx) SimulationByID(programme competency.ProgrammeID, id SimulationID) (Simulation, error) {
	var row simulationRow
	err := tx.take("simulation", &row, "programme_id = ? AND id = ?", programme, id)
	return row.simulation(), err
}

// Simulations lists a programme's simulations, newest first, without plans and results.
func (tx *Tx) Simulations(programme competency.ProgrammeID, page Page) ([]Simulation, string, error) {
	query, err := newestFirst(tx.db.Omit("plan", "result").Where("programme_id = ?", programme), "created_at", "id", page)
	if err != nil {
		return nil, "", err
	}
	var rows []simulationRow
	if err := query.Find(&rows).Error; err != nil {
		return nil, "", translate("simulations", err)
	}
	return pageOf(rows, page, simulationRow.simulation, func(r simulationRow) string { return cursorAt(r.CreatedAt, string(r.ID)) })
}

// CloseSimulation ends the waiting of a simulation: it takes state, result, message and the time. The error is ErrStale when its
// revision is another than expected by now.
func (tx *Tx) CloseSimulation(s Simulation, expected int) error {
	var result any
	if s.Result != nil {
		result = string(s.Result)
	}
	return tx.endJob("simulations", s.Programme, string(s.ID), expected, map[string]any{
		"state": s.State, "message": s.Message, "ready": s.Ready, "result": result, "closed_at": utc(s.ClosedAt),
	})
}

// HoldsSimulation reports whether a simulation still waits under a lease.
func (tx *Tx) HoldsSimulation(programme competency.ProgrammeID, id SimulationID, lease string) (bool, error) {
	return tx.holdsLease("simulations", programme, string(id), lease)
}

// LeaseSimulation takes the oldest waiting simulation that nobody works on until a time; false when there is none.
func (s *Store) LeaseSimulation(ctx context.Context, lease string, now, until time.Time) (Simulation, bool, error) {
	id, err := s.takeLease(ctx, "simulations", lease, now, until)
	if err != nil || id == "" {
		return Simulation{}, false, err
	}
	var rows []simulationRow
	err = s.db.WithContext(ctx).Where("id = ? AND lease = ?", id, lease).Limit(1).Find(&rows).Error
	if err != nil || len(rows) == 0 {
		return Simulation{}, false, translate("leased simulation", err)
	}
	return rows[0].simulation(), true, nil
}

// KeepSimulation says how many trainees are ready and holds the lease until a time; false when it is lost.
func (s *Store) KeepSimulation(ctx context.Context, id SimulationID, lease string, ready int, until time.Time) (bool, error) {
	return s.keepLease(ctx, "simulations", string(id), lease, ready, until)
}
