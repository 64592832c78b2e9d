package service

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"

	"isthmus/api/store"
	"isthmus/assessment"
	"isthmus/assessment/qti"
	"isthmus/assessment/question"
	"isthmus/assessment/strict"
	"isthmus/competency"
	"isthmus/policies"
)

// QuestionImport is a file of questions to take into the bank.
type QuestionImport struct {
	File   []byte `json:"file" required:"true" doc:"A QTI 3.0 package or item, CSV in UTF-8, or YAML, at most 20 MB, in base64."`
	Name   string `json:"name" maxLength:"200" doc:"Name of the file: mistakes are told with it."`
	Revise bool   `json:"revise,omitempty" doc:"A question whose id the bank has becomes a draft of its next version; otherwise the file is refused for it."`
}

// What becomes of a question in a file.
const (
	BecomesNew      = "new"
	BecomesRevision = "revision" // a draft of the next version; what is live goes on being asked
	BecomesNothing  = "same"     // the bank has it word for word
	BecomesRefused  = "refused"
)

// QuestionImportRow is a question of a file without mistakes, and what would become of it.
type QuestionImportRow struct {
	ID      question.ItemID `json:"id"`
	Topic   question.Topic  `json:"topic"`
	Kind    question.Kind   `json:"kind"`
	Stem    string          `json:"stem"`
	Becomes string          `json:"becomes"` // new, revision, same, refused
	Why     string          `json:"why,omitempty"`
	Twins   []QuestionTwin  `json:"twins"` // questions of the bank or of the file much like it
}

// FileFault is a mistake in a file, with its place.
type FileFault struct {
	File string `json:"file"`
	strict.Fault
}

// QuestionImportCheck is what would come of an import. It can be carried out when there is no fault and nothing is refused.
type QuestionImportCheck struct {
	Format    string              `json:"format"`
	Rows      []QuestionImportRow `json:"rows"`
	Faults    []FileFault         `json:"faults"`
	Notes     []FileFault         `json:"notes"` // what the file does not give, and was filled in
	New       int                 `json:"new"`
	Revisions int                 `json:"revisions"`
	Same      int                 `json:"same"`
	Refused   int                 `json:"refused"`
}

// CheckQuestionImport says what would come of a file: every mistake with its place, and of every question without one what it would become.
// Nothing is kept.
func (s *Service) CheckQuestionImport(ctx context.Context, actor Actor, programme competency.ProgrammeID, in QuestionImport) (QuestionImportCheck, error) {
	var check QuestionImportCheck
	err := s.read(ctx, actor, programme, func(h *scene) (err error) {
		if err := h.mayQuestion(policies.Create); err != nil {
			return err
		}
		_, check, err = h.questionImport(in)
		return err
	})
	return check, err
}

// ImportQuestions takes all questions of a file into the bank, or none. Whatever the file says of their state, they are drafts of whoever
// imports them, which another member of faculty reviews. The error is strict.Faults when the file has a mistake or a question is refused.
func (s *Service) ImportQuestions(ctx context.Context, actor Actor, programme competency.ProgrammeID, in QuestionImport, key string) (QuestionImportCheck, error) {
	o, err := onceFor(key, "question.import", programme, in)
	if err != nil {
		return QuestionImportCheck{}, err
	}
	var check QuestionImportCheck
	may := func(h *scene) error { return h.mayQuestion(policies.Create) }
	load := func(h *scene, _ string) (err error) { // sent again: what it came to then is in the bank, word for word
		_, check, err = h.questionImport(in)
		return err
	}
	err = s.create(ctx, actor, programme, o, may, load, func() error {
		return s.write(ctx, actor, programme, "question.import", func(h *scene) error {
			if err := may(h); err != nil {
				return err
			}
			items, found, err := h.questionImport(in)
			if err != nil {
				return err
			}
			check = found
			if n := len(found.Faults) + found.Refused; n > 0 {
				return fault("file", "has %d mistakes or questions that are refused: check it to see them; nothing was imported", n)
			}
			if found.New+found.Revisions == 0 {
				return fault("file", "has nothing that the bank does not have")
			}
			for i, row := range found.Rows {
				if err := h.takeIn(items[i], row.Becomes); err != nil {
					return fmt.Errorf("import %s: %w", row.ID, err)
				}
			}
			return o.remember(h, string(found.Rows[0].ID))
		})
	})
	return check, err
}

