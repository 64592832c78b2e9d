package service

import (
	"cmp"
	"context"
	"slices"
	"time"

	"isthmus/api/store"
	"isthmus/assessment/atrium"
	"isthmus/competency"
	"isthmus/policies"
)

// reportDays is how long the file of a report is kept; what its code stands for stays on record.
const reportDays = 30

// ReportOrder is a report to be written.
type ReportOrder struct {
	Kind    store.ReportKind    `json:"kind" enum:"portfolio,pack,workbook,tables" doc:"portfolio: one trainee, as PDF. pack: the cohort, as PDF. workbook: the programme's tables as XLSX. tables: the same as CSV in a ZIP."`
	Trainee competency.PersonID `json:"trainee,omitempty" maxLength:"64" doc:"Of a portfolio."`
	On      string              `json:"on,omitempty" maxLength:"10" doc:"The day it speaks of; today when empty."`
	Outside bool                `json:"outside,omitempty" doc:"It leaves the programme: cases are counted, not listed, and counts below the programme's small_cells are hidden. Not for a pack."`

	IdempotencyKey string `json:"-"`
}

// ReportView is a report as its maker sees it.
type ReportView struct {
	ID          store.ReportID      `json:"id"`
	Kind        store.ReportKind    `json:"kind"`
	Trainee     competency.PersonID `json:"trainee,omitempty"`
	TraineeName string              `json:"trainee_name,omitempty"`
	On          competency.Day      `json:"on"`
	Outside     bool                `json:"outside,omitempty"`
	State       store.ReportState   `json:"state"` // waiting, done, failed
	Total       int                 `json:"total"` // people to write about
	Ready       int                 `json:"ready"`
	Code        string              `json:"code,omitempty"`
	FileName    string              `json:"file_name,omitempty"` // while the file is kept
	KeptUntil   time.Time           `json:"kept_until,omitzero"`
	Message     string              `json:"message,omitempty"`
	CreatedAt   time.Time           `json:"created_at"`
	ClosedAt    time.Time           `json:"closed_at,omitzero"`
}

// ReportFile is a report as a file.
type ReportFile struct {
	Name string
	Kind store.ReportKind
	Data []byte
}

// mayReport refuses a report of what the actor may not read, and every report while a test of theirs is open.
func (h *scene) mayReport(kind store.ReportKind, trainee competency.PersonID) error {
	if kind == store.Portfolio {
		if err := cmp.Or(h.mayTrainee(policies.Report, policies.Create, trainee), h.mayTrainee(policies.Standing, policies.Read, trainee)); err != nil {
			return err
		}
		if _, err := h.traineeSince(trainee); err != nil {
			return err
		}
		return h.noOpenTest()
	}
	err := cmp.Or(h.may(policies.Report, policies.Create, policies.InProgramme), h.may(policies.Cohort, policies.Read, policies.InProgramme))
	if err == nil && kind != store.MeetingPack {
		err = h.may(policies.Case, policies.List, policies.InProgramme)
	}
	return cmp.Or(err, h.noOpenTest())
}

// OrderReport leaves a report to be written. The error is strict.Faults, ErrNotFound for who is no trainee of the programme, ErrTestOpen,
// ErrKeyReused or ErrForbidden.
func (s *Service) OrderReport(ctx context.Context, actor Actor, programme competency.ProgrammeID, in ReportOrder) (ReportView, error) {
	o, err := onceFor(in.IdempotencyKey, "report.create", programme, in)
	if err != nil {
		return ReportView{}, err
	}
	var view ReportView
	check := func(h *scene) error {
		if err := in.check(); err != nil {
			return err
		}
		return h.mayReport(in.Kind, in.Trainee)
	}
	load := func(h *scene, id string) error {
		one, err := h.tx.ReportByID(programme, store.ReportID(id))
		if err == nil {
			view, err = h.reportView(one)
		}
		return err
	}
	err = s.create(ctx, actor, programme, o, check, load, func() error {
		return s.write(ctx, actor, programme, "report.create", func(h *scene) error {
			if err := check(h); err != nil {
				return err
			}
			view, err = h.newReport(in, o)
			return err
		})
	})
	return view, err
}

// check reports fields that do not go together.
func (in ReportOrder) check() error {
	switch {
	case !slices.Contains([]store.ReportKind{store.Portfolio, store.MeetingPack, store.Workbook, store.TablesAsTexts}, in.Kind):
		return fault("kind", "must be portfolio, pack, workbook or tables, not %q", in.Kind)
	case in.Kind == store.Portfolio && in.Trainee == "":
		return fault("trainee", "is required: a portfolio is of one trainee")
	case in.Kind != store.Portfolio && in.Trainee != "":
		return fault("trainee", "belongs to a portfolio only: leave it out")
	case in.Kind == store.MeetingPack && in.Outside:
		return fault("outside", "a meeting pack stays in the programme: leave it out")
	}
	return nil
}

