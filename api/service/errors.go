package service

import (
	"errors"

	"isthmus/api/store"
)

// What an act can be refused for, besides the named errors of competency and strict.Faults about an input; compare with errors.Is.
var (
	ErrNotFound    = store.ErrNotFound // no such thing, or none in a programme the actor is a member of
	ErrStale       = store.ErrStale    // somebody changed it meanwhile
	ErrForbidden   = errors.New("your roles in this programme do not allow that")
	ErrKeyReused   = errors.New("this idempotency key was already used for a different request")
	ErrNoStandard  = errors.New("the programme has no standard in force yet: the director adds one")
	ErrNotTrainee  = errors.New("that person is not a trainee of the programme")
	ErrTestOpen    = errors.New("you have a test open: what lesions do and what is right of a question stay hidden until it is submitted or its time is up")
	ErrTestTaken   = errors.New("you have taken the test of this version of the scenario: it counts once")
	ErrAnswers     = errors.New("an answer of the scenario does not get the grade it should") // comes with strict.Faults that say which
	ErrNotFollowed = errors.New("a case is followed from its submission until it is withdrawn")
	ErrDuplicate   = store.ErrDuplicate // such a thing is there already
)
