package service

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"sync"
	"testing"
	"time"

	"isthmus/api/store"
	"isthmus/assessment"
	"isthmus/assessment/atrium"
	"isthmus/assessment/pack"
	"isthmus/competency"
	"isthmus/policies"
)

// place is a programme with a director and as many trainees as wanted, a clock, and a model that knows one result.
type place struct {
	testing.TB
	service *Service
	store   *store.Store
	mutex   sync.Mutex
	now     time.Time
	ids     int
}

const programme = competency.ProgrammeID("north")

// idle is a model for plans that leave the atria alone.
type idle struct{ result atrium.Result }

func (m idle) Conduct(atrium.LesionSet) (atrium.Result, error) { return m.result, nil }

func (m idle) Lay(atrium.LesionSet) ([]atrium.DrawnLesion, error) { return nil, nil }

func (m idle) Activation(atrium.LesionSet) ([]atrium.Isochrones, error) { return nil, nil }

func newPlace(tb testing.TB, s *store.Store) *place {
	tb.Helper()
	p := &place{TB: tb, store: s, now: time.Date(2026, 6, 1, 9, 0, 0, 0, time.UTC)}
	allow, err := policies.New()
	p.must(err)
	result, err := atrium.Default().Conduct(atrium.LesionSet{})
	p.must(err)
	timed, endless := pack.Scenarios()[0], pack.Scenarios()[1]
	timed.MinutesLimit, endless.MinutesLimit = 20, 0
	p.service, err = New(Deps{
		Store: s, Authorizer: allow, Model: idle{result}, Policy: assessment.DefaultPolicy(), Scenarios: []assessment.Scenario{timed, endless},
		Clock: p.clock, NewID: p.newID,
	})
	p.must(err)
	p.must(s.Write(p.Context(), store.Act{Programme: programme, Name: "test", At: p.now}, func(tx *store.Tx) error {
		err := tx.CreateProgramme(store.Programme{ID: programme, Name: "North", Settings: competency.Defaults(), CreatedAt: p.now})
		return errors.Join(err, tx.Audit("programme", "north", nil, nil))
	}))
	p.join("director", policies.Director)
	return p
}

func (p *place) must(err error) {
	p.Helper()
	if err != nil {
		p.Fatal(err)
	}
}

func (p *place) clock() time.Time {
	p.mutex.Lock()
	defer p.mutex.Unlock()
	return p.now
}

func (p *place) advance(d time.Duration) {
	p.mutex.Lock()
	defer p.mutex.Unlock()
	p.now = p.now.Add(d)
}

func (p *place) newID() string {
	p.mutex.Lock()
	defer p.mutex.Unlock()
	p.ids++
	return fmt.Sprintf("id-%06d", p.ids)
}

// join adds a person with a role.
func (p *place) join(name string, role policies.Role) Actor {
	id := competency.PersonID(name)
	p.must(p.store.Write(context.Background(), store.Act{Programme: programme, Name: "test", At: p.clock()}, func(tx *store.Tx) error {
		return errors.Join(tx.CreatePerson(store.Person{ID: id, Email: name + "@example.org", Name: name, PasswordHash: "x", CreatedAt: p.clock()}),
			tx.AddMembership(store.Membership{Programme: programme, Person: id, Role: string(role), From: "2026-01-01"}),
			tx.Audit("person", name, nil, nil))
	}))
	return Actor{Person: id, Name: name}
}

// planMarked is a valid plan that can be told from others; one without a decision when it is not to be valid.
func planMarked(mark int, valid bool) assessment.Plan {
	plan := assessment.Plan{Note: "plan " + strconv.Itoa(mark), LeftAppendage: assessment.Appendage{State: atrium.AppendageKept}, Lesions: []atrium.Lesion{}}
	if valid {
		no := false
		plan.Ablate, plan.Reason = &no, assessment.Reason("emergency")
	}
	return plan
}
