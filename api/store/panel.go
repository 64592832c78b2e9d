package store

import (
	"encoding/json"
	"fmt"
	"time"

	"isthmus/assessment/question"
	"isthmus/competency"
	"isthmus/competency/panel"
)

// Panel is a panel of judges with the questions as they are rated.
type Panel struct {
	panel.Panel
	Paper     []question.Item
	CreatedBy competency.PersonID
	CreatedAt time.Time
}

type panelRow struct {
	ProgrammeID competency.ProgrammeID `gorm:"primaryKey"`
	ID          panel.ID               `gorm:"primaryKey"`
	Test        string
	Version     int
	Status      panel.Status
	Body        string
	Paper       string
	CreatedBy   competency.PersonID
	CreatedAt   time.Time `gorm:"autoCreateTime:false"`
	Revision    int
}

// TableName names the table.
func (panelRow) TableName() string { return "panels" }

func fromPanel(programme competency.ProgrammeID, p Panel) (panelRow, error) {
	row := panelRow{
		ProgrammeID: programme, ID: p.ID, Test: p.Test, Version: p.Version, Status: p.Status, CreatedBy: p.CreatedBy, CreatedAt: utc(p.CreatedAt), Revision: p.Revision,
	}
	body, err := json.Marshal(p.Panel)
	if err != nil {
		return row, fmt.Errorf("panel %s: %w", p.ID, err)
	}
	paper, err := json.Marshal(p.Paper)
	row.Body, row.Paper = string(body), string(paper)
	return row, err
}

func (r panelRow) panel() (Panel, error) {
	p := Panel{CreatedBy: r.CreatedBy, CreatedAt: utc(r.CreatedAt)}
	if err := readStored("panel", r.Body, &p.Panel); err != nil {
		return p, err
	}
	return p, readStored("paper of a panel", r.Paper, &p.Paper)
}

// CreatePanel adds a panel. The error is ErrReference when the programme has no such version of the test.
func (tx *Tx) CreatePanel(programme competency.ProgrammeID, p Panel) error {
	row, err := fromPanel(programme, p)
	if err != nil {
		return err
	}
	return tx.insert("create panel", programme, &row)
}

// PanelByID loads a panel of a programme. The error is ErrNotFound.
func (tx *Tx) PanelByID(programme competency.ProgrammeID, id panel.ID) (Panel, error) {
	var row panelRow
	if err := tx.take("panel", &row, "programme_id = ? AND id = ?", programme, id); err != nil {
		return Panel{}, err
	}
	return row.panel()
}

// SavePanel replaces an open panel whose stored revision is expected; p carries the new one. The error is ErrStale or ErrNotFound.
func (tx *Tx) SavePanel(programme competency.ProgrammeID, p Panel, expected int) error {
	if err := tx.mayWrite(programme); err != nil {
		return err
	}
	row, err := fromPanel(programme, p)
	if err != nil {
		return err
	}
	changed := tx.db.Model(&panelRow{}).Where("programme_id = ? AND id = ? AND revision = ?", programme, p.ID, expected).
		Select("Status", "Body", "Revision").Updates(&row)
	return replaced("save panel", changed, func() error {
		_, err := tx.PanelByID(programme, p.ID)
		return err
	})
}

// Panels lists the panels of a test, or the open ones of all tests when test is empty, newest first.
func (tx *Tx) Panels(programme competency.ProgrammeID, test question.TestID) ([]Panel, error) {
	query := tx.db.Where("programme_id = ?", programme)
	if test != "" {
		query = query.Where("test = ?", test)
	} else {
		query = query.Where("status = ?", panel.Open)
	}
	var rows []panelRow
	if err := query.Order("created_at DESC, id DESC").Find(&rows).Error; err != nil {
		return nil, translate("panels", err)
	}
	list := make([]Panel, len(rows))
	for i, row := range rows {
		var err error
		if list[i], err = row.panel(); err != nil {
			return nil, err
		}
	}
	return list, nil
}

type panelSheetRow struct {
	ProgrammeID competency.ProgrammeID `gorm:"primaryKey"`
	Panel       panel.ID               `gorm:"primaryKey"`
	Round       int                    `gorm:"primaryKey;autoIncrement:false"`
	Judge       competency.PersonID    `gorm:"primaryKey"`
	Status      panel.Status
	Body        string
	SavedAt     time.Time
}

// TableName names the table.
func (panelSheetRow) TableName() string { return "panel_sheets" }

