package service

import (
	"context"
	"errors"
	"slices"

	"isthmus/api/store"
	"isthmus/competency"
	"isthmus/policies"
)

// Shared is what a case has to do with cases of other trainees on the same operation.
type Shared struct {
	Group       string               `json:"group,omitempty"`
	Members     []SharedCase         `json:"members"`     // the other cases of its group
	Overlaps    []competency.Overlap `json:"overlaps"`    // steps that more than one trainee claims alone; only for who may read all of these cases
	Suggestions []SharedCase         `json:"suggestions"` // cases with the same date, site, operation and supervisor that may be the same operation
	MayJoin     bool                 `json:"may_join"`    // whether the actor may join and leave
}

// SharedCase is another trainee's case on the same operation: whose it is, nothing of what was done in it.
type SharedCase struct {
	Case        competency.CaseID     `json:"case"`
	Trainee     competency.PersonID   `json:"trainee"`
	TraineeName string                `json:"trainee_name"`
	Status      competency.CaseStatus `json:"status"`
}

// AlikeCase is a case of the same trainee that has the same date, site and operation.
type AlikeCase struct {
	Case   competency.CaseID     `json:"case"`
	Status competency.CaseStatus `json:"status"`
}

// alike lists the actor's own other cases that look like the record, so that nobody enters an operation twice unknowingly.
func (h *scene) alike(record competency.Record, except competency.CaseID) ([]AlikeCase, error) {
	list := []AlikeCase{}
	if record.OperatedOn == "" {
		return list, nil
	}
	cases, err := h.tx.CasesOn(h.programme.ID, record.OperatedOn)
	for _, c := range cases {
		if c.Trainee == h.actor.Person && c.ID != except && competency.Alike(c.Record, record) {
			list = append(list, AlikeCase{c.ID, c.Status})
		}
	}
	return list, err
}

// shared gathers a case's group and what else may belong to it; nil when there is neither.
func (h *scene) shared(c competency.Case) (*Shared, error) {
	shared := &Shared{Members: []SharedCase{}, Overlaps: []competency.Overlap{}, Suggestions: []SharedCase{}, MayJoin: h.mayCase(c, policies.Join) == nil}
	groups, err := h.tx.CaseGroupsOf(h.programme.ID, c.ID)
	if err != nil {
		return nil, err
	}
	if shared.Group = groups[c.ID]; shared.Group != "" {
		members, err := h.tx.CasesOfGroup(h.programme.ID, shared.Group)
		if err != nil {
			return nil, err
		}
		if members, err = h.allShown(members); err != nil {
			return nil, err
		}
		shared.Overlaps = h.overlaps(members)
		if shared.Members, err = h.othersOf(c, members); err != nil {
			return nil, err
		}
	}
	if shared.MayJoin && c.Status != competency.CaseWithdrawn {
		if shared.Suggestions, err = h.suggestions(c, shared.Members); err != nil {
			return nil, err
		}
	}
	if shared.Group == "" && len(shared.Suggestions) == 0 {
		return nil, nil
	}
	return shared, nil
}

// othersOf names the cases but one.
func (h *scene) othersOf(c competency.Case, cases []competency.Case) ([]SharedCase, error) {
	others := []SharedCase{}
	for _, other := range cases {
		if other.ID == c.ID || h.viewing != nil && h.caseRelation(other) == policies.InProgramme {
			continue // a reviewer knows of no trainee but the chosen ones
		}
		name, err := h.name(other.Trainee)
		if err != nil {
			return nil, err
		}
		others = append(others, SharedCase{other.ID, other.Trainee, name, other.Status})
	}
	return others, nil
}

// overlaps are the double claims of a group; none for whoever may not read all of its cases, as the trainees in it.
func (h *scene) overlaps(cases []competency.Case) []competency.Overlap {
	for _, c := range cases {
		if h.caseRelation(c) == policies.Own || h.mayCase(c, policies.Read) != nil && c.Version > 0 {
			return []competency.Overlap{}
		}
	}
	submitted := slices.DeleteFunc(slices.Clone(cases), func(c competency.Case) bool { return c.Version == 0 }) // a draft is its trainee's own
	return competency.Overlaps(submitted)
}

// suggestions are the cases that may be of the same operation and are not in its group. A draft is nobody else's to know of.
func (h *scene) suggestions(c competency.Case, members []SharedCase) ([]SharedCase, error) {
	if c.Record.OperatedOn == "" {
		return []SharedCase{}, nil
	}
	cases, err := h.tx.CasesOn(h.programme.ID, c.Record.OperatedOn)
	if err != nil {
		return nil, err
	}
	cases = slices.DeleteFunc(cases, func(other competency.Case) bool {
		known := slices.ContainsFunc(members, func(m SharedCase) bool { return m.Case == other.ID })
		return known || !sharable(c, other)
	})
	return h.othersOf(c, cases)
}

