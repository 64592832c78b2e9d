package service

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"isthmus/api/signin"
	"isthmus/api/store"
	"isthmus/assessment/strict"
	"isthmus/competency"
	"isthmus/competency/roster"
	"isthmus/policies"
)

// RosterReport is what a roster would do, or did: each person of the file with it, or every mistake of the file.
type RosterReport struct {
	People []RosterLine   `json:"people"`
	Faults []roster.Fault `json:"faults"`
	Done   bool           `json:"done"`
}

// RosterLine is what becomes of one person of the file.
type RosterLine struct {
	Line  int              `json:"line"` // in users.csv
	Email string           `json:"email"`
	Name  string           `json:"name"`
	Does  string           `json:"does"` // invite, give or nothing
	Roles []store.RoleTerm `json:"roles"`
	Says  string           `json:"says,omitempty"` // why nothing
	Link  string           `json:"link,omitempty"` // of an invitation that was made: it is given this once
	of    competency.PersonID
}

// What becomes of a person.
const (
	rosterInvites = "invite"
	rosterGives   = "give"
	rosterNothing = "nothing"
)

// CheckRoster says what a OneRoster archive would do; nothing is kept. The error is strict.Faults about the file as a whole, or ErrForbidden.
func (s *Service) CheckRoster(ctx context.Context, actor Actor, programme competency.ProgrammeID, file []byte) (RosterReport, error) {
	var report RosterReport
	err := s.read(ctx, actor, programme, func(h *scene) (err error) {
		report, err = h.roster(file)
		return err
	})
	return report, err
}

// ImportRoster does what the archive says, all of it or nothing: roles for members, invitations for everybody else, whose links are given this
// once. Nobody loses a role by a file. The error is strict.Faults, which name file, line and column, or ErrForbidden.
func (s *Service) ImportRoster(ctx context.Context, actor Actor, programme competency.ProgrammeID, file []byte) (RosterReport, error) {
	var report RosterReport
	err := s.write(ctx, actor, programme, "roster.import", func(h *scene) (err error) {
		if report, err = h.roster(file); err != nil {
			return err
		}
		if len(report.Faults) > 0 {
			return inFile(report.Faults)
		}
		counts := map[string]int{rosterInvites: 0, rosterGives: 0, rosterNothing: 0}
		for i := range report.People {
			if err := h.enrol(&report.People[i]); err != nil {
				return err
			}
			counts[report.People[i].Does]++
		}
		report.Done = true
		return h.tx.Audit("roster", "", nil, counts)
	})
	return report, err
}

// inFile are the mistakes of an archive as faults of a request.
func inFile(mistakes []roster.Fault) error {
	var faults strict.Faults
	for _, m := range mistakes {
		faults.Add("file", "%s, line %d, %s: %s", m.File, m.Line, m.Column, m.Message)
	}
	return faults.Err()
}

// roster reads an archive and finds what becomes of each person of it.
func (h *scene) roster(file []byte) (RosterReport, error) {
	report := RosterReport{People: []RosterLine{}, Faults: []roster.Fault{}}
	if err := h.may(policies.Membership, policies.Create, policies.InProgramme); err != nil {
		return report, err
	}
	people, err := roster.Read(file)
	var mistakes roster.Faults
	switch {
	case errors.As(err, &mistakes):
		report.Faults = mistakes
		return report, nil
	case err != nil:
		return report, fault("file", "%v", err)
	}
	members, err := h.members()
	if err != nil {
		return report, err
	}
	invitations, err := h.tx.OpenInvitations(h.programme.ID)
	if err != nil {
		return report, err
	}
	for _, p := range people {
		line := RosterLine{Line: p.Line, Email: p.Email, Name: p.Name, Does: rosterNothing, Roles: []store.RoleTerm{}}
		at := slices.IndexFunc(members, func(m MemberRecord) bool { return m.Email == p.Email })
		switch {
		case !p.Active:
			line.Says = "not enabled in the file: nobody is kept out by a file"
		case at >= 0 && members[at].ID == h.actor.Person:
			line.Says = "nobody changes their own roles"
		case at >= 0 && !members[at].Deactivated.IsZero():
			line.Says = "kept out: let them in again first"
		case at < 0 && slices.ContainsFunc(invitations, func(i store.Invitation) bool { return i.Email == p.Email }):
			line.Says = "invited already"
		default:
			var had []store.RoleTerm
			if line.Does = rosterInvites; at >= 0 {
				line.Does, line.of, had = rosterGives, members[at].ID, members[at].Roles
			}
			report.Faults = append(report.Faults, h.newTerms(&line, p, had)...)
		}
		report.People = append(report.People, line)
	}
	return report, nil
}

