package main

import (
	"isthmus/api/service"
	"isthmus/competency"
)

// One signed case of the demo is amended and signed again: so many days before today.
const (
	demoAmended   = 84 // the day of its operation
	demoAmendedOn = 40
	demoAmendment = "the appendage was looked at again in the recovery room: a stump is left"
)

// amendLater puts in its place that the case is amended, when it is the one.
func (t *demoTeller) amendLater(c demoCase, id competency.CaseID) {
	if c.ago != demoAmended || c.fate != signedOff {
		return
	}
	who, by := t.as(c.who), t.as(c.by)
	t.later(t.at(demoAmendedOn, 18, 0), func() error {
		signed, err := t.service.CaseByID(t.ctx, who, t.programme, id)
		if err != nil {
			return wrapCase(c, err)
		}
		open, err := t.service.AmendCase(t.ctx, who, t.programme, id, signed.Case.Revision, demoAmendment)
		if err != nil {
			return wrapCase(c, err)
		}
		record := open.Case.Record
		record.Appendage.Result = "stump"
		edited, err := t.service.EditCase(t.ctx, who, t.programme, id, open.Case.Revision, record)
		if err != nil {
			return wrapCase(c, err)
		}
		handed, err := t.service.SubmitCase(t.ctx, who, t.programme, id, edited.Case.Revision)
		if err != nil {
			return wrapCase(c, err)
		}
		t.later(t.at(demoAmendedOn-2, 20, 0), func() error { return t.signAgain(c, by, handed) })
		return nil
	})
}

// signAgain signs the next version of a case with the statement on the one before.
func (t *demoTeller) signAgain(c demoCase, by service.Actor, handed service.CaseDetail) error {
	by.ProvedAt = t.clock
	statement := handed.SignOffs[len(handed.SignOffs)-1].Statement
	_, err := t.service.SignOffCase(t.ctx, by, t.programme, handed.Case.ID, handed.Case.Revision, statement)
	return wrapCase(c, err)
}
