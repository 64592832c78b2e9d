package main

import (
	"context"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"slices"
	"time"

	"github.com/google/uuid"

	"isthmus/api/service"
	"isthmus/api/signin"
	"isthmus/api/store"
	"isthmus/assessment"
	"isthmus/assessment/atrium"
	"isthmus/assessment/pack"
	"isthmus/competency"
	"isthmus/migrations"
	"isthmus/policies"
)

// demoSeed makes the ids of the demo; with the day it was filled it stands in accounts.json, so the same evidence can be made again.
const demoSeed = 20_260_314

// demoTeller tells the story: it moves a clock from act to act and does each through the services the API uses.
type demoTeller struct {
	ctx       context.Context
	store     *store.Store
	service   *service.Service
	today     competency.Day
	clock     time.Time
	random    *rand.Rand
	programme competency.ProgrammeID
	hash      string                 // of the password that all share: hashing is slow on purpose, and the accounts are nobody's
	people    map[string]demoAccount // by first name, lower case
	invited   []demoAccount          // those of them who came by an invitation
	acts      []demoAct
}

// demoAct is one thing somebody does at a time.
type demoAct struct {
	at time.Time
	do func() error
}

// fillDemo migrates an empty database and tells the whole story, which ends on the day of now.
func fillDemo(ctx context.Context, s *store.Store, now time.Time) (demoBook, error) {
	if _, err := migrations.Up(ctx, s.DB(), s.Dialect()); err != nil {
		return demoBook{}, err
	}
	t := &demoTeller{
		ctx: ctx, store: s, today: competency.DayOf(now), random: rand.New(rand.NewPCG(demoSeed, demoSeed)), people: map[string]demoAccount{},
	}
	authorizer, err := policies.New()
	if err != nil {
		return demoBook{}, err
	}
	t.service, err = service.New(service.Deps{
		Store: s, Authorizer: authorizer, Model: &rememberer{model: atrium.Default(), seen: map[string]atrium.Result{}}, Policy: assessment.DefaultPolicy(), Scenarios: pack.Scenarios(),
		Clock: func() time.Time { return t.clock }, NewID: t.newID,
	})
	if err != nil {
		return demoBook{}, err
	}
	book, err := t.found()
	if err != nil {
		return demoBook{}, err
	}
	t.tellCases()
	t.tellPlans()
	t.tellLibrary()
	t.tellTests()
	t.tellQuestions()
	t.tellOverride()
	t.tellEntry()
	t.tellMeetings()
	t.tellSimulation()
	t.tellMembers()
	t.tellReviewer()
	slices.SortStableFunc(t.acts, func(a, b demoAct) int { return a.at.Compare(b.at) })
	for len(t.acts) > 0 { // an act may bring later ones with it
		act := t.acts[0]
		t.acts = t.acts[1:]
		t.clock = act.at
		if err := act.do(); err != nil {
			return demoBook{}, fmt.Errorf("on %s: %w", competency.DayOf(act.at), err)
		}
	}
	book.Accounts = append(book.Accounts, t.invited...)
	return book, nil
}

// rememberer computes every lesion set once: the story delivers the same few sets over and over, and a result follows from its set.
// Only one goroutine tells the story.
type rememberer struct {
	model *atrium.Model
	seen  map[string]atrium.Result // by the set's JSON
}

// Conduct gives the model's result.
func (r *rememberer) Conduct(set atrium.LesionSet) (atrium.Result, error) {
	key, err := json.Marshal(set)
	if err != nil {
		return atrium.Result{}, err
	}
	if result, known := r.seen[string(key)]; known {
		return result, nil
	}
	result, err := r.model.Conduct(set)
	if err == nil {
		r.seen[string(key)] = result
	}
	return result, err
}

// Activation gives the model's map; the story asks for none twice.
func (r *rememberer) Activation(set atrium.LesionSet) ([]atrium.Isochrones, error) {
	return r.model.Activation(set)
}

// Lay gives where the lesions run, by the model.
func (r *rememberer) Lay(set atrium.LesionSet) ([]atrium.DrawnLesion, error) { return r.model.Lay(set) }