// newTerms finds the roles of a person of the file that they do not have yet, and every one that cannot be given.
func (h *scene) newTerms(line *RosterLine, p roster.Person, had []store.RoleTerm) []roster.Fault {
	var faults []roster.Fault
	wrong := func(column string, err error) {
		faults = append(faults, roster.Fault{File: "users.csv", Line: p.Line, Column: column, Message: err.Error()})
	}
	for _, role := range p.Roles {
		term := store.RoleTerm{Role: role.Role, From: role.From, Until: role.Until}
		if term.From == "" {
			term.From = h.today
		}
		if term.Until != "" && term.Until < h.today {
			continue
		}
		if slices.ContainsFunc(append(had, line.Roles...), func(other store.RoleTerm) bool {
			return other.Role == term.Role && overlap(other.From, other.Until, term.From, term.Until)
		}) {
			continue
		}
		if err := h.mayGive(term.Role, policies.Create); err != nil {
			wrong("role", fmt.Errorf("you may not give the role %s", term.Role))
			continue
		}
		if err := checkTerm(term, append(had, line.Roles...)); err != nil {
			wrong("role", err)
			continue
		}
		line.Roles = append(line.Roles, term)
	}
	if line.Does == rosterInvites {
		if err := checkName(p.Name); err != nil {
			wrong("givenName", err)
		}
		if len(line.Roles) > mostTerms {
			wrong("role", fmt.Errorf("at most %d roles can be given by an invitation", mostTerms))
		}
	}
	if len(line.Roles) == 0 && len(faults) == 0 {
		line.Does, line.Says = rosterNothing, "has every role of the file already, or they are over"
	}
	return faults
}

// enrol does what the report says of one person.
func (h *scene) enrol(line *RosterLine) error {
	switch line.Does {
	case rosterGives:
		for _, term := range line.Roles {
			if err := h.addTerm(line.of, term); err != nil {
				return err
			}
		}
	case rosterInvites:
		secret, hash, err := signin.NewSecret()
		if err != nil {
			return err
		}
		row, err := h.newInvitation(InvitationInput{Email: line.Email, Name: line.Name, Roles: line.Roles}, hash)
		if err != nil {
			return err
		}
		if err := h.tx.CreateInvitation(row); err != nil {
			return err
		}
		line.Link = linkOf(secret)
		return h.tx.Audit("invitation", row.ID, nil, row)
	}
	return nil
}

// ExportRoster writes today's members and their roles as a OneRoster archive, and leaves an audit entry; reviewers, the committee and operators have no
// counterpart in it.
func (s *Service) ExportRoster(ctx context.Context, actor Actor, programme competency.ProgrammeID) ([]byte, error) {
	var people []roster.Person
	var org roster.Org
	err := s.write(ctx, actor, programme, "roster.export", func(h *scene) error {
		if err := h.may(policies.Membership, policies.List, policies.InProgramme); err != nil {
			return err
		}
		org = roster.Org{SourcedID: string(programme), Name: h.programme.Name}
		members, err := h.members()
		if err != nil {
			return err
		}
		people = nil
		for _, m := range members {
			p := roster.Person{SourcedID: string(m.ID), Email: m.Email, Name: m.Name, Active: m.Deactivated.IsZero()}
			for _, term := range m.Roles {
				if roster.Knows(term.Role) && (term.Until == "" || term.Until >= h.today) {
					p.Roles = append(p.Roles, roster.Role{Role: term.Role, From: term.From, Until: term.Until})
				}
			}
			if len(p.Roles) > 0 {
				people = append(people, p)
			}
		}
		return h.tx.Audit("roster", "", nil, people)
	})
	if err != nil {
		return nil, err
	}
	return roster.Write(org, people)
}
