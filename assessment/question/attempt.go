package question

import (
	"errors"
	"fmt"
	"reflect"
	"slices"
	"time"

	"isthmus/assessment"
	"isthmus/assessment/strict"
)

// Mode is what an attempt is for.
type Mode string

// The modes. In practice and in the daily set an answer is final at once, because its feedback follows; in a test answers may change until
// it is submitted, and nothing is told before.
const (
	Practice Mode = "practice"
	Test     Mode = "test"
	DailySet Mode = "daily"
)

// Reply is what was answered at one place of a form.
type Reply struct {
	Given Given     `json:"given,omitzero"`
	MS    int       `json:"ms"`          // time spent at the item so far, as the browser counted it
	At    time.Time `json:"at,omitzero"` // when it was saved last; zero: never
}

// Answered reports whether anything was answered.
func (r Reply) Answered() bool { return !reflect.DeepEqual(r.Given, Given{}) }

// Change is a reply to be kept at a place.
type Change struct {
	Place int   `json:"place" minimum:"1" maximum:"200" doc:"1, 2, 3 in the order of the form."`
	Given Given `json:"given"`
	MS    int   `json:"ms" minimum:"0" maximum:"86400000" doc:"Milliseconds spent at the item so far."`
}

// Outcome is what the reply at one place came to.
type Outcome struct {
	Mark
	Topic Topic     `json:"topic"`
	At    time.Time `json:"at,omitzero"` // when it was answered; zero: never
	MS    int       `json:"ms"`
}

// Attempt is one person's work on one form: the items as they were asked, the time it has, the replies so far and how it ended. Its
// methods give the attempt as it is afterwards; now is always given from outside.
type Attempt struct {
	Mode      Mode                     `json:"mode"`
	Blueprint Blueprint                `json:"blueprint"`
	Bank      string                   `json:"bank"` // version it was drawn from
	Seed      int64                    `json:"seed"`
	Items     []Item                   `json:"-"` // in the order asked
	StartedAt time.Time                `json:"started_at"`
	DueAt     time.Time                `json:"due_at"`
	SavedAt   time.Time                `json:"saved_at,omitzero"`
	ClosedAt  time.Time                `json:"closed_at,omitzero"`
	Status    assessment.SittingStatus `json:"status"`
	Replies   []Reply                  `json:"replies"` // one for each item
	Outcomes  []Outcome                `json:"-"`       // likewise, once it is closed
	Score     Score                    `json:"score"`   // once it is closed
	Cut       float64                  `json:"cut"`     // per cent that pass, as it was at the start
	Terms     Terms                    `json:"terms,omitzero"`
	Revision  int                      `json:"revision"`
}

// Begin draws a form from the bank and opens an attempt at it now, with the example's cut. The error is strict.Faults, as of Assemble.
func Begin(bank Bank, mode Mode, b Blueprint, seed int64, now, due time.Time) (Attempt, error) {
	form, err := Assemble(bank, b, seed)
	if err != nil {
		return Attempt{}, err
	}
	a := Attempt{
		Mode: mode, Blueprint: b, Bank: form.Bank, Seed: seed, StartedAt: now, DueAt: due, Status: assessment.SittingOpen, Cut: ExampleCut, Revision: 1,
		Replies: make([]Reply, len(form.Items)),
	}
	for _, placed := range form.Items {
		it, _ := bank.Item(placed.Item)
		a.Items = append(a.Items, it)
	}
	return a, nil
}

// BeginTest draws a form of a programme's own test and opens an attempt at it now. cut gives the passing mark of the items drawn. The error
// is strict.Faults, as of Assemble.
func BeginTest(bank Bank, ref TestRef, plan TestPlan, seed int64, now time.Time, cut func([]Item) Cut) (Attempt, error) {
	a, err := Begin(bank, Test, plan.Blueprint, seed, now, now.Add(time.Duration(plan.Minutes)*time.Minute))
	if err != nil {
		return a, err
	}
	from := cut(a.Items)
	a.Terms, a.Cut = Terms{Test: ref, Scheme: plan.Scheme, CutFrom: from}, from.Percent
	return a, nil
}

// Placed is the item at a place, from 1, as it is shown.
func (a Attempt) Placed(place int) Placed { return Place(a.Items[place-1], a.Seed) }

