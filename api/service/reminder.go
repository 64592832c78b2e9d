package service

import (
	"context"
	"fmt"
	"slices"

	"isthmus/api/store"
	"isthmus/assessment/atrium"
	"isthmus/assessment/question"
	"isthmus/competency"
	"isthmus/competency/panel"
	"isthmus/policies"
)

// draftDays is after how many days a draft counts as late (common practice, no source).
const draftDays = 7

// remindedCases is how many cases a reminder shows, the oldest first.
const remindedCases = 10

// ReminderKind is a kind of thing that waits for a person.
type ReminderKind string

// The kinds, in the order they are told.
const (
	RemindOpenTest     ReminderKind = "open-test"      // a test of one's own that is not over
	RemindReturned     ReminderKind = "returned"       // own cases to correct and submit again
	RemindToSign       ReminderKind = "to-sign"        // cases that wait for one's own signature
	RemindDrafts       ReminderKind = "drafts"         // own cases to finish and submit
	RemindToRate       ReminderKind = "to-rate"        // questions to rate as the judge of a panel
	RemindOthersToSign ReminderKind = "others-to-sign" // cases of the programme that have waited too long for another's signature
)

// Reminder is one kind of thing that waits for the actor: how many, and the oldest of them. Age counts in days from the operation, of a
// draft from when it was begun.
type Reminder struct {
	Kind       ReminderKind    `json:"kind"`
	Count      int             `json:"count"`
	Late       int             `json:"late"` // of those, the ones older than the programme's limit for late recall, drafts than a week
	OldestDays int             `json:"oldest_days"`
	Says       string          `json:"says"`
	Cases      []CaseSummary   `json:"cases"` // the oldest ten at most
	Sitting    store.SittingID `json:"sitting,omitempty"`
	Test       question.TestID `json:"test,omitempty"` // whose passing mark is being set
}

// Reminders lists what waits for the actor in the programme; a kind of which there is nothing is left out. Every member may ask.
func (s *Service) Reminders(ctx context.Context, actor Actor, programme competency.ProgrammeID) (List[Reminder], error) {
	list := List[Reminder]{Caution: atrium.Caution}
	err := s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.may(policies.Reminder, policies.List, policies.Own); err != nil {
			return err
		}
		var err error
		if list.Items, err = h.openTestReminder(); err != nil {
			return err
		}
		for _, kind := range h.caseReminders() {
			reminder, err := h.remind(kind)
			if err != nil {
				return err
			}
			if reminder.Count > 0 {
				list.Items = append(list.Items, reminder)
			}
		}
		rate, err := h.rateReminders()
		list.Items = append(list.Items, rate...)
		return err
	})
	return list, err
}

// rateReminders are about the panels the actor is a judge of and has not said everything for, one each.
func (h *scene) rateReminders() ([]Reminder, error) {
	if h.may(policies.Panel, policies.Respond, policies.Own) != nil {
		return nil, nil
	}
	panels, err := h.tx.Panels(h.programme.ID, "")
	if err != nil {
		return nil, err
	}
	var reminders []Reminder
	for _, p := range panels {
		if !p.Judging(h.actor.Person) {
			continue
		}
		sheets, err := h.tx.PanelSheets(h.programme.ID, p.ID)
		if err != nil {
			return nil, err
		}
		said, asked := p.Rated(panel.Sheet{})
		for _, s := range sheets {
			if s.Judge == h.actor.Person && s.Round == p.Round {
				said, asked = p.Rated(s)
			}
		}
		if said == asked {
			continue
		}
		says := fmt.Sprintf("A panel waits for your ratings: %d of %d questions left.", asked-said, asked)
		if p.Method == panel.Hofstee {
			says = "A panel waits for the marks you find bearable."
		}
		reminders = append(reminders, Reminder{
			Kind: RemindToRate, Count: 1, OldestDays: h.today.DaysSince(competency.DayOf(p.CreatedAt)), Says: says, Cases: []CaseSummary{}, Test: question.TestID(p.Test),
		})
	}
	return reminders, nil
}

// openTestReminder is about the actor's open test in this programme.
func (h *scene) openTestReminder() ([]Reminder, error) {
	reminders := []Reminder{}
	open, err := h.openTests()
	for _, test := range open {
		if test.Programme == h.programme.ID {
			reminders = append(reminders, Reminder{Kind: RemindOpenTest, Count: 1, Says: "You are sitting a test.", Cases: []CaseSummary{}, Sitting: test.ID})
		}
	}
	return reminders, err
}

