package service

import (
	"context"
	"time"

	"github.com/google/uuid"

	"isthmus/api/store"
	"isthmus/assessment/atrium"
	"isthmus/competency"
	"isthmus/competency/fhir"
	"isthmus/policies"
)

// Disclosure is what can leave the programme in open formats, and how far the delivery of its statements is.
type Disclosure struct {
	Statements StatementDisclosure `json:"statements"`
	Operations OperationDisclosure `json:"operations"`
	Delivery   DeliveryView        `json:"delivery"`
	Caution    string              `json:"caution"`
}

// StatementDisclosure says what statements hold.
type StatementDisclosure struct {
	Holds   []string `json:"holds"`
	Without []string `json:"without"`
}

// OperationDisclosure says what the de-identified operations would hold now. Numbers below the limit are not told.
type OperationDisclosure struct {
	K        int      `json:"k"`        // every operation looks like at least k-1 others
	Released int      `json:"released"` // 0, or k and more
	Says     []string `json:"says"`
}

// DeliveryView is how far the delivery to the learning record store is.
type DeliveryView struct {
	Configured bool                `json:"configured"` // the installation has a store to deliver to
	On         bool                `json:"on"`         // the programme hands its statements over
	Number     int                 `json:"number"`     // of the choice that holds; 0: nobody has chosen
	By         competency.PersonID `json:"by,omitempty"`
	ByName     string              `json:"by_name,omitempty"`
	Since      time.Time           `json:"since,omitzero"`
	Waiting    int                 `json:"waiting"`
	Stuck      int                 `json:"stuck"` // of those waiting, tried and not taken
	Sent       int                 `json:"sent"`
	Oldest     time.Time           `json:"oldest,omitzero"` // since when the oldest waits
	LastAt     time.Time           `json:"last_at,omitzero"`
	Message    string              `json:"message,omitempty"` // why the one tried most was not taken
}

// statementHolds and statementWithout are said of every statement.
var (
	statementHolds = []string{
		"A graded plan: scenario, attempt, score, letter, unsafe or not.",
		"A quiz: practice, daily or test, and its points.",
		"A signed operation: role, help given, supervision asked for next, late recall, and the assessor.",
		"A decision: its outcome and the version of the standard.",
		"A signature taken back: its statement is voided.",
	}
	statementWithout = []string{
		"No patient and nothing of an operation: not its day, kind, site or lesions.",
		"No names and no mail addresses: people are the numbers of their accounts here.",
		"No text that somebody wrote.",
	}
)

// Disclosure says what can leave the programme. It is a read and leaves no audit entry.
func (s *Service) Disclosure(ctx context.Context, actor Actor, programme competency.ProgrammeID) (Disclosure, error) {
	view := Disclosure{Statements: StatementDisclosure{Holds: statementHolds, Without: statementWithout}, Caution: atrium.Caution}
	err := s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.may(policies.Disclosure, policies.Read, policies.InProgramme); err != nil {
			return err
		}
		release, err := h.release()
		if err != nil {
			return err
		}
		view.Operations = OperationDisclosure{K: release.K, Released: release.Released(), Says: release.Says()}
		view.Delivery, err = h.delivery()
		return err
	})
	return view, err
}

// ExportOperations gives the programme's signed operations as a FHIR bundle without identity, and leaves an audit entry.
func (s *Service) ExportOperations(ctx context.Context, actor Actor, programme competency.ProgrammeID) (fhir.Bundle, error) {
	var bundle fhir.Bundle
	err := s.write(ctx, actor, programme, "disclosure.fhir", func(h *scene) error {
		if err := h.may(policies.Disclosure, policies.Export, policies.InProgramme); err != nil {
			return err
		}
		release, err := h.release()
		if err != nil {
			return err
		}
		bundle = fhir.Write(release, uuid.NewSHA1(uuid.NameSpaceURL, []byte(s.deps.NewID()))) // hashed: the id itself would tell the instant
		return h.tx.Audit("disclosure", "fhir", nil, bundle)
	})
	return bundle, err
}

// release makes the programme's signed operations fit to leave: the version signed last of each, without those withdrawn.
func (h *scene) release() (fhir.Release, error) {
	all, err := h.tx.EvidenceForAll(h.programme.ID)
	if err != nil {
		return fhir.Release{}, err
	}
	var operations []fhir.Operation
	for _, evidence := range all {
		for _, c := range evidence.Cases {
			if !c.Withdrawn {
				operations = append(operations, fhir.Operation{OperatedOn: c.OperatedOn, Operation: c.Operation, Pattern: c.Pattern, Scope: c.Scope})
			}
		}
	}
	return fhir.NewRelease(operations, h.programme.Settings.Filled().SmallCells), nil
}

// delivery is how far the delivery is.
func (h *scene) delivery() (DeliveryView, error) {
	choice, err := h.tx.StatementChoice(h.programme.ID)
	if err != nil {
		return DeliveryView{}, err
	}
	q, err := h.tx.StatementQueue(h.programme.ID)
	if err != nil {
		return DeliveryView{}, err
	}
	view := DeliveryView{
		Configured: h.service.deps.Records != nil, On: choice.Deliver, Number: choice.Number, By: choice.By, Since: choice.At,
		Waiting: q.Waiting, Stuck: q.Stuck, Sent: q.Sent, Oldest: q.Oldest, LastAt: q.LastAt, Message: q.Message,
	}
	view.ByName, err = h.name(choice.By)
	return view, err
}

// DeliveryChoice is whether the programme hands its statements over; after is the number of the choice last seen.
type DeliveryChoice struct {
	Deliver bool `json:"deliver"`
	After   int  `json:"after" minimum:"0" doc:"The number of the choice last seen, so that nobody overwrites what they have not seen."`
}

// ChooseDelivery begins or ends the delivery. To begin it the installation must have a store. The error is strict.Faults, ErrStale or ErrForbidden.
func (s *Service) ChooseDelivery(ctx context.Context, actor Actor, programme competency.ProgrammeID, choice DeliveryChoice) (DeliveryView, error) {
	var view DeliveryView
	err := s.write(ctx, actor, programme, "disclosure.choose", func(h *scene) error {
		if err := h.may(policies.Disclosure, policies.Edit, policies.InProgramme); err != nil {
			return err
		}
		if choice.Deliver && s.deps.Records == nil {
			return fault("deliver", "this installation has no learning record store: whoever runs it configures one first")
		}
		before, err := h.tx.StatementChoice(programme)
		switch {
		case err != nil:
			return err
		case before.Number != choice.After:
			return ErrStale
		}
		after := store.StatementChoice{Programme: programme, Number: before.Number + 1, Deliver: choice.Deliver, By: actor.Person, At: h.now}
		if err := h.tx.AddStatementChoice(after); err != nil {
			return err
		}
		if err := h.tx.Audit("disclosure", "delivery", before, after); err != nil {
			return err
		}
		view, err = h.delivery()
		return err
	})
	return view, err
}