// newID makes a version 7 UUID (RFC 9562) from the story's clock and its seeded chance, so that filling twice gives the same ids.
func (t *demoTeller) newID() string {
	var id uuid.UUID
	binary.BigEndian.PutUint64(id[:8], uint64(t.clock.UnixMilli())<<16|t.random.Uint64()&0xfff)
	binary.BigEndian.PutUint64(id[8:], t.random.Uint64())
	id[6] = id[6]&0x0f | 0x70
	id[8] = id[8]&0x3f | 0x80
	return id.String()
}

// at is a time of day, so many days before today.
func (t *demoTeller) at(daysAgo int, hour, minute int) time.Time {
	return t.today.Add(-daysAgo).Start().Add(time.Duration(hour)*time.Hour + time.Duration(minute)*time.Minute)
}

// later puts an act in its place among those still to come.
func (t *demoTeller) later(at time.Time, do func() error) {
	i := slices.IndexFunc(t.acts, func(act demoAct) bool { return act.at.After(at) })
	if i < 0 {
		i = len(t.acts)
	}
	t.acts = slices.Insert(t.acts, i, demoAct{at, do})
}

// as is somebody acting.
func (t *demoTeller) as(who string) service.Actor {
	person := t.people[who]
	return service.Actor{Person: person.ID, Name: person.Name, RequestID: "demo"}
}

// found sets up what an operator sets up: programme, accounts, memberships; and the director's standard.
func (t *demoTeller) found() (demoBook, error) {
	t.clock = t.at(demoLength+2, 8, 0)
	t.programme = competency.ProgrammeID(t.newID())
	settings := competency.Defaults()
	settings.Sites, settings.SigningMinutes = demoSites, demoSigningBefore
	var err error
	if t.hash, err = signin.HashPassword(demoPassword); err != nil {
		return demoBook{}, err
	}
	book := demoBook{
		About:     "Everything in it is invented: people, sites, cases. " + atrium.Caution,
		Programme: t.programme, Name: demoProgramme, Seed: demoSeed, FilledOn: t.today,
	}
	act := store.Act{Programme: t.programme, Name: "programme.add", RequestID: "demo", At: t.clock}
	err = t.store.Write(t.ctx, act, func(tx *store.Tx) error {
		row := store.Programme{ID: t.programme, Name: demoProgramme, Settings: settings, CreatedAt: t.clock}
		if err := tx.CreateProgramme(row); err != nil {
			return err
		}
		return tx.Audit("programme", string(row.ID), nil, row)
	})
	if err != nil {
		return demoBook{}, err
	}
	for _, p := range demoPeople {
		account := demoAccount{
			ID: competency.PersonID(t.newID()), Role: string(p.role), Name: p.name, Email: p.key + "@example.org", Password: demoPassword, Stage: p.stage,
		}
		t.people[p.key] = account
		book.Accounts = append(book.Accounts, account)
		if err := t.join(account, t.today.Add(-p.joined)); err != nil {
			return demoBook{}, err
		}
	}
	t.clock = t.at(demoLength+1, 9, 0)
	_, err = t.service.AddStandard(t.ctx, t.as("amara"), t.programme, demoStandard, competency.DayOf(t.clock))
	return book, err
}

// join adds an account and makes it a member.
func (t *demoTeller) join(account demoAccount, from competency.Day) error {
	person := store.Person{ID: account.ID, Email: account.Email, Name: account.Name, PasswordHash: t.hash, Epoch: 1, CreatedAt: t.clock}
	shown := person
	shown.PasswordHash = "" // no trace of it in the audit trail
	act := store.Act{Programme: t.programme, Name: "user.add", RequestID: "demo", At: t.clock}
	return t.store.Write(t.ctx, act, func(tx *store.Tx) error {
		if err := tx.CreatePerson(person); err != nil {
			return err
		}
		if err := tx.Audit("person", string(person.ID), nil, shown); err != nil {
			return err
		}
		return addRole(tx, store.Membership{Programme: t.programme, Person: account.ID, Role: account.Role, From: from})
	})
}
