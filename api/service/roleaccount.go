package service

import (
	"isthmus/competency"
)

// RoleAccount explains a role: whose account of the steps it rests on, which of them counted, and the rule as it was then.
type RoleAccount struct {
	Of     string                 `json:"of"` // trainee, supervisor
	Role   competency.Role        `json:"role"`
	Reason string                 `json:"reason"`
	Rule   competency.RoleRule    `json:"rule"`
	Says   string                 `json:"says"` // the rule in plain words
	Steps  []competency.StepCount `json:"steps"`
}

func roleAccount(of string, steps []competency.Step, rule competency.RoleRule) *RoleAccount {
	role, reason := competency.RoleOf(steps, rule)
	return &RoleAccount{Of: of, Role: role, Reason: reason, Rule: rule, Says: rule.Says(), Steps: competency.CountSteps(steps, rule)}
}

// roleAccounts explains the role computed from the record and the one signed last. What was edited since it was computed is not
// explained, and neither is a role by a rule that is not on record.
func (h *scene) roleAccounts(c competency.Case, signOffs []competency.SignOff) ([]RoleAccount, error) {
	var accounts []RoleAccount
	explain := func(of, reason string, steps []competency.Step) error {
		rule, found, err := h.roleRule(competency.RuleOfReason(reason))
		if err != nil || !found {
			return err
		}
		if account := roleAccount(of, steps, rule); account.Reason == reason {
			accounts = append(accounts, *account)
		}
		return nil
	}
	if c.Computed != nil {
		if err := explain("trainee", c.Computed.RoleReason, c.Record.Steps); err != nil {
			return nil, err
		}
	}
	if n := len(signOffs); n > 0 {
		if err := explain("supervisor", signOffs[n-1].RoleReason, signOffs[n-1].Statement.Steps); err != nil {
			return nil, err
		}
	}
	return accounts, nil
}

// roleRule is the programme's role rule of a version, if it is on record.
func (h *scene) roleRule(version int) (competency.RoleRule, bool, error) {
	if now := h.programme.Settings.RoleRule; now.Version == version {
		return now, true, nil
	}
	rows, err := h.tx.SettingsVersions(h.programme.ID)
	if err != nil {
		return competency.RoleRule{}, false, err
	}
	for _, row := range rows {
		if row.Settings.RoleRule.Version == version {
			return row.Settings.RoleRule, true, nil
		}
	}
	began, err := h.tx.ProgrammeAsBegun(h.programme.ID)
	return began.Settings.RoleRule, err == nil && began.Settings.RoleRule.Version == version, err
}
