package service

import (
	"context"
	"errors"
	"slices"
	"time"

	"isthmus/api/store"
	"isthmus/assessment"
	"isthmus/assessment/atrium"
	"isthmus/assessment/question"
	"isthmus/assessment/strict"
	"isthmus/competency"
	"isthmus/policies"
)

// QuestionHead is a question of the bank in a list.
type QuestionHead struct {
	ID         question.ItemID     `json:"id"`
	Stem       string              `json:"stem"`
	Options    []string            `json:"options,omitempty"` // their texts: what a search looks through
	Topic      question.Topic      `json:"topic"`
	Kind       question.Kind       `json:"kind"`
	Difficulty question.Difficulty `json:"difficulty"`
	LifeHead
}

// BankQuestion is a question of the bank with its answer and its history.
type BankQuestion struct {
	Head   QuestionHead   `json:"head"`
	Item   question.Item  `json:"item"`
	Shown  *question.View `json:"shown,omitempty"` // as a trainee gets it; absent while it is not finished
	Faults []strict.Fault `json:"faults"`          // what keeps it from being asked
	Twins  []QuestionTwin `json:"twins"`           // questions much like it, drafts and retired ones too
	Acts   []LifeAct      `json:"acts"`

	Caution string `json:"caution"` // an answer says what lesions do
}

// QuestionTwin is a question much like another.
type QuestionTwin struct {
	question.Twin
	Stem   string `json:"stem"`
	InFile bool   `json:"in_file,omitempty"` // of an import: another question of the file, which the bank does not have
}

// QuestionVersion is a version that went live, or the starter's.
type QuestionVersion struct {
	Version      int                 `json:"version"`
	Status       assessment.Status   `json:"status"` // live, superseded, retired
	AuthorName   string              `json:"author_name"`
	Reviewer     competency.PersonID `json:"reviewer,omitempty"`
	ReviewerName string              `json:"reviewer_name,omitempty"`
	LiveFrom     time.Time           `json:"live_from,omitzero"` // absent for a starter question
	Item         question.Item       `json:"item"`
}

// mayQuestion reports whether the actor may do this with the programme's questions. Nobody does who has a test open.
func (h *scene) mayQuestion(action policies.Action) error {
	if err := h.may(policies.Question, action, policies.InProgramme); err != nil {
		return err
	}
	return h.noOpenTest()
}

// Questions lists every question of the bank, drafts included, by id.
func (s *Service) Questions(ctx context.Context, actor Actor, programme competency.ProgrammeID, page store.Page) (List[QuestionHead], error) {
	list := List[QuestionHead]{Items: []QuestionHead{}}
	err := s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.mayQuestion(policies.List); err != nil {
			return err
		}
		all, err := h.questions()
		if err != nil {
			return err
		}
		shown, next, err := pageOf(all, page, func(q store.Question) string { return string(q.ID) })
		if err != nil {
			return err
		}
		list.Items, list.Next = make([]QuestionHead, len(shown)), next
		for i, q := range shown {
			if list.Items[i], err = h.questionHead(q); err != nil {
				return err
			}
		}
		return nil
	})
	return list, err
}

// questions are the programme's questions and the starter ones it has not touched, by id.
func (h *scene) questions() ([]store.Question, error) {
	all, err := h.tx.Questions(h.programme.ID)
	if err != nil {
		return nil, err
	}
	own := len(all)
	for _, it := range question.Starter().Items() {
		_, touched := slices.BinarySearchFunc(all[:own], it.ID, compareID)
		if !touched {
			all = append(all, store.Question{Edition: question.StarterEdition(it)})
		}
	}
	slices.SortFunc(all, func(a, b store.Question) int { return compareID(a, b.ID) })
	return all, nil
}

// question is the programme's own edition, else the starter's. The error is ErrNotFound.
func (h *scene) question(id question.ItemID) (store.Question, error) {
	q, err := h.tx.QuestionByID(h.programme.ID, id)
	if !errors.Is(err, ErrNotFound) {
		return q, err
	}
	it, known := question.Starter().Item(id)
	if !known {
		return store.Question{}, missing("question")
	}
	return store.Question{Edition: question.StarterEdition(it)}, nil
}

func (h *scene) questionHead(q store.Question) (QuestionHead, error) {
	head := QuestionHead{ID: q.ID, Stem: q.Item.Stem, Topic: q.Item.Topic, Kind: q.Item.Kind, Difficulty: q.Item.Difficulty}
	for _, o := range q.Item.Options {
		head.Options = append(head.Options, o.Text)
	}
	var err error
	head.LifeHead, err = h.lifeHead(policies.Question, q.Life, q.UpdatedAt, q.Item.Author)
	return head, err
}

