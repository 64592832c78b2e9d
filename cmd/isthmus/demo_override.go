package main

import (
	"fmt"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/competency"
)

// What the privacy screen stops in a note of the demo though it names nobody, and why it stays: for the director to look at.
const (
	demoKeptNote   = "In this patient Left Atrium first, the right side not at all: short of time."
	demoKeptWords  = "patient Left Atrium"
	demoKeptReason = "These two words name the chamber, not a person."
)

// tellOverride puts in its place that the trainee of a draft keeps words of its note.
func (t *demoTeller) tellOverride() {
	t.acts = append(t.acts, demoAct{t.at(1, 18, 30), t.keepWords})
}

// keepWords adds the note to the newest draft, by its trainee.
func (t *demoTeller) keepWords() error {
	for _, c := range demoCases {
		if c.fate != draft {
			continue
		}
		list, err := t.service.Cases(t.ctx, t.as(c.who), t.programme, service.CaseFilter{Status: competency.CaseDraft}, store.Page{Limit: 1})
		if err != nil || len(list.Items) == 0 {
			return wrapCase(c, err)
		}
		detail, err := t.service.CaseByID(t.ctx, t.as(c.who), t.programme, list.Items[0].ID)
		if err != nil {
			return wrapCase(c, err)
		}
		record := detail.Case.Record
		record.Note = demoKeptNote
		kept := competency.Override{Field: "record.note", Kind: competency.KindName, Excerpt: demoKeptWords, Reason: demoKeptReason}
		_, err = t.service.EditCase(t.ctx, t.as(c.who), t.programme, detail.Case.ID, detail.Case.Revision, record, kept)
		return wrapCase(c, err)
	}
	return fmt.Errorf("the story has no draft to keep words in")
}
