package service

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
	"time"

	"isthmus/api/store"
	"isthmus/assessment"
	"isthmus/competency"
	"isthmus/policies"
)

// DefaultPolicy stands for the version number of the scope policy that comes with the program.
const DefaultPolicy = "default"

// ScopePolicySummary is a version of the programme's scope policy in a list.
type ScopePolicySummary struct {
	Version       int                 `json:"version"`
	ID            string              `json:"id"` // a grade names it beside the version
	Title         string              `json:"title"`
	Source        string              `json:"source"` // own; starter for the one that comes with the program
	InForceFrom   competency.Day      `json:"in_force_from,omitempty"`
	InForce       bool                `json:"in_force"` // today
	CreatedBy     competency.PersonID `json:"created_by,omitempty"`
	CreatedByName string              `json:"created_by_name,omitempty"`
	CreatedAt     time.Time           `json:"created_at,omitzero"`
}

// ScopePolicyView is a version of the scope policy with all its rows.
type ScopePolicyView struct {
	ScopePolicySummary
	Policy assessment.Policy `json:"policy"`
	YAML   string            `json:"yaml,omitempty"` // the file, when it was handed in as one
}

// policy is the scope policy by which the programme grades today: its own in force, else the one that comes with the program.
func (h *scene) policy() (assessment.Policy, error) {
	version, err := h.policyVersion()
	if err != nil {
		return assessment.Policy{}, err
	}
	return h.policyOf(version)
}

// policyVersion is the version of the programme's own scope policy in force today; 0 when there is none.
func (h *scene) policyVersion() (int, error) {
	row, err := h.tx.ScopePolicyInForce(h.programme.ID, h.today)
	if errors.Is(err, ErrNotFound) {
		return 0, nil
	}
	return row.Version, err
}

// policyOf is one version of the programme's own scope policy; 0 is the one that comes with the program.
func (h *scene) policyOf(version int) (assessment.Policy, error) {
	if version == 0 {
		return h.service.deps.Policy, nil
	}
	row, err := h.tx.ScopePolicyByVersion(h.programme.ID, version)
	if err != nil {
		return assessment.Policy{}, err
	}
	return readScopePolicy(row)
}

// readScopePolicy reads a policy that was valid when it was stored; a failure is ours, not the caller's.
func readScopePolicy(row store.ScopePolicy) (assessment.Policy, error) {
	var policy assessment.Policy
	if err := json.Unmarshal(row.Policy, &policy); err != nil {
		return policy, fmt.Errorf("stored scope policy %d cannot be read: %v", row.Version, err)
	}
	return policy, nil
}

// ScopePolicies lists the versions of the programme's scope policy, newest first, and at the end the one that comes with the program.
func (s *Service) ScopePolicies(ctx context.Context, actor Actor, programme competency.ProgrammeID) (List[ScopePolicySummary], error) {
	list := List[ScopePolicySummary]{Items: []ScopePolicySummary{}}
	err := s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.may(policies.ScopePolicy, policies.List, policies.InProgramme); err != nil {
			return err
		}
		rows, err := h.tx.ScopePolicies(programme)
		if err != nil {
			return err
		}
		list.Items = make([]ScopePolicySummary, 0, len(rows)+1)
		for _, row := range rows {
			view, err := h.viewOfScopePolicy(row)
			if err != nil {
				return err
			}
			list.Items = append(list.Items, view.ScopePolicySummary)
		}
		starter, err := h.starterPolicy()
		list.Items = append(list.Items, starter.ScopePolicySummary)
		return err
	})
	return list, err
}

// ScopePolicyByVersion gives one version whole; version is a number or DefaultPolicy.
func (s *Service) ScopePolicyByVersion(ctx context.Context, actor Actor, programme competency.ProgrammeID, version string) (ScopePolicyView, error) {
	return s.readScopePolicy(ctx, actor, programme, func(h *scene) (ScopePolicyView, error) {
		if version == DefaultPolicy {
			return h.starterPolicy()
		}
		number, err := strconv.Atoi(version)
		if err != nil || strconv.Itoa(number) != version {
			return ScopePolicyView{}, missing("scope policy")
		}
		row, err := h.tx.ScopePolicyByVersion(programme, number)
		if err != nil {
			return ScopePolicyView{}, err
		}
		return h.viewOfScopePolicy(row)
	})
}

// ScopePolicyInForce gives the version by which the programme grades today.
func (s *Service) ScopePolicyInForce(ctx context.Context, actor Actor, programme competency.ProgrammeID) (ScopePolicyView, error) {
	return s.readScopePolicy(ctx, actor, programme, func(h *scene) (ScopePolicyView, error) {
		row, err := h.tx.ScopePolicyInForce(programme, h.today)
		switch {
		case errors.Is(err, ErrNotFound):
			return h.starterPolicy()
		case err != nil:
			return ScopePolicyView{}, err
		}
		return h.viewOfScopePolicy(row)
	})
}

// readScopePolicy finds a version for someone who may read it.
func (s *Service) readScopePolicy(ctx context.Context, actor Actor, programme competency.ProgrammeID, find func(*scene) (ScopePolicyView, error)) (ScopePolicyView, error) {
	var view ScopePolicyView
	err := s.read(ctx, actor, programme, func(h *scene) (err error) {
		if err := h.may(policies.ScopePolicy, policies.Read, policies.InProgramme); err != nil {
			return err
		}
		view, err = find(h)
		return err
	})
	return view, err
}

// viewOfScopePolicy is what people see of a stored version.
func (h *scene) viewOfScopePolicy(row store.ScopePolicy) (ScopePolicyView, error) {
	policy, err := readScopePolicy(row)
	if err != nil {
		return ScopePolicyView{}, err
	}
	today, err := h.policyVersion()
	if err != nil {
		return ScopePolicyView{}, err
	}
	name, err := h.name(row.CreatedBy)
	return ScopePolicyView{Policy: policy, YAML: row.YAML, ScopePolicySummary: ScopePolicySummary{
		Version: row.Version, ID: policy.ID, Title: policy.Title, Source: sourceOwn, InForceFrom: row.InForceFrom, InForce: row.Version == today,
		CreatedBy: row.CreatedBy, CreatedByName: name, CreatedAt: row.CreatedAt,
	}}, err
}

// starterPolicy is what people see of the scope policy that comes with the program.
func (h *scene) starterPolicy() (ScopePolicyView, error) {
	policy := h.service.deps.Policy
	today, err := h.policyVersion()
	view := ScopePolicyView{Policy: policy, ScopePolicySummary: ScopePolicySummary{
		Version: policy.Version, ID: policy.ID, Title: policy.Title, Source: sourceStarter, InForce: today == 0,
	}}
	if shipped := assessment.DefaultPolicy(); policy.ID == shipped.ID && policy.Version == shipped.Version {
		view.YAML = string(assessment.DefaultPolicyYAML())
	}
	return view, err
}
