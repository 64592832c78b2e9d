package service

import (
	"slices"
	"time"

	"isthmus/api/store"
	"isthmus/assessment"
	"isthmus/competency"
	"isthmus/policies"
)

// Where what a library keeps comes from.
const (
	SourceStarter = "starter" // with the program; nobody in the programme has touched it
	SourceOwn     = "own"     // written, revised or retired in the programme
)

// LifeHead is where a scenario or a question stands, as lists show it.
type LifeHead struct {
	Status       assessment.Status     `json:"status"`
	Version      int                   `json:"version"`
	LiveVersion  int                   `json:"live_version"`     // what can be answered; 0 for nothing
	Author       competency.PersonID   `json:"author,omitempty"` // who began the version; absent for what came with the program
	AuthorName   string                `json:"author_name"`
	Authors      []competency.PersonID `json:"authors"` // everybody who wrote in the version: none of them approves it
	Reviewer     competency.PersonID   `json:"reviewer,omitempty"`
	ReviewerName string                `json:"reviewer_name,omitempty"`
	UpdatedAt    time.Time             `json:"updated_at,omitzero"` // absent for what came with the program
	Revision     int                   `json:"revision"`
	Source       string                `json:"source"`
	May          []string              `json:"may"` // what the actor may do with it now: edit, submit, return, approve, retire, revise
}

// LifeAct is one act in the life of a scenario or a question.
type LifeAct struct {
	Kind    string              `json:"kind"` // create, import, submit, return, approve, retire, revise
	By      competency.PersonID `json:"by"`
	ByName  string              `json:"by_name"`
	At      time.Time           `json:"at"`
	Reason  string              `json:"reason,omitempty"`
	Version int                 `json:"version"`
}

// lifeMove is an act on what has a life: what it is to the policies, and the states it starts from.
type lifeMove struct {
	kind   string
	action policies.Action
	from   []assessment.Status
}

// lifeMoves are the acts on what a library keeps.
var lifeMoves = []lifeMove{
	{"edit", policies.Edit, []assessment.Status{assessment.Draft}},
	{"submit", policies.Submit, []assessment.Status{assessment.Draft}},
	{"return", policies.Return, []assessment.Status{assessment.InReview}},
	{"approve", policies.Approve, []assessment.Status{assessment.InReview}},
	{"retire", policies.Retire, []assessment.Status{assessment.Draft, assessment.InReview, assessment.Live}},
	{"revise", policies.Create, []assessment.Status{assessment.Live, assessment.Retired}},
}

// lifeHead is what lists show of a life. byline is who wrote what came with the program.
func (h *scene) lifeHead(object policies.Object, l assessment.Life, updatedAt time.Time, byline string) (LifeHead, error) {
	head := LifeHead{
		Status: l.Status, Version: l.Version, LiveVersion: l.LiveVersion, Author: competency.PersonID(l.Author()), Authors: []competency.PersonID{},
		Reviewer: competency.PersonID(l.Reviewer), UpdatedAt: updatedAt, Revision: l.Revision, Source: SourceOwn, May: h.mayMove(object, lifeMoves, l.Status),
	}
	if l.Revision == 0 {
		head.Source = SourceStarter
	}
	for _, author := range l.Authors {
		head.Authors = append(head.Authors, competency.PersonID(author))
	}
	if slices.Contains(l.Authors, string(h.actor.Person)) {
		head.May = slices.DeleteFunc(head.May, func(kind string) bool { return kind == "approve" })
	}
	if err := h.nameInto(map[*string]competency.PersonID{&head.AuthorName: head.Author, &head.ReviewerName: head.Reviewer}); err != nil {
		return head, err
	}
	if head.Author == "" {
		head.AuthorName = byline
	}
	return head, nil
}

// mayMove lists the acts that the actor may do in a state.
func (h *scene) mayMove(object policies.Object, moves []lifeMove, status assessment.Status) []string {
	may := []string{}
	for _, move := range moves {
		if slices.Contains(move.from, status) && h.may(object, move.action, policies.InProgramme) == nil {
			may = append(may, move.kind)
		}
	}
	return may
}

// lifeActs are a history as people read it.
func lifeActs(rows []store.Done) []LifeAct {
	acts := make([]LifeAct, len(rows))
	for i, row := range rows {
		acts[i] = LifeAct{Kind: row.Kind, By: row.By, ByName: row.ByName, At: row.At, Reason: row.Reason, Version: row.Version}
	}
	return acts
}
