package service

import (
	"context"
	"errors"
	"slices"
	"time"

	"isthmus/api/store"
	"isthmus/assessment"
	"isthmus/assessment/af"
	"isthmus/assessment/strict"
	"isthmus/competency"
	"isthmus/policies"
)

// Where a scenario of a library comes from.
const (
	SourceStarter = "starter" // with the program; nobody in the programme has touched it
	SourceOwn     = "own"     // written, revised or retired in the programme
)

// EditionHead is a scenario of the library in a list.
type EditionHead struct {
	ID           assessment.ScenarioID `json:"id"`
	Title        string                `json:"title"`
	Status       assessment.Status     `json:"status"`
	Version      int                   `json:"version"`
	LiveVersion  int                   `json:"live_version"`     // what can be answered; 0 for nothing
	Author       competency.PersonID   `json:"author,omitempty"` // who began the version; absent for a starter scenario
	AuthorName   string                `json:"author_name"`
	Authors      []competency.PersonID `json:"authors"` // everybody who wrote in the version: none of them approves it
	Reviewer     competency.PersonID   `json:"reviewer,omitempty"`
	ReviewerName string                `json:"reviewer_name,omitempty"`
	UpdatedAt    time.Time             `json:"updated_at,omitzero"` // absent for a starter scenario
	Revision     int                   `json:"revision"`
	Pattern      af.Pattern            `json:"pattern,omitempty"` // absent while the history contradicts itself
	Operation    string                `json:"operation"`
	Source       string                `json:"source"`
	May          []string              `json:"may"` // what the actor may do with it now: edit, submit, return, approve, retire, revise
}

// EditionView is a scenario of the library with its answers and its history.
type EditionView struct {
	Head     EditionHead         `json:"head"`
	Scenario assessment.Scenario `json:"scenario"`
	Pattern  *af.Derivation      `json:"pattern,omitempty"` // absent while the history contradicts itself
	Faults   []strict.Fault      `json:"faults"`            // what keeps it from being live, the grades of its answers aside
	Acts     []EditionAct        `json:"acts"`
}

// EditionAct is one act in the life of a scenario of the library.
type EditionAct struct {
	Kind    string              `json:"kind"` // create, submit, return, approve, retire, revise
	By      competency.PersonID `json:"by"`
	ByName  string              `json:"by_name"`
	At      time.Time           `json:"at"`
	Reason  string              `json:"reason,omitempty"`
	Version int                 `json:"version"`
}

// lifeMoves are the acts on what a library keeps: what each is to the policies, and the states it starts from.
var lifeMoves = []struct {
	kind   string
	action policies.Action
	from   []assessment.Status
}{
	{"edit", policies.Edit, []assessment.Status{assessment.Draft}},
	{"submit", policies.Submit, []assessment.Status{assessment.Draft}},
	{"return", policies.Return, []assessment.Status{assessment.InReview}},
	{"approve", policies.Approve, []assessment.Status{assessment.InReview}},
	{"retire", policies.Retire, []assessment.Status{assessment.Draft, assessment.InReview, assessment.Live}},
	{"revise", policies.Create, []assessment.Status{assessment.Live, assessment.Retired}},
}

// mayInLife lists what the actor may do with a scenario or a question in its present state.
func (h *scene) mayInLife(object policies.Object, l assessment.Life) []string {
	may := []string{}
	for _, move := range lifeMoves {
		own := move.kind == "approve" && slices.Contains(l.Authors, string(h.actor.Person))
		if slices.Contains(move.from, l.Status) && !own && h.may(object, move.action, policies.InProgramme) == nil {
			may = append(may, move.kind)
		}
	}
	return may
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
	head := EditionHead{
		ID: row.ID, Title: row.Title, Status: row.Status, Version: row.Version, LiveVersion: row.LiveVersion, Author: competency.PersonID(row.Author()),
		Authors: []competency.PersonID{}, Reviewer: competency.PersonID(row.Reviewer), UpdatedAt: row.UpdatedAt, Revision: row.Revision,
		Pattern: row.Pattern, Operation: row.Operation, Source: SourceOwn, May: h.mayInLife(policies.Edition, row.Life),
	}
	if row.Revision == 0 {
		head.Source = SourceStarter
	}
	for _, author := range row.Authors {
		head.Authors = append(head.Authors, competency.PersonID(author))
	}
	if err := h.nameInto(map[*string]competency.PersonID{&head.AuthorName: head.Author, &head.ReviewerName: head.Reviewer}); err != nil {
		return head, err
	}
	if head.Author == "" {
		head.AuthorName = h.starter.byID[row.ID].Author
	}
	return head, nil
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
	view := EditionView{Head: head, Scenario: e.Scenario, Faults: []strict.Fault{}, Acts: make([]EditionAct, len(rows))}
	for i, row := range rows {
		view.Acts[i] = EditionAct{Kind: row.Kind, By: row.By, ByName: row.ByName, At: row.At, Reason: row.Reason, Version: row.Version}
	}
	view.Faults = append(view.Faults, h.service.checker(assessment.Policy{}).Mistakes(e.ForReview()).List...)
	if pattern, err := e.Scenario.Pattern(); err == nil {
		view.Pattern = &pattern
	}
	return view, nil
}
