package service

import (
	"context"
	"fmt"
	"slices"
	"time"

	"isthmus/api/store"
	"isthmus/assessment/atrium"
	"isthmus/competency"
	"isthmus/policies"
)

// FollowUpVersion is a follow-up as it was recorded or amended, with what the programme's rule of success made of it then.
type FollowUpVersion struct {
	ID            competency.FollowUpID `json:"id"`
	Case          competency.CaseID     `json:"case"`
	Version       int                   `json:"version"`
	FollowUp      competency.FollowUp   `json:"follow_up"`
	Freedom       competency.Freedom    `json:"freedom"`
	FreedomReason string                `json:"freedom_reason"`
	RuleVersion   int                   `json:"rule_version"`
	Reason        string                `json:"reason,omitempty"` // of the amendment
	By            competency.PersonID   `json:"by"`
	ByName        string                `json:"by_name"`
	At            time.Time             `json:"at"`
}

// FollowUpView is a follow-up as it is now, and as it was.
type FollowUpView struct {
	FollowUpVersion
	Earlier []FollowUpVersion `json:"earlier"` // newest first
	Caution string            `json:"caution"`
}

// CaseFollowUps is what is known and what is due of one case.
type CaseFollowUps struct {
	Case       competency.CaseID       `json:"case"`
	OperatedOn string                  `json:"operated_on"`
	Rule       competency.FollowUpRule `json:"rule"`     // in force today: of the schedule and of what is recorded next
	Schedule   []competency.Due        `json:"schedule"` // empty while the case is not followed
	Items      []FollowUpView          `json:"items"`    // by month
	HasKey     bool                    `json:"has_key"`  // whether the actor can find the case by its record number
	May        []string                `json:"may"`      // what the actor may do now: create, edit
	Caution    string                  `json:"caution"`
}

// FollowUpsOf gives the follow-ups of a case with its schedule. The error is ErrNotFound or ErrForbidden.
func (s *Service) FollowUpsOf(ctx context.Context, actor Actor, programme competency.ProgrammeID, id competency.CaseID) (CaseFollowUps, error) {
	var view CaseFollowUps
	err := s.read(ctx, actor, programme, func(h *scene) error {
		c, err := h.followedCase(id, policies.Read)
		if err != nil {
			return err
		}
		view, err = h.followUpsOf(c)
		return err
	})
	return view, err
}

// followedCase loads a case for an act on its follow-ups, as it was submitted last while it is changed. Of another's draft there is nothing to
// know.
func (h *scene) followedCase(id competency.CaseID, action policies.Action) (competency.Case, error) {
	c, err := h.tx.CaseByID(h.programme.ID, id)
	if err != nil {
		return c, err
	}
	if err := h.mayCase(c, policies.Read); err != nil {
		return c, err
	}
	if err := h.mayRead(policies.FollowUp, action, h.caseRelation(c), string(c.ID)); err != nil {
		return c, err
	}
	if c.Version > 0 && (c.Status == competency.CaseDraft || c.Status == competency.CaseReturned) {
		submitted, err := h.versionOf(c.ID, c.Version)
		c.Record = submitted.Record
		return c, err
	}
	return c, nil
}

// followed reports whether a case has follow-ups: from its submission until it is withdrawn.
func followed(c competency.Case) bool { return c.Version > 0 && c.Status != competency.CaseWithdrawn }

func (h *scene) followUpsOf(c competency.Case) (CaseFollowUps, error) {
	rule := h.programme.Settings.FollowUp
	view := CaseFollowUps{
		Case: c.ID, OperatedOn: c.Record.OperatedOn, Rule: rule, Schedule: []competency.Due{}, Items: []FollowUpView{}, May: []string{}, Caution: atrium.Caution,
	}
	rows, err := h.tx.FollowUps(h.programme.ID, c.ID)
	if err != nil {
		return view, err
	}
	for len(rows) > 0 {
		n := 1
		for n < len(rows) && rows[n].ID == rows[0].ID {
			n++
		}
		item, err := h.followUpView(rows[:n])
		if err != nil {
			return view, err
		}
		view.Items, rows = append(view.Items, item), rows[n:]
	}
	slices.SortStableFunc(view.Items, func(a, b FollowUpView) int { return a.FollowUp.Month - b.FollowUp.Month })
	if followed(c) {
		done := make([]competency.FollowUp, len(view.Items))
		for i, item := range view.Items {
			done[i] = item.FollowUp
		}
		view.Schedule = append(view.Schedule, rule.Schedule(c.Record.OperatedOn, done, h.today)...)
		for _, action := range []policies.Action{policies.Create, policies.Edit} {
			if h.may(policies.FollowUp, action, h.caseRelation(c)) == nil {
				view.May = append(view.May, string(action))
			}
		}
	}
	view.HasKey, err = h.hasCaseKey(c.ID)
	return view, err
}

// followUpView puts the versions of one follow-up together, first version first.
func (h *scene) followUpView(versions []store.FollowUp) (FollowUpView, error) {
	view := FollowUpView{Earlier: []FollowUpVersion{}, Caution: atrium.Caution}
	for i, row := range versions {
		name, err := h.name(row.By)
		if err != nil {
			return view, err
		}
		version := FollowUpVersion{
			ID: row.ID, Case: row.Case, Version: row.Version, FollowUp: row.Content, Freedom: row.Freedom, FreedomReason: row.FreedomReason,
			RuleVersion: row.RuleVersion, Reason: row.Reason, By: row.By, ByName: name, At: row.At,
		}
		if i == len(versions)-1 {
			view.FollowUpVersion = version
		} else {
			view.Earlier = slices.Insert(view.Earlier, 0, version)
		}
	}
	return view, nil
}

// followUpByID is a follow-up of a case with all its versions. The error is ErrNotFound when the case has no such follow-up.
func (h *scene) followUpByID(of competency.CaseID, id competency.FollowUpID) (FollowUpView, error) {
	rows, err := h.tx.FollowUps(h.programme.ID, of)
	if err != nil {
		return FollowUpView{}, err
	}
	rows = slices.DeleteFunc(rows, func(row store.FollowUp) bool { return row.ID != id })
	if len(rows) == 0 {
		return FollowUpView{}, missing("follow-up")
	}
	return h.followUpView(rows)
}

// checkMonth refuses a follow-up of a month still ahead (a month early is on time), and a second one of the same month.
func (h *scene) checkMonth(c competency.Case, f competency.FollowUp, id competency.FollowUpID) error {
	period, err := competency.ParsePeriod(c.Record.OperatedOn)
	if err != nil {
		return fmt.Errorf("case %s: %w", c.ID, err)
	}
	if earliest := competency.DayOf(period.First.Start().AddDate(0, f.Month-1, 0)); earliest > h.today {
		return fault("follow_up.month", "month %d after the operation is still ahead", f.Month)
	}
	rows, err := h.tx.FollowUps(h.programme.ID, c.ID)
	if err != nil {
		return err
	}
	for i, row := range rows {
		newest := i == len(rows)-1 || rows[i+1].ID != row.ID
		if newest && row.ID != id && row.Content.Month == f.Month {
			return fault("follow_up.month", "the follow-up of month %d is on record already: amend that one", f.Month)
		}
	}
	return nil
}