// Overdue reports whether the time is up, the grace included, and nobody has closed the attempt yet.
func (a Attempt) Overdue(now time.Time) bool {
	return a.Status == assessment.SittingOpen && assessment.PastEnd(a.DueAt, now)
}

// running reports whether the attempt is open and has time left.
func (a Attempt) running(now time.Time) bool {
	return a.Status == assessment.SittingOpen && !assessment.PastEnd(a.DueAt, now)
}

// Holds reports whether every change is what is kept already: a save sent again.
func (a Attempt) Holds(changes []Change) bool {
	return !slices.ContainsFunc(changes, func(c Change) bool {
		return c.Place < 1 || c.Place > len(a.Replies) || a.Replies[c.Place-1].MS != c.MS || !reflect.DeepEqual(a.Replies[c.Place-1].Given, c.Given)
	})
}

// Save keeps replies. A save made in time counts until assessment.SittingGrace after the end. The error is assessment.ErrSittingOver, or
// strict.Faults about the changes: a place the form has not, what is no answer to its item, or another answer where feedback was given.
func (a Attempt) Save(changes []Change, now time.Time) (Attempt, error) {
	if !a.running(now) {
		return a, assessment.ErrSittingOver
	}
	a.Replies = slices.Clone(a.Replies)
	var faults strict.Faults
	for i, c := range changes {
		field := fmt.Sprintf("replies[%d]", i)
		if c.Place < 1 || c.Place > len(a.Items) {
			faults.Add(field+".place", "there are %d questions", len(a.Items))
			continue
		}
		if c.MS < 0 {
			faults.Add(field+".ms", "must not be negative")
		}
		reply := &a.Replies[c.Place-1]
		same := reflect.DeepEqual(reply.Given, c.Given)
		if !same && reply.Answered() && a.Mode != Test {
			faults.Add(field+".given", "this question is answered and its feedback was shown")
			continue
		}
		if _, err := a.Placed(c.Place).Read(a.Items[c.Place-1], c.Given); err != nil {
			var wrong strict.Faults
			if !errors.As(err, &wrong) {
				return a, err
			}
			faults.Join(field+".given", wrong)
			continue
		}
		if !same {
			reply.Given, reply.At = c.Given, now
		}
		reply.MS = c.MS
	}
	if err := faults.Err(); err != nil {
		return a, err
	}
	a.SavedAt = now
	a.Revision++
	return a, nil
}

// Submit closes the attempt with what is saved. The error is assessment.ErrSittingOver, or comes from the model.
func (a Attempt) Submit(m Conductor, now time.Time) (Attempt, error) {
	if !a.running(now) {
		return a, assessment.ErrSittingOver
	}
	a.Status, a.ClosedAt = assessment.SittingSubmitted, now
	return a.marked(m)
}

// End closes an attempt whose time is up with what was saved by then. It ends when its time was up, whenever somebody looks. The error is
// assessment.ErrSittingOver when it is closed already or has time left, or comes from the model.
func (a Attempt) End(m Conductor, now time.Time) (Attempt, error) {
	if !a.Overdue(now) {
		return a, assessment.ErrSittingOver
	}
	a.Status, a.ClosedAt = assessment.SittingEnded, a.DueAt
	return a.marked(m)
}

func (a Attempt) marked(m Conductor) (Attempt, error) {
	a.Revision++
	a.Outcomes = nil
	for i := range a.Items {
		outcome, err := a.Outcome(m, i+1)
		if err != nil {
			return a, err
		}
		a.Outcomes = append(a.Outcomes, outcome)
	}
	a.Score = a.Total()
	return a, nil
}

// Total is the score of the outcomes.
func (a Attempt) Total() Score {
	marks := make([]Mark, len(a.Outcomes))
	for i, o := range a.Outcomes {
		marks[i] = o.Mark
	}
	return Total(marks, nil)
}

// Outcome marks the reply at a place, from 1. The error comes from the model.
func (a Attempt) Outcome(m Conductor, place int) (Outcome, error) {
	it, reply := a.Items[place-1], a.Replies[place-1]
	answer, err := a.Placed(place).Read(it, reply.Given)
	if err != nil {
		return Outcome{}, err
	}
	mark, err := MarkItem(m, it, answer, a.Terms.Scheme)
	o := Outcome{Mark: mark, Topic: it.Topic, MS: reply.MS}
	if mark.Answered {
		o.At = reply.At
	}
	return o, err
}
