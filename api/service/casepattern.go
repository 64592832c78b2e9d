package service

import (
	"context"
	"slices"
	"strings"

	"isthmus/api/store"
	"isthmus/competency"
	"isthmus/policies"
)

// Limits of saved patterns.
const (
	maxPatterns    = 30 // of one person
	maxPatternName = 60 // characters
)

// CasePatterns lists the actor's own saved patterns by name.
func (s *Service) CasePatterns(ctx context.Context, actor Actor, programme competency.ProgrammeID) (List[store.CasePattern], error) {
	list := List[store.CasePattern]{Items: []store.CasePattern{}}
	err := s.read(ctx, actor, programme, func(h *scene) (err error) {
		if err := h.may(policies.CasePattern, policies.List, policies.Own); err != nil {
			return err
		}
		list.Items, err = h.tx.CasePatterns(programme, actor.Person)
		return err
	})
	return list, err
}

// SaveCasePattern keeps a record as a pattern under a name, in place of the actor's earlier one of that name. What belongs to one patient
// or one day is left out. The error is strict.Faults or ErrForbidden.
func (s *Service) SaveCasePattern(ctx context.Context, actor Actor, programme competency.ProgrammeID, name string, record competency.Record) (store.CasePattern, error) {
	var saved store.CasePattern
	err := s.write(ctx, actor, programme, "case-pattern.save", func(h *scene) error {
		if err := h.may(policies.CasePattern, policies.Create, policies.Own); err != nil {
			return err
		}
		name, err := patternName(name)
		if err != nil {
			return err
		}
		pattern := competency.PatternOf(record)
		if err := pattern.ValidateDraft(h.programme.Settings, h.today).Err(); err != nil {
			return under("record", err)
		}
		if err := h.checkRecord(pattern, false); err != nil {
			return err
		}
		earlier, err := h.tx.CasePatterns(programme, actor.Person)
		if err != nil {
			return err
		}
		same := func(one store.CasePattern) bool { return one.Name == name }
		if len(earlier) >= maxPatterns && !slices.ContainsFunc(earlier, same) {
			return fault("name", "%d patterns are the most: delete one that you no longer use", maxPatterns)
		}
		saved = store.CasePattern{ID: s.deps.NewID(), Programme: programme, Person: actor.Person, Name: name, Record: pattern, CreatedAt: h.now}
		if err := h.tx.SaveCasePattern(saved); err != nil {
			return err
		}
		return h.tx.Audit("case-pattern", saved.ID, nil, saved)
	})
	return saved, err
}

// patternName is the name as it is kept. The error is strict.Faults.
func patternName(name string) (string, error) {
	name = strings.TrimSpace(name)
	if name == "" {
		return "", fault("name", "is required: what do you call this operation?")
	}
	return name, screen("name", name, maxPatternName)
}

// RenameCasePattern gives one of the actor's own patterns another name. The error is strict.Faults, ErrNotFound or ErrForbidden.
func (s *Service) RenameCasePattern(ctx context.Context, actor Actor, programme competency.ProgrammeID, id, name string) (store.CasePattern, error) {
	var named store.CasePattern
	err := s.write(ctx, actor, programme, "case-pattern.rename", func(h *scene) error {
		if err := h.may(policies.CasePattern, policies.Edit, policies.Own); err != nil {
			return err
		}
		name, err := patternName(name)
		if err != nil {
			return err
		}
		mine, err := h.tx.CasePatterns(programme, actor.Person)
		if err != nil {
			return err
		}
		for _, one := range mine {
			if one.Name == name && one.ID != id {
				return fault("name", "is that of another pattern of yours: choose another")
			}
			if one.ID == id {
				named = one
			}
		}
		if err := h.tx.RenameCasePattern(programme, actor.Person, id, name); err != nil {
			return err
		}
		before := named
		named.Name = name
		return h.tx.Audit("case-pattern", id, before, named)
	})
	return named, err
}

// DeleteCasePattern removes one of the actor's own patterns. Cases that began from it stay as they are.
func (s *Service) DeleteCasePattern(ctx context.Context, actor Actor, programme competency.ProgrammeID, id string) error {
	return s.write(ctx, actor, programme, "case-pattern.delete", func(h *scene) error {
		if err := h.may(policies.CasePattern, policies.Delete, policies.Own); err != nil {
			return err
		}
		if err := h.tx.DeleteCasePattern(programme, actor.Person, id); err != nil {
			return err
		}
		return h.tx.Audit("case-pattern", id, id, nil)
	})
}