// SavePanelSheet keeps what a judge says now in a round that is open; the database refuses a change after it was closed.
func (tx *Tx) SavePanelSheet(programme competency.ProgrammeID, id panel.ID, s panel.Sheet, at time.Time) error {
	if err := tx.mayWrite(programme); err != nil {
		return err
	}
	body, err := json.Marshal(s)
	if err != nil {
		return fmt.Errorf("sheet of panel %s: %w", id, err)
	}
	row := panelSheetRow{programme, id, s.Round, s.Judge, panel.Open, string(body), utc(at)}
	changed := tx.db.Model(&panelSheetRow{}).Where("programme_id = ? AND panel = ? AND round = ? AND judge = ?", programme, id, s.Round, s.Judge).
		Select("Body", "SavedAt").Updates(&row)
	if changed.Error != nil || changed.RowsAffected == 1 {
		return translate("save panel sheet", changed.Error)
	}
	return translate("save panel sheet", tx.db.Create(&row).Error)
}

// ClosePanelSheets ends the sheets of a round: none of them changes afterwards.
func (tx *Tx) ClosePanelSheets(programme competency.ProgrammeID, id panel.ID, round int) error {
	if err := tx.mayWrite(programme); err != nil {
		return err
	}
	return translate("close panel sheets", tx.db.Model(&panelSheetRow{}).
		Where("programme_id = ? AND panel = ? AND round = ? AND status = ?", programme, id, round, panel.Open).Update("status", panel.Closed).Error)
}

// PanelSheets lists what the judges of a panel have said, by round and judge.
func (tx *Tx) PanelSheets(programme competency.ProgrammeID, id panel.ID) ([]panel.Sheet, error) {
	var rows []panelSheetRow
	if err := tx.db.Where("programme_id = ? AND panel = ?", programme, id).Order("round, judge").Find(&rows).Error; err != nil {
		return nil, translate("panel sheets", err)
	}
	list := make([]panel.Sheet, len(rows))
	for i, r := range rows {
		if err := readStored("panel sheet", r.Body, &list[i]); err != nil {
			return nil, err
		}
	}
	return list, nil
}

// TestCut is a passing mark adopted for a version of a test. It never changes; a later one takes its place.
type TestCut struct {
	Test      question.TestID
	Version   int
	Panel     panel.ID
	Cut       question.Cut
	Reason    string
	AdoptedBy competency.PersonID
	AdoptedAt time.Time
}

type testCutRow struct {
	ProgrammeID competency.ProgrammeID `gorm:"primaryKey"`
	Test        question.TestID        `gorm:"primaryKey"`
	Version     int                    `gorm:"primaryKey;autoIncrement:false"`
	Seq         int                    `gorm:"primaryKey;autoIncrement:false"`
	Panel       panel.ID
	Body        string
	Reason      string
	AdoptedBy   competency.PersonID
	AdoptedAt   time.Time
}

// TableName names the table.
func (testCutRow) TableName() string { return "test_cuts" }

// AddTestCut adopts a passing mark. The error is ErrReference when the programme has no such panel.
func (tx *Tx) AddTestCut(programme competency.ProgrammeID, c TestCut) error {
	var last int
	err := tx.db.Model(&testCutRow{}).Select("COALESCE(MAX(seq), 0)").Where("programme_id = ? AND test = ? AND version = ?", programme, c.Test, c.Version).Scan(&last).Error
	if err != nil {
		return translate("add test cut", err)
	}
	body, err := json.Marshal(c.Cut)
	if err != nil {
		return fmt.Errorf("cut of test %s: %w", c.Test, err)
	}
	row := testCutRow{programme, c.Test, c.Version, last + 1, c.Panel, string(body), c.Reason, c.AdoptedBy, utc(c.AdoptedAt)}
	return tx.insert("add test cut", programme, &row)
}

// TestCuts lists the marks adopted for a test's versions, the latest of the latest version first.
func (tx *Tx) TestCuts(programme competency.ProgrammeID, test question.TestID) ([]TestCut, error) {
	var rows []testCutRow
	if err := tx.db.Where("programme_id = ? AND test = ?", programme, test).Order("version DESC, seq DESC").Find(&rows).Error; err != nil {
		return nil, translate("test cuts", err)
	}
	list := make([]TestCut, len(rows))
	for i, r := range rows {
		list[i] = TestCut{Test: r.Test, Version: r.Version, Panel: r.Panel, Reason: r.Reason, AdoptedBy: r.AdoptedBy, AdoptedAt: utc(r.AdoptedAt)}
		if err := readStored("test cut", r.Body, &list[i].Cut); err != nil {
			return nil, err
		}
	}
	return list, nil
}
