package store

import (
	"encoding/json"
	"time"

	"isthmus/competency"
)

// ScopePolicy is one version of a programme's own scope policy. It never changes.
type ScopePolicy struct {
	Programme   competency.ProgrammeID
	Version     int
	InForceFrom competency.Day
	Policy      json.RawMessage // keeps its text as it was saved
	YAML        string          // the file that was handed in; empty when it was none
	CreatedBy   competency.PersonID
	CreatedAt   time.Time
}

type scopePolicyRow struct {
	ProgrammeID competency.ProgrammeID `gorm:"primaryKey"`
	Version     int                    `gorm:"primaryKey;autoIncrement:false"`
	InForceFrom competency.Day
	Policy      string
	YAML        string `gorm:"column:yaml"`
	CreatedBy   competency.PersonID
	CreatedAt   time.Time `gorm:"autoCreateTime:false"`
}

// TableName names the table.
func (scopePolicyRow) TableName() string { return "scope_policies" }

func (r scopePolicyRow) policy() ScopePolicy {
	return ScopePolicy{r.ProgrammeID, r.Version, r.InForceFrom, json.RawMessage(r.Policy), r.YAML, r.CreatedBy, utc(r.CreatedAt)}
}

// AddScopePolicy adds a version. The error is ErrDuplicate when the programme has that version already.
func (tx *Tx) AddScopePolicy(p ScopePolicy) error {
	row := scopePolicyRow{p.Programme, p.Version, p.InForceFrom, string(p.Policy), p.YAML, p.CreatedBy, utc(p.CreatedAt)}
	return tx.insert("add scope policy", p.Programme, &row)
}

// ScopePolicies lists a programme's own versions, newest first.
func (tx *Tx) ScopePolicies(programme competency.ProgrammeID) ([]ScopePolicy, error) {
	var rows []scopePolicyRow
	if err := tx.db.Where("programme_id = ?", programme).Order("version DESC").Find(&rows).Error; err != nil {
		return nil, translate("scope policies", err)
	}
	list := make([]ScopePolicy, len(rows))
	for i, row := range rows {
		list[i] = row.policy()
	}
	return list, nil
}

// ScopePolicyByVersion loads one version. The error is ErrNotFound.
func (tx *Tx) ScopePolicyByVersion(programme competency.ProgrammeID, version int) (ScopePolicy, error) {
	var row scopePolicyRow
	err := tx.take("scope policy", &row, "programme_id = ? AND version = ?", programme, version)
	return row.policy(), err
}

// ScopePolicyInForce loads the version that holds on a day: of those that had come into force by then the latest to do so, and of
// several from the same day the highest. The error is ErrNotFound when there is none.
func (tx *Tx) ScopePolicyInForce(programme competency.ProgrammeID, day competency.Day) (ScopePolicy, error) {
	var row scopePolicyRow
	err := tx.db.Where("programme_id = ? AND in_force_from <= ?", programme, day).Order("in_force_from DESC, version DESC").Limit(1).Take(&row).Error
	return row.policy(), translate("scope policy", err)
}