// caseReminder is how one kind of case is found and told.
type caseReminder struct {
	kind     ReminderKind
	filter   store.CaseFilter
	days     func(competency.Case) int
	limit    int // older than so many days is late
	lateOnly bool
	others   bool // leave out what waits for the actor
	says     func(count, late, limit int) string
}

// caseReminders are the kinds of cases that can wait for the actor, by what the policies let the actor do with them.
func (h *scene) caseReminders() []caseReminder {
	limit, me := h.programme.Settings.LateRecallDays, h.actor.Person
	var kinds []caseReminder
	own := h.may(policies.Case, policies.Edit, policies.Own) == nil
	if own {
		kinds = append(kinds, caseReminder{kind: RemindReturned, filter: store.CaseFilter{Trainee: me, Status: competency.CaseReturned}, days: h.age, limit: limit, says: saysReturned})
	}
	if h.may(policies.Case, policies.SignOff, policies.Supervised) == nil {
		kinds = append(kinds, caseReminder{kind: RemindToSign, filter: store.CaseFilter{Supervisor: me, Status: competency.CaseSubmitted}, days: h.age, limit: limit, says: saysToSign})
	}
	if own {
		begun := func(c competency.Case) int {
			if c.Amending() { // what counts of it is signed: the draft is as old as its last change
				return h.today.DaysSince(competency.DayOf(c.UpdatedAt))
			}
			return h.today.DaysSince(competency.DayOf(c.CreatedAt))
		}
		kinds = append(kinds, caseReminder{kind: RemindDrafts, filter: store.CaseFilter{Trainee: me, Status: competency.CaseDraft}, days: begun, limit: draftDays, says: saysDrafts})
	}
	if h.may(policies.Case, policies.List, policies.InProgramme) == nil {
		kinds = append(kinds, caseReminder{
			kind: RemindOthersToSign, filter: store.CaseFilter{Status: competency.CaseSubmitted}, days: h.age, limit: limit, lateOnly: true, others: true, says: saysOthers,
		})
	}
	return kinds
}

// remind counts the cases of a kind and shows the oldest.
func (h *scene) remind(kind caseReminder) (Reminder, error) {
	found, err := h.allCases(kind.filter)
	if err != nil {
		return Reminder{}, err
	}
	reminder := Reminder{Kind: kind.kind, Cases: []CaseSummary{}}
	slices.Reverse(found) // lists are newest first
	waiting := found[:0]
	for _, c := range found {
		days := kind.days(c)
		if kind.others && c.Record.Supervisor == h.actor.Person || kind.lateOnly && days <= kind.limit {
			continue
		}
		waiting = append(waiting, c)
		reminder.OldestDays = max(reminder.OldestDays, days)
		if days > kind.limit {
			reminder.Late++
		}
	}
	reminder.Count = len(waiting)
	reminder.Says = kind.says(reminder.Count, reminder.Late, kind.limit)
	slices.SortStableFunc(waiting, func(a, b competency.Case) int { return kind.days(b) - kind.days(a) })
	names := map[*string]competency.PersonID{}
	for _, c := range waiting[:min(len(waiting), remindedCases)] {
		reminder.Cases = append(reminder.Cases, h.summary(c))
	}
	for i := range reminder.Cases {
		names[&reminder.Cases[i].TraineeName], names[&reminder.Cases[i].SupervisorName] = reminder.Cases[i].Trainee, reminder.Cases[i].Supervisor
	}
	return reminder, h.nameInto(names)
}

func saysReturned(count, _, _ int) string {
	return oneOrMany(count, "A returned case waits for you.", "%d returned cases wait for you.")
}

func saysToSign(count, late, limit int) string {
	return oneOrMany(count, "A case waits for your signature", "%d cases wait for your signature") + lateSays(late, fmt.Sprintf("more than %d days after the operation", limit))
}

func saysDrafts(count, late, _ int) string {
	return oneOrMany(count, "A draft waits to be finished", "%d drafts wait to be finished") + lateSays(late, "older than a week")
}

func saysOthers(count, _, limit int) string {
	return oneOrMany(count, "A case of the programme waits", "%d cases of the programme wait") + fmt.Sprintf(" for sign-off more than %d days after the operation.", limit)
}

// oneOrMany says a count.
func oneOrMany(count int, one, many string) string {
	if count == 1 {
		return one
	}
	return fmt.Sprintf(many, count)
}

// plural is a count with its noun.
func plural(n int, noun string) string { return oneOrMany(n, "1 "+noun, "%d "+noun+"s") }

// lateSays ends a sentence with how many are late.
func lateSays(late int, than string) string {
	if late == 0 {
		return "."
	}
	return fmt.Sprintf("; %d %s.", late, than)
}