// sharable reports whether another case may be of the same operation.
func sharable(c, other competency.Case) bool {
	return other.Version > 0 && other.Status != competency.CaseWithdrawn && other.Trainee != c.Trainee && competency.SameOperation(c.Record, other.Record)
}

// JoinCase says that a case and another trainee's are of one operation. Both are in one group then. The error is strict.Faults when the
// other one cannot be, ErrDuplicate or ErrForbidden.
func (s *Service) JoinCase(ctx context.Context, actor Actor, programme competency.ProgrammeID, id, with competency.CaseID) (CaseDetail, error) {
	return s.regroup(ctx, actor, programme, id, "case.join", func(h *scene, c competency.Case) (string, error) {
		other, err := h.tx.CaseByID(programme, with)
		if err != nil && !errors.Is(err, ErrNotFound) {
			return "", err
		}
		if err != nil || !sharable(c, other) {
			return "", fault("with", "is no case of another trainee with the same date, site, operation and supervisor")
		}
		groups, err := h.tx.CaseGroupsOf(programme, id, with)
		if err != nil {
			return "", err
		}
		group := groups[id]
		switch {
		case group == "" && groups[with] == "":
			group = s.deps.NewID()
		case group == "":
			group = groups[with]
		case groups[with] == group:
			return "", fault("with", "is in the group already")
		case groups[with] != "":
			return "", fault("with", "is in another group: leave one of the two first")
		}
		for _, member := range []competency.CaseID{id, with} {
			if groups[member] != "" {
				continue
			}
			if err := h.tx.JoinCaseGroup(store.GroupedCase{Programme: programme, Case: member, Group: group, JoinedBy: actor.Person, JoinedAt: h.now}); err != nil {
				return "", err
			}
		}
		return "join", nil
	})
}

// LeaveCaseGroup takes a case out of its group. The error is ErrNotFound when it is in none, or ErrForbidden.
func (s *Service) LeaveCaseGroup(ctx context.Context, actor Actor, programme competency.ProgrammeID, id competency.CaseID) (CaseDetail, error) {
	return s.regroup(ctx, actor, programme, id, "case.leave", func(h *scene, _ competency.Case) (string, error) {
		return "leave", h.tx.LeaveCaseGroup(programme, id)
	})
}

// regroup runs an act on a case's group, which leaves the case itself as it is, and notes it in the case's history and the audit trail.
func (s *Service) regroup(ctx context.Context, actor Actor, programme competency.ProgrammeID, id competency.CaseID, name string, act func(*scene, competency.Case) (string, error)) (CaseDetail, error) {
	var detail CaseDetail
	err := s.write(ctx, actor, programme, name, func(h *scene) error {
		c, err := h.tx.CaseByID(programme, id)
		if err != nil {
			return err
		}
		if err := h.mayCase(c, policies.Join); err != nil {
			return err
		}
		before, err := h.tx.CaseGroupsOf(programme, id)
		if err != nil {
			return err
		}
		kind, err := act(h, c)
		if err != nil {
			return err
		}
		if err := h.tx.AddCaseAct(programme, id, store.Done{Kind: kind, By: actor.Person, At: h.now, Version: c.Version}); err != nil {
			return err
		}
		after, err := h.tx.CaseGroupsOf(programme, id)
		if err != nil {
			return err
		}
		if err := h.tx.Audit("case-group", string(id), before, after); err != nil {
			return err
		}
		detail, err = h.detail(c)
		return err
	})
	return detail, err
}

// countOverlaps writes into summaries how many steps of their groups are claimed twice.
func (h *scene) countOverlaps(items []CaseSummary) error {
	ids := make([]competency.CaseID, len(items))
	for i, item := range items {
		ids[i] = item.ID
	}
	groups, err := h.tx.CaseGroupsOf(h.programme.ID, ids...)
	if err != nil {
		return err
	}
	counted := map[string]int{}
	for i, item := range items {
		group := groups[item.ID]
		if group == "" {
			continue
		}
		if _, known := counted[group]; !known {
			cases, err := h.tx.CasesOfGroup(h.programme.ID, group)
			if err != nil {
				return err
			}
			if cases, err = h.allShown(cases); err != nil {
				return err
			}
			counted[group] = len(h.overlaps(cases))
		}
		items[i].Overlaps = counted[group]
	}
	return nil
}
