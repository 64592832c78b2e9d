package assessment

import (
	"errors"
	"time"

	"isthmus/assessment/strict"
)

// SittingGrace is how long after the end of a test a save or a submission still counts: a request made in time may arrive late. It is
// common practice, no source.
const SittingGrace = 10 * time.Second

// SittingStatus says how far a test has come.
type SittingStatus string

// The states of a sitting. Whatever is not open never changes again.
const (
	SittingOpen      SittingStatus = "open"
	SittingSubmitted SittingStatus = "submitted" // by the trainee
	SittingEnded     SittingStatus = "ended"     // by time: what had been saved by then counts
)

// ErrSittingOver is the error of every act that needs an open test.
var ErrSittingOver = errors.New("this test is over: it was submitted, or its time was up and what had been saved by then counts")

// Sitting is one trainee's test on one scenario: the time it has, what was saved of the plan so far, and how it ended. Its methods give
// the sitting as it is afterwards; now is always given from outside.
type Sitting struct {
	StartedAt time.Time
	EndsAt    time.Time // zero: no time is set
	Status    SittingStatus
	Plan      Plan           // as last saved; it need not be valid
	SavedAt   time.Time      // zero: never saved
	ClosedAt  time.Time      // zero while it is open
	Faults    []strict.Fault // why what was saved could not be graded when the time was up
	Revision  int            // rises with every change
}

// StartSitting opens a test of a scenario now, for the scenario's minutes or, when it names none, for as long as one likes.
func StartSitting(s Scenario, now time.Time) Sitting {
	sitting := Sitting{StartedAt: now, Status: SittingOpen, Revision: 1}
	if s.MinutesLimit > 0 {
		sitting.EndsAt = now.Add(time.Duration(s.MinutesLimit) * time.Minute)
	}
	return sitting
}

// PastEnd reports whether the time of a test that ends at end is up, the grace included; the zero time never comes.
func PastEnd(end, now time.Time) bool { return !end.IsZero() && now.After(end.Add(SittingGrace)) }

// Running reports whether the test is open and has time left.
func (s Sitting) Running(now time.Time) bool {
	return s.Status == SittingOpen && !PastEnd(s.EndsAt, now)
}

// Overdue reports whether the time is up and nobody has closed the test yet.
func (s Sitting) Overdue(now time.Time) bool {
	return s.Status == SittingOpen && PastEnd(s.EndsAt, now)
}

// Save keeps a plan as it is so far. The error is ErrSittingOver.
func (s Sitting) Save(plan Plan, now time.Time) (Sitting, error) {
	if !s.Running(now) {
		return s, ErrSittingOver
	}
	s.Plan, s.SavedAt = plan, now
	s.Revision++
	return s, nil
}

// Submit closes the test with the plan that is graded. The error is ErrSittingOver.
func (s Sitting) Submit(plan Plan, now time.Time) (Sitting, error) {
	s, err := s.Save(plan, now)
	if err != nil {
		return s, err
	}
	s.Status, s.ClosedAt = SittingSubmitted, now
	return s, nil
}

// End closes a test whose time is up with what was saved last, or with the faults for which that has no grade. It ends when its time
// was up, whenever somebody looks. The error is ErrSittingOver when it is closed already or has time left.
func (s Sitting) End(faults []strict.Fault, now time.Time) (Sitting, error) {
	if !s.Overdue(now) {
		return s, ErrSittingOver
	}
	s.Status, s.ClosedAt, s.Faults = SittingEnded, s.EndsAt, faults
	s.Revision++
	return s, nil
}
