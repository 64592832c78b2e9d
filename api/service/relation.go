package service

import (
	"slices"

	"isthmus/competency"
	"isthmus/policies"
)

// caseRelation is how the actor stands to a case.
func (h *scene) caseRelation(c competency.Case) policies.Relation {
	switch h.actor.Person {
	case c.Trainee:
		return policies.Own
	case c.Record.Supervisor:
		return policies.Supervised
	}
	return h.viewed(c.Trainee)
}

// caseObject is what kind of thing a case is to the policies. That it was signed off matters for withdrawing, and amending is of nothing
// else; any other act it refuses by its state, which says more.
func caseObject(c competency.Case, action policies.Action) policies.Object {
	switch {
	case c.Version == 0:
		return policies.Draft
	case c.SignedVersion > 0 && action == policies.Withdraw, action == policies.Amend:
		return policies.SignedCase
	}
	return policies.Case
}

// mayCase refuses what no rule allows. Whoever tries to return or sign off a case of their own is told so.
func (h *scene) mayCase(c competency.Case, action policies.Action) error {
	relation := h.caseRelation(c)
	err := h.mayRead(caseObject(c, action), action, relation, string(c.ID))
	if err != nil && relation == policies.Own && (action == policies.SignOff || action == policies.Return) {
		return competency.ErrSelfSignOff
	}
	return err
}

// traineeRelation is how the actor stands to a trainee's plans and standing: supervised means that the trainee has submitted a case
// with the actor as supervisor.
func (h *scene) traineeRelation(trainee competency.PersonID) (policies.Relation, error) {
	if trainee == h.actor.Person {
		return policies.Own, nil
	}
	if !h.is(policies.Faculty) {
		return h.viewed(trainee), nil
	}
	supervised, err := h.tx.TraineesOf(h.programme.ID, h.actor.Person)
	if err != nil {
		return "", err
	}
	if slices.Contains(supervised, trainee) {
		return policies.Supervised, nil
	}
	return h.viewed(trainee), nil
}

// mayTrainee refuses what no rule allows on something of a trainee.
func (h *scene) mayTrainee(object policies.Object, action policies.Action, trainee competency.PersonID) error {
	return h.mayRecord(object, action, trainee, string(trainee))
}

// mayRecord is mayTrainee for one thing of the trainee that has an id of its own.
func (h *scene) mayRecord(object policies.Object, action policies.Action, trainee competency.PersonID, id string) error {
	relation, err := h.traineeRelation(trainee)
	if err != nil {
		return err
	}
	return h.mayRead(object, action, relation, id)
}

// reach is what a list may hold: of everyone, or of the actor and those the actor supervises.
type reach struct {
	everyone, own, supervised bool
}

// reachOf asks the policies how far a list goes. The error is ErrForbidden when it may hold nothing.
func (h *scene) reachOf(object policies.Object) (reach, error) {
	var r reach
	for _, relation := range h.allow.Scope(h.roles, object, policies.List) {
		switch relation {
		case policies.Own:
			r.own = true
		case policies.Supervised:
			r.supervised = true
		case policies.InProgramme, policies.Anywhere:
			r.everyone = true
		}
	}
	if r == (reach{}) {
		return r, ErrForbidden
	}
	return r, nil
}

// mayAuthor refuses what no rule allows on a scenario's edition, and all of it while the actor has a test open: an edition holds the
// answers, and checking one grades them.
func (h *scene) mayAuthor(action policies.Action) error {
	if err := h.may(policies.Edition, action, policies.InProgramme); err != nil {
		return err
	}
	return h.noOpenTest()
}
