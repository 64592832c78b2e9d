package service

import (
	"context"

	"isthmus/api/store"
	"isthmus/competency"
)

// Belonging is a programme a person is a member of today, with the roles there.
type Belonging struct {
	Programme     competency.ProgrammeID `json:"programme"`
	ProgrammeName string                 `json:"programme_name"`
	Roles         []string               `json:"roles"`
}

// Belongings lists where a person is a member today. Everyone may know their own.
func (s *Service) Belongings(ctx context.Context, person competency.PersonID) ([]Belonging, error) {
	belongings := []Belonging{}
	today := competency.DayOf(s.deps.Clock())
	err := s.deps.Store.Read(ctx, func(tx *store.Tx) error {
		memberships, err := tx.Memberships(person)
		if err != nil {
			return err
		}
		belongings = belongings[:0]
		for _, m := range memberships { // ordered by programme, then role
			if m.KeptOut || m.From > today || m.Until != "" && m.Until < today {
				continue
			}
			if n := len(belongings); n == 0 || belongings[n-1].Programme != m.Programme {
				belongings = append(belongings, Belonging{Programme: m.Programme, ProgrammeName: m.ProgrammeName, Roles: []string{}})
			}
			last := &belongings[len(belongings)-1]
			if n := len(last.Roles); n == 0 || last.Roles[n-1] != m.Role {
				last.Roles = append(last.Roles, m.Role)
			}
		}
		return nil
	})
	return belongings, err
}
