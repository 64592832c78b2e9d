package service

import (
	"context"
	"slices"

	"isthmus/competency"
	"isthmus/policies"
)

// ProgrammeView is a programme as its members see it.
type ProgrammeView struct {
	ID       competency.ProgrammeID `json:"id"`
	Name     string                 `json:"name"`
	Settings competency.Settings    `json:"settings"`
	// SettingsVersion counts how often the settings were changed.
	SettingsVersion int `json:"settings_version"`
}

// Member is a person of the programme with today's roles.
type Member struct {
	ID    competency.PersonID `json:"id"`
	Name  string              `json:"name"`
	Roles []string            `json:"roles"`
}

// Programme gives the programme itself.
func (s *Service) Programme(ctx context.Context, actor Actor, programme competency.ProgrammeID) (ProgrammeView, error) {
	var view ProgrammeView
	err := s.read(ctx, actor, programme, func(h *scene) error {
		view = ProgrammeView{ID: h.programme.ID, Name: h.programme.Name, Settings: h.programme.Settings, SettingsVersion: h.programme.SettingsVersion}
		return h.may(policies.Programme, policies.Read, policies.InProgramme)
	})
	if err != nil {
		return ProgrammeView{}, err
	}
	return view, nil
}

// People lists today's members by name, of one role when given.
func (s *Service) People(ctx context.Context, actor Actor, programme competency.ProgrammeID, role policies.Role) (List[Member], error) {
	list := List[Member]{Items: []Member{}}
	err := s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.may(policies.People, policies.List, policies.InProgramme); err != nil {
			return err
		}
		if role != "" && !slices.Contains(policies.MembershipRoles(), role) {
			return fault("role", "there is no such role")
		}
		people, err := h.tx.People(programme, string(role), h.today)
		if err != nil {
			return err
		}
		out, err := h.tx.Deactivated(programme)
		if err != nil {
			return err
		}
		list.Items = make([]Member, 0, len(people))
		for _, person := range people {
			if _, kept := out[person.ID]; !kept {
				list.Items = append(list.Items, Member{ID: person.ID, Name: person.Name, Roles: person.Roles})
			}
		}
		return nil
	})
	return list, err
}

// name is the name of a person who is or was a member; empty for anybody else.
func (h *scene) name(person competency.PersonID) (string, error) {
	if h.names == nil {
		names, err := h.tx.Names(h.programme.ID)
		if err != nil {
			return "", err
		}
		h.names = names
	}
	return h.names[person], nil
}

// nameInto writes the names of people where they belong.
func (h *scene) nameInto(places map[*string]competency.PersonID) error {
	for place, person := range places {
		name, err := h.name(person)
		if err != nil {
			return err
		}
		*place = name
	}
	return nil
}