// takeIn makes a draft of an imported question.
func (h *scene) takeIn(it question.Item, becomes string) error {
	switch becomes {
	case BecomesNew:
		_, err := h.newQuestion(it, "import")
		return err
	case BecomesRevision:
		q, err := h.question(it.ID)
		if err != nil {
			return err
		}
		begun, err := h.moved(q.Edition, questionMove{kind: "revise", action: policies.Create, decide: func(e question.Edition) (question.Edition, error) {
			return e.Revise(string(h.actor.Person))
		}})
		if err != nil {
			return err
		}
		_, err = h.moved(begun, questionMove{kind: "edit", action: policies.Edit, decide: func(e question.Edition) (question.Edition, error) {
			return e.Edit(it, string(h.actor.Person))
		}})
		return err
	}
	return nil
}

// questionImport reads a file and says what would become of its questions; the items are in the order of the rows.
func (h *scene) questionImport(in QuestionImport) ([]question.Item, QuestionImportCheck, error) {
	if in.Name == "" {
		in.Name = "file"
	}
	check := QuestionImportCheck{Rows: []QuestionImportRow{}, Faults: []FileFault{}, Notes: []FileFault{}}
	read, err := ReadQuestions(in.Name, in.File)
	check.Format = read.Format
	if check.Faults, err = fileFaults(err); err != nil {
		return nil, check, err
	}
	check.Notes, _ = fileFaults(read.Notes)
	all, err := h.questions()
	if err != nil {
		return nil, check, err
	}
	known := map[question.ItemID]store.Question{}
	for _, q := range all {
		known[q.ID] = q
	}
	twinsOf := twinsAfter(all, read.Items)
	for _, it := range read.Items {
		row := QuestionImportRow{ID: it.ID, Topic: it.Topic, Kind: it.Kind, Stem: it.Stem, Twins: twinsOf(it)}
		for _, fault := range h.service.screenItem(it).List {
			fault.Field = string(it.ID) + ", " + fault.Field
			check.Faults = append(check.Faults, FileFault{in.Name, fault})
		}
		before, there := known[it.ID]
		row.Becomes, row.Why = becomes(it, before, there, in.Revise)
		switch row.Becomes {
		case BecomesNew:
			check.New++
		case BecomesRevision:
			check.Revisions++
		case BecomesNothing:
			check.Same++
		default:
			check.Refused++
		}
		check.Rows = append(check.Rows, row)
	}
	return read.Items, check, nil
}

// twinsAfter finds twins among what the bank would hold after an import: its own questions, and those of the file in place of their namesakes.
func twinsAfter(bank []store.Question, file []question.Item) func(question.Item) []QuestionTwin {
	items, there, stemOf := slices.Clone(file), map[question.ItemID]bool{}, map[question.ItemID]string{}
	for _, it := range file {
		stemOf[it.ID] = it.Stem
	}
	for _, q := range bank {
		there[q.ID] = true
		if _, replaced := stemOf[q.ID]; !replaced {
			items, stemOf[q.ID] = append(items, q.Item), q.Item.Stem
		}
	}
	stems := question.NewStems(items)
	return func(it question.Item) []QuestionTwin {
		twins := []QuestionTwin{}
		for _, twin := range stems.Twins(it) {
			twins = append(twins, QuestionTwin{Twin: twin, Stem: stemOf[twin.Item], InFile: !there[twin.Item]})
		}
		return twins
	}
}

// becomes is what becomes of a question of a file beside what the bank has under its id.
func becomes(it question.Item, before store.Question, there, revise bool) (what, why string) {
	was := before.Item
	it.Version, it.Status, it.Author, was.Version, was.Status, was.Author = 0, "", "", 0, "", ""
	now, _ := json.Marshal(it) // by their text: a list that is empty and one that is absent are the same
	then, _ := json.Marshal(was)
	switch {
	case !there:
		return BecomesNew, ""
	case bytes.Equal(now, then):
		return BecomesNothing, "the bank has it already"
	case !revise:
		return BecomesRefused, "the bank has another question of this id: revise it, or give this one another id"
	case before.Status != assessment.Live && before.Status != assessment.Retired:
		return BecomesRefused, "the question of this id is being worked on: let that be finished first"
	}
	return BecomesRevision, ""
}

// fileFaults are the mistakes an error names, with their places; another error is given back.
func fileFaults(err error) ([]FileFault, error) {
	list := []FileFault{}
	var files qti.Faults
	var one strict.Faults
	switch {
	case err == nil:
		return list, nil
	case errors.As(err, &files):
	case errors.As(err, &one):
		files = qti.Faults{one}
	default:
		return list, err
	}
	for _, file := range files {
		for _, fault := range file.List {
			list = append(list, FileFault{file.File, fault})
		}
	}
	return list, nil
}
