package store

import (
	"encoding/json"
	"fmt"
	"time"

	"isthmus/competency"
)

// SettingsVersion is what a programme set at one time. It never changes; the highest version holds.
type SettingsVersion struct {
	Programme competency.ProgrammeID `json:"-"`
	Version   int                    `json:"version"`
	Settings  competency.Settings    `json:"settings"`
	Reason    string                 `json:"reason"`
	CreatedBy competency.PersonID    `json:"created_by"`
	CreatedAt time.Time              `json:"created_at"`
}

type settingsVersionRow struct {
	ProgrammeID competency.ProgrammeID `gorm:"primaryKey"`
	Version     int                    `gorm:"primaryKey;autoIncrement:false"`
	Settings    string
	Reason      string
	CreatedBy   competency.PersonID
	CreatedAt   time.Time `gorm:"autoCreateTime:false"`
}

// TableName names the table.
func (settingsVersionRow) TableName() string { return "settings_versions" }

// AddSettingsVersion adds what holds from now on. The error is ErrDuplicate when somebody else was faster.
func (tx *Tx) AddSettingsVersion(v SettingsVersion) error {
	settings, err := json.Marshal(v.Settings)
	if err != nil {
		return fmt.Errorf("settings of programme %s: %w", v.Programme, err)
	}
	row := settingsVersionRow{v.Programme, v.Version, string(settings), v.Reason, v.CreatedBy, utc(v.CreatedAt)}
	return tx.insert("add settings", v.Programme, &row)
}

// SettingsVersions lists what a programme set after it began, newest first.
func (tx *Tx) SettingsVersions(programme competency.ProgrammeID) ([]SettingsVersion, error) {
	var rows []settingsVersionRow
	if err := tx.db.Where("programme_id = ?", programme).Order("version DESC").Find(&rows).Error; err != nil {
		return nil, translate("settings", err)
	}
	list := make([]SettingsVersion, len(rows))
	for i, row := range rows {
		list[i] = SettingsVersion{programme, row.Version, competency.Settings{}, row.Reason, row.CreatedBy, utc(row.CreatedAt)}
		if err := json.Unmarshal([]byte(row.Settings), &list[i].Settings); err != nil {
			return nil, fmt.Errorf("settings of programme %s: %w", programme, err)
		}
		list[i].Settings = list[i].Settings.Filled()
	}
	return list, nil
}

// ProgrammeAsBegun loads a programme with the settings it began with. The error is ErrNotFound.
func (tx *Tx) ProgrammeAsBegun(id competency.ProgrammeID) (Programme, error) {
	var row programmeRow
	if err := tx.take("programme", &row, "id = ?", id); err != nil {
		return Programme{}, err
	}
	return row.programme()
}

// settle gives a programme, as it began, the settings that hold now.
func (tx *Tx) settle(p Programme) (Programme, error) {
	var rows []settingsVersionRow
	if err := tx.db.Where("programme_id = ?", p.ID).Order("version DESC").Limit(1).Find(&rows).Error; err != nil {
		return p, translate("settings", err)
	}
	if len(rows) == 0 {
		return p, nil
	}
	p.Settings = competency.Settings{}
	if err := json.Unmarshal([]byte(rows[0].Settings), &p.Settings); err != nil {
		return p, fmt.Errorf("settings of programme %s: %w", p.ID, err)
	}
	p.Settings, p.SettingsVersion = p.Settings.Filled(), rows[0].Version
	return p, nil
}
