package service

import (
	"context"
	"fmt"

	"isthmus/api/store"
	"isthmus/competency"
	"isthmus/competency/casefile"
	"isthmus/policies"
)

// ExportCases writes the actor's own log as a file that an import reads again: every case but the withdrawn ones, oldest first. It is a
// read and leaves no audit entry. The error is strict.Faults for an unknown format, or ErrForbidden.
func (s *Service) ExportCases(ctx context.Context, actor Actor, programme competency.ProgrammeID, format casefile.Format) ([]byte, error) {
	var log []casefile.Listed
	err := s.read(ctx, actor, programme, func(h *scene) (err error) {
		if err := h.may(policies.Case, policies.Export, policies.Own); err != nil {
			return err
		}
		log, err = h.ownLog()
		return err
	})
	if err != nil {
		return nil, err
	}
	return casefile.Write(format, log)
}

// ownLog lists the actor's cases as they are written into a file.
func (h *scene) ownLog() ([]casefile.Listed, error) {
	cases, err := h.allCases(store.CaseFilter{Trainee: h.actor.Person})
	if err != nil {
		return nil, err
	}
	members, err := h.tx.People(h.programme.ID, "", "")
	if err != nil {
		return nil, err
	}
	emails := make(map[competency.PersonID]string, len(members))
	for _, member := range members {
		emails[member.ID] = member.Email
	}
	log := make([]casefile.Listed, 0, len(cases))
	for i := len(cases) - 1; i >= 0; i-- { // lists are newest first
		c := cases[i]
		if c.Status == competency.CaseWithdrawn {
			continue
		}
		if c.Amending() && c.Status != competency.CaseSubmitted { // what counts is the version signed last
			signed, err := h.versionOf(c.ID, c.SignedVersion)
			if err != nil {
				return nil, err
			}
			c = c.AsSigned(signed)
		}
		log = append(log, casefile.Listed{
			Trainee: emails[c.Trainee], Supervisor: emails[c.Record.Supervisor], Record: c.Record, Status: c.Status, Computed: c.Computed,
		})
	}
	return log, nil
}

// allCases reads every page of a list of cases.
func (h *scene) allCases(filter store.CaseFilter) ([]competency.Case, error) {
	var all []competency.Case
	page := store.Page{Limit: 200}
	for {
		cases, next, err := h.tx.Cases(h.programme.ID, filter, page)
		if err != nil {
			return nil, fmt.Errorf("all cases: %w", err)
		}
		all = append(all, cases...)
		if next == "" {
			return all, nil
		}
		page.After = next
	}
}

// ImportTemplate is an empty file with the columns an import knows.
func (s *Service) ImportTemplate(ctx context.Context, actor Actor, programme competency.ProgrammeID, format casefile.Format) ([]byte, error) {
	err := s.read(ctx, actor, programme, func(h *scene) error { return h.may(policies.Programme, policies.Read, policies.InProgramme) })
	if err != nil {
		return nil, err
	}
	return casefile.Template(format)
}
