package service

import (
	"context"
	"errors"

	"isthmus/api/store"
	"isthmus/assessment/atrium"
	"isthmus/competency"
	"isthmus/policies"
)

// SaveCaseKey keeps the actor's key to a case, in place of the one before: a keyed hash of the local record number, made in the browser.
// The server has neither the number nor the key it was hashed with. The error is strict.Faults, ErrNotFound or ErrForbidden.
func (s *Service) SaveCaseKey(ctx context.Context, actor Actor, programme competency.ProgrammeID, id competency.CaseID, key string) (CaseFollowUps, error) {
	if err := checkCaseKey(key); err != nil {
		return CaseFollowUps{}, err
	}
	var view CaseFollowUps
	err := s.write(ctx, actor, programme, "case-key.save", func(h *scene) error {
		c, err := h.followedCase(id, policies.Read)
		if err != nil {
			return err
		}
		if err := h.may(policies.CaseKey, policies.Create, h.caseRelation(c)); err != nil {
			return err
		}
		if err := h.saveCaseKey(c.ID, key); err != nil {
			return err
		}
		view, err = h.followUpsOf(c)
		return err
	})
	return view, err
}

// saveCaseKey saves and audits the actor's key to a case.
func (h *scene) saveCaseKey(id competency.CaseID, key string) error {
	before, err := h.tx.CaseKeyOf(h.programme.ID, id, h.actor.Person)
	if err != nil && !errors.Is(err, ErrNotFound) {
		return err
	}
	after := store.CaseKey{Programme: h.programme.ID, Case: id, By: h.actor.Person, Key: key, At: h.now}
	if err := h.tx.SaveCaseKey(after); err != nil {
		return err
	}
	if before.Key == "" {
		return h.tx.Audit("case-key", string(id), nil, after)
	}
	return h.tx.Audit("case-key", string(id), before, after)
}

// FindCases lists the cases that a case key leads to and that the actor may open. The error is strict.Faults or ErrForbidden.
func (s *Service) FindCases(ctx context.Context, actor Actor, programme competency.ProgrammeID, key string) (List[CaseSummary], error) {
	list := List[CaseSummary]{Items: []CaseSummary{}, Caution: atrium.Caution}
	if err := checkCaseKey(key); err != nil {
		return list, err
	}
	err := s.read(ctx, actor, programme, func(h *scene) error {
		list.Items = []CaseSummary{}
		if _, err := h.reachOf(policies.CaseKey); err != nil {
			return err
		}
		cases, err := h.tx.CasesByKey(programme, key)
		if err != nil {
			return err
		}
		for _, c := range cases {
			if h.mayCase(c, policies.Read) == nil {
				if c, err = h.shownOf(c); err != nil {
					return err
				}
				list.Items = append(list.Items, h.summary(c))
			}
		}
		names := map[*string]competency.PersonID{}
		for i := range list.Items {
			names[&list.Items[i].TraineeName], names[&list.Items[i].SupervisorName] = list.Items[i].Trainee, list.Items[i].Supervisor
		}
		return h.nameInto(names)
	})
	return list, err
}

// hasCaseKey reports whether the actor has a key to a case.
func (h *scene) hasCaseKey(id competency.CaseID) (bool, error) {
	_, err := h.tx.CaseKeyOf(h.programme.ID, id, h.actor.Person)
	if errors.Is(err, ErrNotFound) {
		return false, nil
	}
	return err == nil, err
}

// checkCaseKey refuses what no browser of ours makes, above all a record number.
func checkCaseKey(key string) error {
	faults := competency.CheckCaseKey(key)
	return faults.Err()
}
