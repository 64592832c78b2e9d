package service

import (
	"context"
	"fmt"
	"time"

	"isthmus/api/store"
	"isthmus/competency"
	"isthmus/policies"
)

// StandardSummary is a version of the programme's standard in a list.
type StandardSummary struct {
	Version     int                 `json:"version"`
	Title       string              `json:"title"`
	Example     bool                `json:"example"` // labelled as an example: the programme sets its own numbers
	InForceFrom competency.Day      `json:"in_force_from"`
	CreatedBy   competency.PersonID `json:"created_by"`
	CreatedAt   time.Time           `json:"created_at"`
}

// StandardView is a version of the standard with its text.
type StandardView struct {
	StandardSummary
	YAML  string         `json:"yaml"`
	Note  string         `json:"note"`
	Lines []StandardLine `json:"lines"` // in plain words
}

// AddStandard adds a version of the programme's standard, which never changes afterwards. It must carry a higher version than any before
// and come into force no earlier than the latest and, unless it is the first, than today: nobody is judged by rules made later. The
// error is strict.Faults, ErrDuplicate or ErrForbidden.
func (s *Service) AddStandard(ctx context.Context, actor Actor, programme competency.ProgrammeID, yaml string, inForceFrom competency.Day) (StandardView, error) {
	if _, err := competency.ParseDay(string(inForceFrom)); err != nil {
		return StandardView{}, fault("in_force_from", "%v", err)
	}
	var view StandardView
	err := s.write(ctx, actor, programme, "standard.add", func(h *scene) error {
		if err := h.may(policies.Standard, policies.Create, policies.InProgramme); err != nil {
			return err
		}
		standard, err := competency.DecodeStandard("", []byte(yaml))
		if err != nil {
			return under("yaml", err)
		}
		if err := competency.ScreenStandard([]byte(yaml)).Err(); err != nil {
			return under("yaml", err)
		}
		if err := h.checkSuccession(standard, inForceFrom); err != nil {
			return err
		}
		row := store.Standard{Programme: programme, Version: standard.Version, InForceFrom: inForceFrom, YAML: yaml, CreatedBy: actor.Person, CreatedAt: h.now}
		if err := h.tx.AddStandard(row); err != nil {
			return err
		}
		view = viewOfStandard(row, standard)
		return h.tx.Audit("standard", fmt.Sprint(standard.Version), nil, row)
	})
	return view, err
}

// checkSuccession compares a new standard with those there are, and with the questions there are.
func (h *scene) checkSuccession(standard competency.Standard, from competency.Day) error {
	line, err := h.standards()
	if err != nil {
		return err
	}
	faults := line.succession(standard, from, h.today)
	unaskable, err := h.unaskable(standard)
	if err != nil {
		return err
	}
	faults.List = append(faults.List, unaskable.List...)
	for i, f := range faults.List {
		if f.Field != inForceFrom {
			faults.List[i].Field = "yaml." + f.Field
		}
	}
	return faults.Err()
}

// Standards lists the versions of the programme's standard, newest first.
func (s *Service) Standards(ctx context.Context, actor Actor, programme competency.ProgrammeID) (List[StandardSummary], error) {
	list := List[StandardSummary]{Items: []StandardSummary{}}
	err := s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.may(policies.Standard, policies.List, policies.InProgramme); err != nil {
			return err
		}
		rows, err := h.tx.Standards(programme)
		if err != nil {
			return err
		}
		list.Items = make([]StandardSummary, 0, len(rows))
		for _, row := range rows {
			standard, err := decodeStored(row)
			if err != nil {
				return err
			}
			list.Items = append(list.Items, summaryOfStandard(row, standard))
		}
		return nil
	})
	return list, err
}

// StandardByVersion gives one version with its text.
func (s *Service) StandardByVersion(ctx context.Context, actor Actor, programme competency.ProgrammeID, version int) (StandardView, error) {
	var view StandardView
	err := s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.may(policies.Standard, policies.Read, policies.InProgramme); err != nil {
			return err
		}
		rows, err := h.tx.Standards(programme)
		if err != nil {
			return err
		}
		for _, row := range rows {
			if row.Version == version {
				standard, err := decodeStored(row)
				view = viewOfStandard(row, standard)
				return err
			}
		}
		return missing("standard")
	})
	return view, err
}

func summaryOfStandard(row store.Standard, standard competency.Standard) StandardSummary {
	return StandardSummary{Version: row.Version, Title: standard.Title, Example: standard.Example, InForceFrom: row.InForceFrom, CreatedBy: row.CreatedBy, CreatedAt: row.CreatedAt}
}

func viewOfStandard(row store.Standard, standard competency.Standard) StandardView {
	return StandardView{StandardSummary: summaryOfStandard(row, standard), YAML: row.YAML, Note: standard.Note, Lines: linesOf(standard)}
}

// decodeStored reads a standard that was valid when it was stored; a failure is ours, not the caller's.
func decodeStored(row store.Standard) (competency.Standard, error) {
	standard, err := competency.DecodeStandard("", []byte(row.YAML))
	if err != nil {
		return competency.Standard{}, fmt.Errorf("stored standard %d cannot be read: %v", row.Version, err)
	}
	return standard, nil
}
