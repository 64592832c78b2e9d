package service

import (
	"cmp"
	"context"
	"slices"
	"strings"

	"isthmus/api/store"
	"isthmus/assessment/atrium"
	"isthmus/competency"
	"isthmus/policies"
)

// DueFollowUp is a case of which follow-ups are due. Who may follow dates without opening a case (the coordinator) gets no clinical field.
type DueFollowUp struct {
	Case           competency.CaseID   `json:"case"`
	Trainee        competency.PersonID `json:"trainee"`
	TraineeName    string              `json:"trainee_name"`
	Supervisor     competency.PersonID `json:"supervisor"`
	SupervisorName string              `json:"supervisor_name"`
	OperatedOn     string              `json:"operated_on"`
	Operation      string              `json:"operation,omitempty"`
	Due            []competency.Due    `json:"due"` // the longest due first; never empty
	DaysLate       int                 `json:"days_late"`
}

// waitingStates are the states of the schedule that ask for something soon, or now.
var waitingStates = []competency.DueState{competency.DueLate, competency.DueNow, competency.DueComing}

// DueFollowUps lists the cases of which follow-ups are late, due or coming, or in one of these states, the longest due first: a trainee's own
// cases, those a faculty member supervised, all for director and coordinator.
func (s *Service) DueFollowUps(ctx context.Context, actor Actor, programme competency.ProgrammeID, state competency.DueState, page store.Page) (List[DueFollowUp], error) {
	list := List[DueFollowUp]{Items: []DueFollowUp{}, Caution: atrium.Caution}
	err := s.read(ctx, actor, programme, func(h *scene) error {
		list.Items, list.Next = []DueFollowUp{}, ""
		filter, err := h.followUpFilter()
		if err != nil {
			return err
		}
		cases, err := h.tx.FollowedCases(programme, filter)
		if err != nil {
			return err
		}
		all := []DueFollowUp{}
		for _, c := range cases {
			if due, some := h.dueOf(c, state); some {
				all = append(all, due)
			}
		}
		list.Items, list.Next = pageOfDue(all, page)
		names := map[*string]competency.PersonID{}
		for i := range list.Items {
			names[&list.Items[i].TraineeName], names[&list.Items[i].SupervisorName] = list.Items[i].Trainee, list.Items[i].Supervisor
		}
		return h.nameInto(names)
	})
	return list, err
}

// followUpFilter is which cases the actor may follow.
func (h *scene) followUpFilter() (store.CaseFilter, error) {
	r, err := h.reachOf(policies.FollowUp)
	switch {
	case err != nil || r.everyone:
		return store.CaseFilter{}, err
	case r.own && r.supervised:
		return store.CaseFilter{OwnOrSupervised: h.actor.Person}, nil
	case r.supervised:
		return store.CaseFilter{Supervisor: h.actor.Person}, nil
	}
	return store.CaseFilter{Trainee: h.actor.Person}, nil
}

// dueOf is what is due of a case, and whether anything is.
func (h *scene) dueOf(c store.FollowedCase, state competency.DueState) (DueFollowUp, bool) {
	due := DueFollowUp{Case: c.ID, Trainee: c.Trainee, Supervisor: c.Supervisor, OperatedOn: c.OperatedOn}
	for _, one := range h.programme.Settings.FollowUp.Schedule(c.OperatedOn, c.FollowUps, h.today) {
		if one.State == state || state == "" && slices.Contains(waitingStates, one.State) {
			due.Due = append(due.Due, one)
		}
	}
	if len(due.Due) == 0 {
		return due, false
	}
	due.DaysLate = max(0, h.today.DaysSince(due.Due[0].On))
	relation := h.caseRelation(competency.Case{Trainee: c.Trainee, Record: competency.Record{Supervisor: c.Supervisor}})
	if h.may(policies.FollowUp, policies.Read, relation) == nil {
		due.Operation = c.Operation
	}
	return due, true
}

// pageOfDue puts the longest due first and cuts a page out; the cursor names the last case of the page before with its date.
func pageOfDue(all []DueFollowUp, page store.Page) ([]DueFollowUp, string) {
	place := func(d DueFollowUp) string { return string(d.Due[0].On) + " " + string(d.Case) }
	slices.SortFunc(all, func(a, b DueFollowUp) int { return cmp.Compare(place(a), place(b)) })
	from := 0
	if page.After != "" {
		from, _ = slices.BinarySearchFunc(all, page.After, func(d DueFollowUp, after string) int {
			if strings.Compare(place(d), after) <= 0 {
				return -1
			}
			return 1
		})
	}
	size := page.Limit
	if size <= 0 {
		size = len(all)
	}
	to := min(from+size, len(all))
	if to == len(all) || to == from {
		return all[from:to], ""
	}
	return all[from:to], place(all[to-1])
}
