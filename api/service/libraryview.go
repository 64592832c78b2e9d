package service

import (
	"context"
	"errors"

	"isthmus/api/store"
	"isthmus/assessment"
	"isthmus/assessment/af"
	"isthmus/assessment/strict"
	"isthmus/competency"
	"isthmus/policies"
)

// EditionHead is a scenario of the library in a list.
type EditionHead struct {
	ID    assessment.ScenarioID `json:"id"`
	Title string                `json:"title"`
	LifeHead
	Pattern   af.Pattern `json:"pattern,omitempty"` // absent while the history contradicts itself
	Operation string     `json:"operation"`
}

// EditionView is a scenario of the library with its answers and its history.
type EditionView struct {
	Head     EditionHead         `json:"head"`
	Scenario assessment.Scenario `json:"scenario"`
	Pattern  *af.Derivation      `json:"pattern,omitempty"` // absent while the history contradicts itself
	Faults   []strict.Fault      `json:"faults"`            // what keeps it from being live, the grades of its answers aside
	Acts     []LifeAct           `json:"acts"`
}

// Library lists every scenario of the programme's library, the starter scenarios first in their order, then its own by id.
func (s *Service) Library(ctx context.Context, actor Actor, programme competency.ProgrammeID, page store.Page) (List[EditionHead], error) {
	list := List[EditionHead]{Items: []EditionHead{}}
	err := s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.may(policies.Edition, policies.List, policies.InProgramme); err != nil {
			return err
		}
		rows, err := h.tx.Editions(programme)
		if err != nil {
			return err
		}
		own := make(map[assessment.ScenarioID]store.EditionHead, len(rows))
		for _, row := range rows {
			own[row.ID] = row
		}
		ids, next, err := pageOf(inOrder(h.starter, own), page, func(id assessment.ScenarioID) string { return string(id) })
		if err != nil {
			return err
		}
		list.Items, list.Next = make([]EditionHead, len(ids)), next
		for i, id := range ids {
			row, touched := own[id]
			if !touched {
				row = h.starterHead(id)
			}
			if list.Items[i], err = h.editionHead(row); err != nil {
				return err
			}
		}
		return nil
	})
	return list, err
}

// starterHead is the head of a starter scenario nobody touched.
func (h *scene) starterHead(id assessment.ScenarioID) store.EditionHead {
	scenario := h.starter.byID[id]
	return headOf(store.Edition{Edition: assessment.StarterEdition(scenario)})
}

// headOf is the head of an edition that is loaded.
func headOf(e store.Edition) store.EditionHead {
	head := store.HeadOf(e.Scenario)
	return store.EditionHead{Edition: e.Edition, Title: head.Title, Pattern: head.Pattern, Operation: head.Operation, UpdatedAt: e.UpdatedAt}
}

// editionHead is what a list shows of an edition.
func (h *scene) editionHead(row store.EditionHead) (EditionHead, error) {
	life, err := h.lifeHead(policies.Edition, row.Life, row.UpdatedAt, h.starter.byID[row.ID].Author)
	return EditionHead{row.ID, row.Title, life, row.Pattern, row.Operation}, err
}

// EditionByID gives one scenario of the library with its answers.
func (s *Service) EditionByID(ctx context.Context, actor Actor, programme competency.ProgrammeID, id assessment.ScenarioID) (EditionView, error) {
	var view EditionView
	err := s.read(ctx, actor, programme, func(h *scene) (err error) {
		view, err = h.editionByID(id)
		return err
	})
	return view, err
}

func (h *scene) editionByID(id assessment.ScenarioID) (EditionView, error) {
	if err := h.mayAuthor(policies.Read); err != nil {
		return EditionView{}, err
	}
	e, err := h.edition(id)
	if err != nil {
		return EditionView{}, err
	}
	return h.editionView(e)
}

// edition is the programme's own edition, else the starter's. The error is ErrNotFound.
func (h *scene) edition(id assessment.ScenarioID) (store.Edition, error) {
	e, err := h.tx.EditionByID(h.programme.ID, id)
	if !errors.Is(err, ErrNotFound) {
		return e, err
	}
	scenario, known := h.starter.byID[id]
	if !known {
		return store.Edition{}, missing("scenario")
	}
	return store.Edition{Edition: assessment.StarterEdition(scenario)}, nil
}

// editionView gathers what belongs to an edition.
func (h *scene) editionView(e store.Edition) (EditionView, error) {
	head, err := h.editionHead(headOf(e))
	if err != nil {
		return EditionView{}, err
	}
	rows, err := h.tx.EditionActs(h.programme.ID, e.ID)
	if err != nil {
		return EditionView{}, err
	}
	view := EditionView{Head: head, Scenario: e.Scenario, Faults: []strict.Fault{}, Acts: lifeActs(rows)}
	view.Faults = append(view.Faults, h.service.checker(assessment.Policy{}).Mistakes(e.ForReview()).List...)
	if pattern, err := e.Scenario.Pattern(); err == nil {
		view.Pattern = &pattern
	}
	return view, nil
}
