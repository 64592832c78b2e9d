package store

import (
	"encoding/json"
	"fmt"
	"time"

	"gorm.io/gorm"

	"isthmus/assessment"
)

// lifeRow is the columns that everything a library keeps has: where it stands, by whom, and its text.
type lifeRow struct {
	Version       int
	Status        assessment.Status
	LiveVersion   int
	LatestVersion int
	Authors       string
	Body          string
	CreatedAt     time.Time `gorm:"autoCreateTime:false"`
	UpdatedAt     time.Time `gorm:"autoUpdateTime:false"`
	Revision      int
}

// fromLife is the row of a life with its text.
func fromLife(l assessment.Life, body any, at time.Time) (lifeRow, error) {
	row := lifeRow{
		Version: l.Version, Status: l.Status, LiveVersion: l.LiveVersion, LatestVersion: l.LatestVersion, CreatedAt: utc(at), UpdatedAt: utc(at), Revision: l.Revision,
	}
	for _, part := range []struct {
		into  *string
		value any
	}{{&row.Authors, l.Authors}, {&row.Body, body}} {
		data, err := json.Marshal(part.value)
		if err != nil {
			return row, fmt.Errorf("what a library keeps: %w", err)
		}
		*part.into = string(data)
	}
	return row, nil
}

// life is the row without its text and its reviewer, whom not every table has.
func (r lifeRow) life() (assessment.Life, error) {
	l := assessment.Life{Version: r.Version, Status: r.Status, Revision: r.Revision, LiveVersion: r.LiveVersion, LatestVersion: r.LatestVersion}
	return l, readStored("authors", r.Authors, &l.Authors)
}

// readStored reads a stored JSON text.
func readStored(what, body string, into any) error {
	if err := json.Unmarshal([]byte(body), into); err != nil {
		return fmt.Errorf("stored %s: %w", what, err)
	}
	return nil
}

// replaced judges a change that had to meet the revision it expected. Where it met none, look says whether the row is there at all: the error
// is look's own, else ErrStale.
func replaced(what string, changed *gorm.DB, look func() error) error {
	if changed.Error != nil || changed.RowsAffected == 1 {
		return translate(what, changed.Error)
	}
	if err := look(); err != nil {
		return err
	}
	return fmt.Errorf("%s: %w", what, ErrStale)
}
