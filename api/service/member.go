package service

import (
	"context"
	"slices"
	"time"

	"isthmus/api/store"
	"isthmus/competency"
	"isthmus/policies"
)

// MemberRecord is a member, present or former, as those see it who keep the members.
type MemberRecord struct {
	ID          competency.PersonID `json:"id"`
	Name        string              `json:"name"`
	Email       string              `json:"email"`
	Roles       []store.RoleTerm    `json:"roles"` // by role and first day, those of the past and the future too
	Rotations   []RotationView      `json:"rotations"`
	Deactivated time.Time           `json:"deactivated_at,omitzero"`
	May         bool                `json:"may"`               // the actor may change roles and close the account's way in
	Viewing     *ViewingGiven       `json:"viewing,omitempty"` // what a reviewer was let see last
}

// RotationView is where a member works and when.
type RotationView struct {
	ID    string         `json:"id"`
	Site  string         `json:"site"`
	From  competency.Day `json:"from"`
	Until competency.Day `json:"until,omitempty"`
}

// Members lists who is or was a member, by name, with all roles, rotations and whether they are kept out.
func (s *Service) Members(ctx context.Context, actor Actor, programme competency.ProgrammeID) (List[MemberRecord], error) {
	list := List[MemberRecord]{Items: []MemberRecord{}}
	err := s.read(ctx, actor, programme, func(h *scene) (err error) {
		if err := h.may(policies.Membership, policies.List, policies.InProgramme); err != nil {
			return err
		}
		list.Items, err = h.members()
		return err
	})
	return list, err
}

// members gathers every member from four lists, whatever their number.
func (h *scene) members() ([]MemberRecord, error) {
	people, err := h.tx.People(h.programme.ID, "", "")
	if err != nil {
		return nil, err
	}
	terms, err := h.tx.MembershipsIn(h.programme.ID, "")
	if err != nil {
		return nil, err
	}
	rotations, err := h.tx.Rotations(h.programme.ID, "")
	if err != nil {
		return nil, err
	}
	out, err := h.tx.Deactivated(h.programme.ID)
	if err != nil {
		return nil, err
	}
	place, records := map[competency.PersonID]int{}, make([]MemberRecord, len(people))
	for i, p := range people {
		place[p.ID] = i
		records[i] = MemberRecord{ID: p.ID, Name: p.Name, Email: p.Email, Roles: []store.RoleTerm{}, Rotations: []RotationView{}, Deactivated: out[p.ID]}
	}
	for _, m := range terms {
		record := &records[place[m.Person]]
		record.Roles = append(record.Roles, store.RoleTerm{Role: m.Role, From: m.From, Until: m.Until})
	}
	for _, r := range rotations {
		record := &records[place[r.Person]]
		record.Rotations = append(record.Rotations, RotationView{r.ID, r.Site, r.From, r.Until})
	}
	for i, record := range records {
		records[i].May = record.ID != h.actor.Person && h.mayKeepOut(record.Roles) == nil
		if slices.ContainsFunc(record.Roles, func(t store.RoleTerm) bool { return t.Role == string(policies.Reviewer) }) {
			if records[i].Viewing, err = h.viewingGiven(record.ID); err != nil {
				return nil, err
			}
		}
	}
	return records, nil
}

// member is one member, present or former. The error is ErrNotFound.
func (h *scene) member(id competency.PersonID) (MemberRecord, error) {
	records, err := h.members()
	if err != nil {
		return MemberRecord{}, err
	}
	for _, record := range records {
		if record.ID == id {
			return record, nil
		}
	}
	return MemberRecord{}, ErrNotFound
}

// mayGive refuses a role that the actor may not give (Create) or change the period of (Edit): who reads every record, only the director
// decides, and the operator is made at the command line.
func (h *scene) mayGive(role string, action policies.Action) error {
	object := policies.Membership
	switch policies.Role(role) {
	case policies.Trainee, policies.Faculty, policies.Coordinator:
	case policies.Director, policies.Committee, policies.Reviewer:
		object = policies.Oversight
	default:
		return fault("role", "must be trainee, faculty, coordinator, director, committee or reviewer, not %q", role)
	}
	return h.may(object, action, policies.InProgramme)
}

// mayKeepOut refuses to close the way in to a member with roles, of today or later, that the actor may not change.
func (h *scene) mayKeepOut(terms []store.RoleTerm) error {
	if err := h.may(policies.Membership, policies.Edit, policies.InProgramme); err != nil {
		return err
	}
	for _, term := range terms {
		if term.Until != "" && term.Until < h.today {
			continue
		}
		if err := h.mayGive(term.Role, policies.Edit); err != nil {
			return ErrForbidden
		}
	}
	return nil
}
