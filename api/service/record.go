package service

import (
	"context"
	"fmt"
	"slices"

	"isthmus/assessment"
	"isthmus/assessment/atrium"
	"isthmus/competency"
	"isthmus/policies"
)

// Preview is what the program makes of a record before it is sent: nothing of it is saved.
type Preview struct {
	Computed    competency.Computed  `json:"computed"`
	Steps       []string             `json:"steps"`                  // the ids of the steps the record must account for
	Identifiers []competency.Finding `json:"identifiers"`            // what looks like a patient's identity in the free text
	Alike       []AlikeCase          `json:"alike"`                  // own cases with the same date, site and operation: the same one, entered twice?
	RoleRule    competency.RoleRule  `json:"role_rule"`              // by which the role was computed
	RoleAccount *RoleAccount         `json:"role_account,omitempty"` // which steps count; absent while a step has nobody
	Caution     string               `json:"caution"`
}

// PreviewCase computes a record, which may be unfinished. The error is strict.Faults about its lesions. known is the case
// it belongs to, empty for a new one.
func (s *Service) PreviewCase(ctx context.Context, actor Actor, programme competency.ProgrammeID, record competency.Record, known competency.CaseID) (Preview, error) {
	var rule competency.RoleRule
	var policy assessment.Policy
	var alike []AlikeCase
	err := s.read(ctx, actor, programme, func(h *scene) (err error) {
		if err := h.may(policies.Case, policies.Preview, policies.Own); err != nil {
			return err
		}
		if err := h.noOpenTest(); err != nil { // a record's scope would tell what the lesions of the test do
			return err
		}
		rule = h.programme.Settings.RoleRule
		if alike, err = h.alike(record, known); err != nil {
			return err
		}
		policy, err = h.policy()
		return err
	})
	if err != nil {
		return Preview{}, err
	}
	computed, err := s.compute(record, rule, policy)
	if err != nil {
		return Preview{}, err
	}
	steps := competency.StepsOf(record.Lesions, record.Appendage)
	if missing := len(steps) - len(record.Steps); missing > 0 || len(steps) == 0 { // what is not said yet must not make a role
		computed.Role, computed.RoleReason = "", fmt.Sprintf("your role follows when every step has someone: %d of %d do", len(record.Steps), len(steps))
	}
	preview := Preview{
		Computed: computed, Steps: steps,
		Identifiers: append([]competency.Finding{}, record.Identifiers()...), Alike: alike, RoleRule: rule, Caution: atrium.Caution,
	}
	if computed.Role != "" {
		preview.RoleAccount = roleAccount("trainee", record.Steps, rule)
	}
	return preview, nil
}

// compute derives from a record what is never typed: by the conduction model, the programme's role rule and the scope policy.
func (s *Service) compute(record competency.Record, rule competency.RoleRule, policy assessment.Policy) (competency.Computed, error) {
	set := competency.LesionSetOf(record)
	result, err := s.deps.Model.Conduct(set)
	if err != nil {
		return competency.Computed{}, under("record", err)
	}
	computed := competency.Compute(record, rule, result)
	computed.Policy = assessment.ScopeAgainstPolicy(policy, computed.Pattern, operationOf(record), set.LeftAtriumDiameterMM, computed.Scope)
	computed.PolicyID, computed.PolicyVersion = policy.ID, policy.Version
	return computed, nil
}

// checkRecord checks what the record alone cannot show: that the supervisor was faculty of this programme on the date; of a draft only
// what is there.
func (h *scene) checkRecord(record competency.Record, complete bool) error {
	if record.Supervisor == "" && !complete {
		return nil
	}
	if record.Supervisor == h.actor.Person {
		return fault("record.supervisor", "nobody supervises themselves: name the faculty member who did")
	}
	terms, err := h.tx.Terms(h.programme.ID, record.Supervisor, string(policies.Faculty))
	if err != nil {
		return err
	}
	if len(terms) == 0 {
		return fault("record.supervisor", "is not a faculty member of the programme")
	}
	period, err := competency.ParsePeriod(record.OperatedOn)
	if err != nil { // a draft without a date
		return nil
	}
	if !slices.ContainsFunc(terms, func(term competency.Term) bool {
		return term.From <= period.Last && (term.Until == "" || term.Until >= period.First)
	}) {
		return fault("record.supervisor", "was not a faculty member of the programme on %s", record.OperatedOn)
	}
	return nil
}
