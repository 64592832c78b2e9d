package main

import (
	_ "embed"
	"fmt"

	"isthmus/api/service"
)

// What faculty are writing for the programme's library, as the files they would export.
var (
	//go:embed demo_review.yaml
	demoInReview string
	//go:embed demo_draft.yaml
	demoDraft string
)

// tellLibrary puts the library's acts in their places: one scenario waits for its review, one is an unfinished draft.
func (t *demoTeller) tellLibrary() {
	t.acts = append(t.acts,
		demoAct{t.at(12, 17, 40), func() error { return t.write("leila", demoInReview, true) }},
		demoAct{t.at(3, 20, 15), func() error { return t.write("tomasz", demoDraft, false) }},
	)
}

// write imports a scenario and, when it is finished, hands it to review.
func (t *demoTeller) write(who, file string, finished bool) error {
	view, err := t.service.CreateEdition(t.ctx, t.as(who), t.programme, service.EditionCreation{EditionText: service.EditionText{YAML: file}})
	if err == nil && finished {
		_, err = t.service.SubmitEdition(t.ctx, t.as(who), t.programme, view.Head.ID, view.Head.Revision)
	}
	if err != nil {
		return fmt.Errorf("scenario of %s: %w", who, err)
	}
	return nil
}
