package store

import (
	"encoding/json"
	"fmt"
	"time"

	"isthmus/competency"
)

// Programme is a training programme.
type Programme struct {
	ID        competency.ProgrammeID `json:"id"`
	Name      string                 `json:"name"`
	Settings  competency.Settings    `json:"settings"`
	CreatedAt time.Time              `json:"created_at"`
	// SettingsVersion counts how often the settings were changed.
	SettingsVersion int `json:"settings_version,omitempty"`
}

type programmeRow struct {
	ID        competency.ProgrammeID
	Name      string
	Settings  string
	CreatedAt time.Time `gorm:"autoCreateTime:false"`
}

// TableName names the table.
func (programmeRow) TableName() string { return "programmes" }

func (r programmeRow) programme() (Programme, error) {
	p := Programme{ID: r.ID, Name: r.Name, CreatedAt: utc(r.CreatedAt)}
	if err := json.Unmarshal([]byte(r.Settings), &p.Settings); err != nil {
		return Programme{}, fmt.Errorf("settings of programme %s: %w", r.ID, err)
	}
	p.Settings = p.Settings.Filled()
	return p, nil
}

// CreateProgramme adds a programme. The error is ErrDuplicate when its id is taken.
func (tx *Tx) CreateProgramme(p Programme) error {
	settings, err := json.Marshal(p.Settings)
	if err != nil {
		return fmt.Errorf("create programme %s: %w", p.ID, err)
	}
	row := programmeRow{ID: p.ID, Name: p.Name, Settings: string(settings), CreatedAt: utc(p.CreatedAt)}
	return tx.insert("create programme", "", &row)
}

// ProgrammeByID loads a programme. The error is ErrNotFound.
func (tx *Tx) ProgrammeByID(id competency.ProgrammeID) (Programme, error) {
	began, err := tx.ProgrammeAsBegun(id)
	if err != nil {
		return Programme{}, err
	}
	return tx.settle(began)
}

// Programmes lists every programme by name.
func (tx *Tx) Programmes() ([]Programme, error) {
	var rows []programmeRow
	if err := tx.db.Order("name, id").Find(&rows).Error; err != nil {
		return nil, translate("programmes", err)
	}
	list := make([]Programme, len(rows))
	for i, row := range rows {
		began, err := row.programme()
		if err != nil {
			return nil, err
		}
		if list[i], err = tx.settle(began); err != nil {
			return nil, err
		}
	}
	return list, nil
}
