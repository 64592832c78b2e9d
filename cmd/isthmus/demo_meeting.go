package main

import (
	"isthmus/api/service"
	"isthmus/competency"
)

// The committee of the demo met once, so many days before today, and meets today.
const demoMet = 60

// tellMeetings adds the meeting that was, about one trainee, and the one of today, in which nobody has decided yet.
func (t *demoTeller) tellMeetings() {
	t.later(t.at(demoMet, 17, 0), func() error {
		path, err := t.meet([]string{"kofi"}, demoMet)
		if err != nil {
			return err
		}
		kofi := t.as("kofi").Person
		for _, who := range []string{"aiko", "ruben"} {
			vote := service.NewVote{Outcome: competency.OutcomeContinue, Remark: "Good hands, too few cases lately."}
			if _, err := t.service.Vote(t.ctx, t.as(who), t.programme, path.ID, kofi, vote); err != nil {
				return err
			}
		}
		by := t.as("amara")
		by.ProvedAt = t.clock
		decided, err := t.service.Decide(t.ctx, by, t.programme, path.ID, kofi, service.NewDecision{
			Verdict:      competency.Verdict{Outcome: competency.OutcomeContinue, Reasons: "The last cases lie months back. We find a rotation with more operations, and look again in spring."},
			EvidenceHash: path.Turns[0].Standing.EvidenceHash,
		})
		if err != nil {
			return err
		}
		t.later(t.at(demoMet-1, 8, 0), func() error {
			_, err := t.service.Respond(t.ctx, t.as("kofi"), t.programme, decided.ID, "I would like the rotation to begin soon.")
			return err
		})
		return nil
	})
	t.later(t.at(1, 16, 0), func() error {
		_, err := t.meet([]string{"ines", "kofi", "mateo"}, 0)
		return err
	})
}

// meet calls a meeting of the whole committee so many days before today.
func (t *demoTeller) meet(about []string, ago int) (service.MeetingView, error) {
	m := service.NewMeeting{HeldOn: competency.DayOf(t.at(ago, 0, 0)), Members: []competency.PersonID{t.as("aiko").Person, t.as("ruben").Person}}
	for _, who := range about {
		m.Trainees = append(m.Trainees, t.as(who).Person)
	}
	return t.service.CallMeeting(t.ctx, t.as("amara"), t.programme, m)
}