func (h *scene) newReport(in ReportOrder, o once) (ReportView, error) {
	day, err := h.dayOrToday(in.On)
	if err != nil {
		return ReportView{}, err
	}
	id := o.newID(h.service)
	one := store.Report{
		ID: store.ReportID(id), Programme: h.programme.ID, By: h.actor.Person, RequestID: h.actor.RequestID, Kind: in.Kind, Trainee: in.Trainee, On: day, Outside: in.Outside,
		State: store.ReportWaiting, Total: 1, CreatedAt: h.now, Revision: 1,
	}
	if in.Kind != store.Portfolio {
		trainees, err := h.tx.People(h.programme.ID, string(policies.Trainee), day)
		if err != nil {
			return ReportView{}, err
		}
		one.Total = max(1, len(trainees))
	}
	if err := o.remember(h, id); err != nil {
		return ReportView{}, err
	}
	if err := h.tx.CreateReport(one); err != nil {
		return ReportView{}, err
	}
	if err := h.tx.Audit("report", id, nil, one); err != nil {
		return ReportView{}, err
	}
	return h.reportView(one)
}

// Reports lists the reports the actor asked for, newest first.
func (s *Service) Reports(ctx context.Context, actor Actor, programme competency.ProgrammeID, page store.Page) (List[ReportView], error) {
	list := List[ReportView]{Items: []ReportView{}, Caution: atrium.Caution}
	err := s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.may(policies.Report, policies.List, policies.Own); err != nil {
			return err
		}
		rows, next, err := h.tx.Reports(programme, actor.Person, page)
		if err != nil {
			return err
		}
		list.Next, list.Items = next, make([]ReportView, len(rows))
		for i, row := range rows {
			if list.Items[i], err = h.reportView(row); err != nil {
				return err
			}
		}
		return nil
	})
	return list, err
}

// ReportByID is a report of the actor's own, with how far it has come. The error is ErrNotFound or ErrForbidden.
func (s *Service) ReportByID(ctx context.Context, actor Actor, programme competency.ProgrammeID, id store.ReportID) (ReportView, error) {
	var view ReportView
	err := s.read(ctx, actor, programme, func(h *scene) error {
		one, err := h.ownReport(id)
		if err == nil {
			view, err = h.reportView(one)
		}
		return err
	})
	return view, err
}

// FileOfReport gives the file of a report of the actor's own, to who may still read what it is about. The error is ErrNotFound while there
// is no file or none any more, ErrTestOpen or ErrForbidden.
func (s *Service) FileOfReport(ctx context.Context, actor Actor, programme competency.ProgrammeID, id store.ReportID) (ReportFile, error) {
	var file ReportFile
	err := s.read(ctx, actor, programme, func(h *scene) error {
		one, err := h.ownReport(id)
		if err != nil {
			return err
		}
		if err := h.mayReport(one.Kind, one.Trainee); err != nil {
			return err
		}
		file.Name, file.Kind = one.FileName, one.Kind
		file.Data, err = h.tx.ReportFile(programme, id)
		return err
	})
	return file, err
}

// ownReport loads a report of the actor's; another's is not found.
func (h *scene) ownReport(id store.ReportID) (store.Report, error) {
	if err := h.may(policies.Report, policies.Read, policies.Own); err != nil {
		return store.Report{}, err
	}
	one, err := h.tx.ReportByID(h.programme.ID, id)
	if err == nil && one.By != h.actor.Person {
		return store.Report{}, missing("report")
	}
	return one, err
}

func (h *scene) reportView(one store.Report) (ReportView, error) {
	view := ReportView{
		ID: one.ID, Kind: one.Kind, Trainee: one.Trainee, On: one.On, Outside: one.Outside, State: one.State, Total: one.Total, Ready: one.Ready, Code: one.Code,
		Message: one.Message, CreatedAt: one.CreatedAt, ClosedAt: one.ClosedAt,
	}
	if one.HasFile {
		view.FileName, view.KeptUntil = one.FileName, one.ClosedAt.AddDate(0, 0, reportDays)
	}
	if one.Trainee == "" {
		return view, nil
	}
	var err error
	view.TraineeName, err = h.name(one.Trainee)
	return view, err
}