// QuestionByID gives one question of the bank with its answer.
func (s *Service) QuestionByID(ctx context.Context, actor Actor, programme competency.ProgrammeID, id question.ItemID) (BankQuestion, error) {
	var view BankQuestion
	err := s.read(ctx, actor, programme, func(h *scene) (err error) {
		view, err = h.questionByID(id)
		return err
	})
	return view, err
}

func (h *scene) questionByID(id question.ItemID) (BankQuestion, error) {
	if err := h.mayQuestion(policies.Read); err != nil {
		return BankQuestion{}, err
	}
	q, err := h.question(id)
	if err != nil {
		return BankQuestion{}, err
	}
	return h.questionView(q)
}

// questionView gathers what belongs to a question.
func (h *scene) questionView(q store.Question) (BankQuestion, error) {
	head, err := h.questionHead(q)
	if err != nil {
		return BankQuestion{}, err
	}
	rows, err := h.tx.QuestionActs(h.programme.ID, q.ID)
	if err != nil {
		return BankQuestion{}, err
	}
	view := BankQuestion{Head: head, Item: q.Item, Faults: []strict.Fault{}, Acts: lifeActs(rows), Caution: atrium.Caution}
	if view.Shown, view.Faults, err = h.service.tried(q.ForReview()); err != nil {
		return view, err
	}
	view.Twins, err = h.twins(q.Item)
	return view, err
}

// tried is an item as a trainee would get it, and what keeps it from being asked.
func (s *Service) tried(it question.Item) (*question.View, []strict.Fault, error) {
	faults := append(s.screenItem(it).List, it.Validate().List...)
	if len(faults) > 0 {
		return nil, faults, nil
	}
	shown, err := question.Place(it, previewSeed).View(it)
	if err != nil {
		return nil, nil, err
	}
	var wrong strict.Faults
	if err := question.Try(s.deps.Model, it); errors.As(err, &wrong) {
		return &shown, wrong.List, nil
	} else if err != nil {
		return nil, nil, err
	}
	return &shown, []strict.Fault{}, nil
}

// previewSeed puts the options of what an author looks at in an order; each attempt has its own.
const previewSeed = 1

// twins are the questions much like one.
func (h *scene) twins(it question.Item) ([]QuestionTwin, error) {
	all, err := h.questions()
	if err != nil {
		return nil, err
	}
	items := make([]question.Item, len(all))
	for i, q := range all {
		items[i] = q.Item
	}
	twins := []QuestionTwin{}
	for _, twin := range it.Twins(items) {
		i, _ := slices.BinarySearchFunc(all, twin.Item, compareID)
		twins = append(twins, QuestionTwin{Twin: twin, Stem: items[i].Stem})
	}
	return twins, nil
}

// compareID orders questions by id.
func compareID(q store.Question, id question.ItemID) int {
	switch {
	case q.ID < id:
		return -1
	case q.ID > id:
		return 1
	}
	return 0
}

// QuestionVersions lists the versions of a question that went live with their answers, newest first.
func (s *Service) QuestionVersions(ctx context.Context, actor Actor, programme competency.ProgrammeID, id question.ItemID) (List[QuestionVersion], error) {
	list := List[QuestionVersion]{Items: []QuestionVersion{}}
	err := s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.mayQuestion(policies.Read); err != nil {
			return err
		}
		q, err := h.question(id)
		if err != nil {
			return err
		}
		rows, err := h.tx.QuestionVersions(programme, id)
		if err != nil {
			return err
		}
		if q.Revision == 0 {
			rows = []store.QuestionVersion{{Item: q.Item}}
		}
		list.Items = make([]QuestionVersion, len(rows))
		for i, row := range rows {
			one := QuestionVersion{Version: row.Item.Version, Status: q.StatusOf(row.Item.Version), Reviewer: row.ApprovedBy, Item: row.Item}
			if row.ApprovedBy != "" {
				one.LiveFrom = row.KeptAt
			}
			if err := h.nameInto(map[*string]competency.PersonID{&one.AuthorName: row.Author, &one.ReviewerName: row.ApprovedBy}); err != nil {
				return err
			}
			if row.Author == "" {
				one.AuthorName = row.Item.Author
			}
			list.Items[i] = one
		}
		return nil
	})
	return list, err
}
