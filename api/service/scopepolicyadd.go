package service

import (
	"context"
	"encoding/json"
	"fmt"

	"isthmus/api/store"
	"isthmus/assessment"
	"isthmus/assessment/strict"
	"isthmus/competency"
	"isthmus/policies"
)

// Where something a programme uses comes from.
const (
	sourceOwn     = "own"     // made in the programme
	sourceStarter = "starter" // comes with the program
)

// ScopePolicyAddition is a version to add: either a policy, or a file in YAML.
type ScopePolicyAddition struct {
	Policy      *assessment.Policy
	YAML        string
	InForceFrom competency.Day
}

// AddScopePolicy adds a version of the programme's scope policy, which never changes afterwards. It must carry a higher version than any
// of the programme's before, and come into force no earlier than the latest and than today: nobody is graded by rules made later. The
// error is strict.Faults, for a file with line and column, ErrDuplicate or ErrForbidden.
func (s *Service) AddScopePolicy(ctx context.Context, actor Actor, programme competency.ProgrammeID, in ScopePolicyAddition) (ScopePolicyView, error) {
	var view ScopePolicyView
	err := s.write(ctx, actor, programme, "scope-policy.add", func(h *scene) error {
		if err := h.may(policies.ScopePolicy, policies.Create, policies.InProgramme); err != nil {
			return err
		}
		policy, err := h.checkScopePolicy(in)
		if err != nil {
			return err
		}
		text, err := json.Marshal(policy)
		if err != nil {
			return fmt.Errorf("scope policy: %w", err)
		}
		row := store.ScopePolicy{
			Programme: programme, Version: policy.Version, InForceFrom: in.InForceFrom, Policy: text, YAML: in.YAML, CreatedBy: actor.Person, CreatedAt: h.now,
		}
		if err := h.tx.AddScopePolicy(row); err != nil {
			return err
		}
		if view, err = h.viewOfScopePolicy(row); err != nil {
			return err
		}
		return h.tx.Audit("scope-policy", fmt.Sprint(row.Version), nil, row)
	})
	return view, err
}

// checkScopePolicy reads a version to add and finds everything that is wrong with it.
func (h *scene) checkScopePolicy(in ScopePolicyAddition) (assessment.Policy, error) {
	if _, err := competency.ParseDay(string(in.InForceFrom)); err != nil {
		return assessment.Policy{}, fault("in_force_from", "%v", err)
	}
	policy, place, err := in.read()
	if err != nil {
		return policy, err
	}
	if policy.ID == h.service.deps.Policy.ID {
		return policy, fault(place+".id", "%q is the policy that comes with the program: give yours a name of its own, so that grades tell them apart", policy.ID)
	}
	rows, err := h.tx.ScopePolicies(h.programme.ID)
	if err != nil {
		return policy, err
	}
	if len(rows) > 0 && rows[0].Version >= policy.Version {
		return policy, fault(place+".version", "must be higher than %d, the latest version there is", rows[0].Version)
	}
	for _, earlier := range rows {
		if in.InForceFrom < earlier.InForceFrom {
			return policy, fault("in_force_from", "must not be before %s, when version %d comes into force", earlier.InForceFrom, earlier.Version)
		}
	}
	if in.InForceFrom < h.today {
		return policy, fault("in_force_from", "must not be before today: nobody is graded by rules made later")
	}
	return policy, nil
}

// read gives the policy, valid and free of identifiers of patients, and the field of the input it stands in.
func (in ScopePolicyAddition) read() (policy assessment.Policy, place string, err error) {
	switch {
	case (in.Policy != nil) == (in.YAML != ""):
		return policy, "", fault("policy", "give either policy or yaml")
	case in.Policy != nil:
		policy, place, err = *in.Policy, "policy", in.Policy.Validate().Err()
	default:
		place = "yaml"
		policy, err = assessment.DecodePolicy("", []byte(in.YAML))
	}
	if err != nil {
		return policy, place, under(place, err)
	}
	var faults strict.Faults
	screenInto(&faults, place+".title", policy.Title)
	for i, row := range policy.Rows {
		field := fmt.Sprintf("%s.rows[%d]", place, i)
		screenInto(&faults, field+".says", row.Says)
		for j, evidence := range row.Evidence {
			screenInto(&faults, fmt.Sprintf("%s.evidence[%d].text", field, j), evidence.Text)
		}
	}
	return policy, place, faults.Err()
}
