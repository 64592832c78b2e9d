package main

import (
	"strings"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/competency"
)

// tellReviewer lets somebody from outside read for two months: the director invites, and the reviewer accepts by the link of the letter.
func (t *demoTeller) tellReviewer() {
	const email, name = "nadia@example.org", "Nadia Ferro"
	t.later(t.at(1, 20, 0), func() error {
		viewing := store.ViewingChoice{Trainees: []competency.PersonID{t.people["ines"].ID, t.people["kofi"].ID}, Figures: store.FiguresRows}
		invitation, err := t.service.Invite(t.ctx, t.as("amara"), t.programme, service.InvitationInput{
			Email: email, Name: name, Roles: []store.RoleTerm{{Role: "reviewer", From: t.today.Add(-1), Until: t.today.Add(60), Viewing: &viewing}},
		})
		if err != nil {
			return err
		}
		_, secret, _ := strings.Cut(invitation.Link, "#")
		if _, err := t.service.AcceptInvitation(t.ctx, service.Acceptance{Secret: secret, Name: name, PasswordHash: t.hash, RequestID: "demo"}); err != nil {
			return err
		}
		return t.store.Read(t.ctx, func(tx *store.Tx) error {
			person, err := tx.PersonByEmail(email)
			account := demoAccount{
				ID: person.ID, Role: "reviewer", Name: person.Name, Email: email, Password: demoPassword, Stage: "from outside: reads two trainees and figures without names",
			}
			t.people["nadia"], t.invited = account, append(t.invited, account)
			return err
		})
	})
}
