package main

import (
	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/competency"
)

// tellMembers says where people work, and that somebody is invited who has not answered.
func (t *demoTeller) tellMembers() {
	t.later(t.at(30, 9, 0), func() error {
		for _, stay := range []struct {
			who   string
			site  int
			until int // days from today; 0: open
		}{{"ines", 0, 60}, {"kofi", 1, 0}, {"mateo", 1, 90}, {"noor", 0, 0}, {"mei", 0, 0}} {
			rotation := service.RotationView{Site: demoSites[stay.site], From: competency.DayOf(t.at(45, 0, 0))}
			if stay.until > 0 {
				rotation.Until = competency.DayOf(t.at(-stay.until, 0, 0))
			}
			if _, err := t.service.Rotate(t.ctx, t.as("jonas"), t.programme, t.as(stay.who).Person, rotation); err != nil {
				return err
			}
		}
		return t.setEnds(map[string]int{"ines": 120, "mateo": 150, "noor": 680})
	})
	t.later(t.at(3, 9, 0), func() error {
		_, err := t.service.Invite(t.ctx, t.as("jonas"), t.programme, service.InvitationInput{
			Email: "lucia@example.org", Name: "Lucia Marek", Roles: []store.RoleTerm{{Role: "trainee", From: competency.DayOf(t.at(-30, 0, 0))}},
		})
		return err
	})
}

// setEnds says when the training of some trainees ends, so many days after today.
func (t *demoTeller) setEnds(days map[string]int) error {
	for _, person := range demoPeople {
		if days[person.key] == 0 {
			continue
		}
		term := store.RoleTerm{Role: string(person.role), From: competency.DayOf(t.at(person.joined, 0, 0)), Until: competency.DayOf(t.at(-days[person.key], 0, 0))}
		if _, err := t.service.SetRoleEnd(t.ctx, t.as("jonas"), t.programme, t.as(person.key).Person, term); err != nil {
			return err
		}
	}
	return nil
}
