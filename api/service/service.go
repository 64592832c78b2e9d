// Package service holds what people do: each act is authorised by the policies, decided by the domain and saved with its audit entry
// in one transaction. It knows no browser and no HTTP; the clock and the ids come from outside.
package service

import (
	"context"
	"fmt"
	"time"

	"isthmus/api/store"
	"isthmus/assessment"
	"isthmus/competency"
	"isthmus/policies"
)

// Deps is what a Service works with; every field but Mail, URL and Records is required.
type Deps struct {
	Store      *store.Store
	Authorizer *policies.Authorizer
	Model      Model
	Policy     assessment.Policy
	Scenarios  []assessment.Scenario // in the order people see them
	Clock      func() time.Time      // UTC, microseconds
	NewID      func() string         // uuid v7
	Mail       Mail                  // nil: no mail is sent
	URL        string                // where people open the program, without a slash at the end; in mails and statements
	Records    Records               // nil: no statement is handed over
}

// Service does what people ask for. It is safe for concurrent use and keeps no state of its own but what it can lose at any time.
type Service struct {
	deps    Deps
	starter *starter
	cohorts *cohortMemo
	banks   *bankMemo
}

// New checks deps and readies the scenarios. The error names what is missing.
func New(deps Deps) (*Service, error) {
	switch {
	case deps.Store == nil, deps.Authorizer == nil, deps.Model == nil, deps.Clock == nil, deps.NewID == nil:
		return nil, fmt.Errorf("service: store, authorizer, model, clock and ids are all required")
	}
	return &Service{deps: deps, starter: newStarter(deps.Scenarios), cohorts: &cohortMemo{}, banks: &bankMemo{}}, nil
}

// Actor is the person who acts, and the request it comes with.
type Actor struct {
	Person    competency.PersonID
	Name      string
	RequestID string
	ProvedAt  time.Time // when they last proved who they are with a password; zero for a bearer token
}

// List is one page of a list; Next is the cursor of the page after it, absent on the last one.
type List[T any] struct {
	Items []T    `json:"items"`
	Next  string `json:"next,omitempty"`
	// Caution stands in every list that shows a verdict on a plan or a person.
	Caution string `json:"caution,omitempty"`
}

// scene is where an act takes place: a transaction, a programme the actor is a member of today, and the actor's roles there.
type scene struct {
	service   *Service
	tx        *store.Tx
	ctx       context.Context
	actor     Actor
	programme store.Programme
	roles     []policies.Role
	today     competency.Day
	now       time.Time
	allow     *policies.Authorizer
	starter   *starter
	names     map[competency.PersonID]string // loaded on first use
	beyond    beyond                         // likewise
	unsettled error                          // why a test whose time is up is still open
	viewing   *store.Viewing                 // what an external reviewer is let see today; nil for anybody else
	opened    []opened                       // what such a reviewer was let read in this act
}

// read runs fn in a reading transaction. Programmes are walls: whoever is no member today gets ErrNotFound for all of it.
func (s *Service) read(ctx context.Context, actor Actor, programme competency.ProgrammeID, fn func(*scene) error) error {
	return s.settled(ctx, actor, programme, fn, func(act func(*scene) error) error {
		return s.readAsIs(ctx, actor, programme, act)
	})
}

// readAsIs is read while tests whose time is up may still be open.
func (s *Service) readAsIs(ctx context.Context, actor Actor, programme competency.ProgrammeID, fn func(*scene) error) error {
	var here *scene
	err := s.deps.Store.Read(ctx, func(tx *store.Tx) (err error) {
		if here, err = s.enter(ctx, tx, actor, programme); err != nil {
			return err
		}
		return fn(here)
	})
	if err != nil {
		return err
	}
	return s.logOpened(ctx, actor, programme, here.opened)
}

// write runs fn in a writing transaction that must leave an audit entry. fn can run more than once: it must not change what it closes over
// except to set its result anew.
func (s *Service) write(ctx context.Context, actor Actor, programme competency.ProgrammeID, name string, fn func(*scene) error) error {
	return s.settled(ctx, actor, programme, fn, func(act func(*scene) error) error {
		return s.writeAsIs(ctx, actor, programme, name, act)
	})
}

// writeAsIs is write while tests whose time is up may still be open.
func (s *Service) writeAsIs(ctx context.Context, actor Actor, programme competency.ProgrammeID, name string, fn func(*scene) error) error {
	doing := store.Act{Programme: programme, Actor: actor.Person, Name: name, RequestID: actor.RequestID, At: s.deps.Clock()}
	return s.deps.Store.Write(ctx, doing, func(tx *store.Tx) error {
		here, err := s.enter(ctx, tx, actor, programme)
		if err != nil {
			return err
		}
		return fn(here)
	})
}

// enter loads the programme and the actor's roles in it today.
func (s *Service) enter(ctx context.Context, tx *store.Tx, actor Actor, programme competency.ProgrammeID) (*scene, error) {
	now := s.deps.Clock()
	today := competency.DayOf(now)
	names, err := tx.RolesOn(programme, actor.Person, today)
	if err != nil {
		return nil, err
	}
	if len(names) == 0 {
		return nil, ErrNotFound
	}
	row, err := tx.ProgrammeByID(programme)
	if err != nil {
		return nil, err
	}
	here := &scene{service: s, tx: tx, ctx: ctx, actor: actor, programme: row, today: today, now: now, allow: s.deps.Authorizer, starter: s.starter}
	for _, name := range names {
		here.roles = append(here.roles, policies.Role(name))
	}
	return here, here.loadViewing()
}

// may refuses with ErrForbidden what no rule allows.
func (h *scene) may(object policies.Object, action policies.Action, relation policies.Relation) error {
	if !h.allow.Allowed(h.roles, object, action, relation) {
		return ErrForbidden
	}
	return nil
}

// is reports whether the actor has the role today.
func (h *scene) is(role policies.Role) bool {
	for _, own := range h.roles {
		if own == role {
			return true
		}
	}
	return false
}
