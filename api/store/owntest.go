package store

import (
	"encoding/json"
	"fmt"
	"time"

	"isthmus/assessment"
	"isthmus/assessment/question"
	"isthmus/competency"
)

// OwnTest is a programme's own test of questions with the times of its row.
type OwnTest struct {
	question.TestEdition
	CreatedAt time.Time
	UpdatedAt time.Time
}

type testRow struct {
	ProgrammeID competency.ProgrammeID `gorm:"primaryKey"`
	ID          question.TestID        `gorm:"primaryKey"`
	Life        lifeRow                `gorm:"embedded"`
	RetiredFor  string
}

// TableName names the table.
func (testRow) TableName() string { return "tests" }

func fromTest(programme competency.ProgrammeID, e question.TestEdition, at time.Time) (testRow, error) {
	life, err := fromLife(e.Life, e.Plan, at)
	return testRow{programme, e.ID, life, e.RetiredFor}, err
}

// test is the edition as it was kept.
func (r testRow) test() (OwnTest, error) {
	life, err := r.Life.life()
	if err != nil {
		return OwnTest{}, err
	}
	t := OwnTest{TestEdition: question.TestEdition{ID: r.ID, RetiredFor: r.RetiredFor, Life: life}, CreatedAt: utc(r.Life.CreatedAt), UpdatedAt: utc(r.Life.UpdatedAt)}
	return t, readStored("test", r.Life.Body, &t.Plan)
}

// CreateTest adds a test to a programme. The error is ErrDuplicate when its id is taken.
func (tx *Tx) CreateTest(programme competency.ProgrammeID, e question.TestEdition, at time.Time) error {
	row, err := fromTest(programme, e, at)
	if err != nil {
		return err
	}
	return tx.insert("create test", programme, &row)
}

// TestByID loads a test of a programme. The error is ErrNotFound.
func (tx *Tx) TestByID(programme competency.ProgrammeID, id question.TestID) (OwnTest, error) {
	var row testRow
	if err := tx.take("test", &row, "programme_id = ? AND id = ?", programme, id); err != nil {
		return OwnTest{}, err
	}
	return row.test()
}

// SaveTest replaces an edition whose stored revision is expected; e carries the new one. The error is ErrStale when the revision is
// another by now, ErrNotFound when the programme has no such test.
func (tx *Tx) SaveTest(programme competency.ProgrammeID, e question.TestEdition, expected int, at time.Time) error {
	if err := tx.mayWrite(programme); err != nil {
		return err
	}
	row, err := fromTest(programme, e, at)
	if err != nil {
		return err
	}
	changed := tx.db.Model(&testRow{}).Where("programme_id = ? AND id = ? AND revision = ?", programme, e.ID, expected).
		Select("*").Omit("ProgrammeID", "ID", "CreatedAt").Updates(&row)
	return replaced("save test", changed, func() error {
		_, err := tx.TestByID(programme, e.ID)
		return err
	})
}

// Tests lists a programme's tests, the oldest first.
func (tx *Tx) Tests(programme competency.ProgrammeID) ([]OwnTest, error) {
	var rows []testRow
	if err := tx.db.Where("programme_id = ?", programme).Order("created_at, id").Find(&rows).Error; err != nil {
		return nil, translate("tests", err)
	}
	list := make([]OwnTest, len(rows))
	for i, row := range rows {
		var err error
		if list[i], err = row.test(); err != nil {
			return nil, err
		}
	}
	return list, nil
}

// TestVersion is a version of a test that went live. It never changes.
type TestVersion struct {
	Test        question.TestID
	Version     int
	Plan        question.TestPlan
	PublishedBy competency.PersonID
	PublishedAt time.Time
}

type testVersionRow struct {
	ProgrammeID competency.ProgrammeID `gorm:"primaryKey"`
	Test        question.TestID        `gorm:"primaryKey"`
	Version     int                    `gorm:"primaryKey;autoIncrement:false"`
	Body        string
	PublishedBy competency.PersonID
	PublishedAt time.Time
}

// TableName names the table.
func (testVersionRow) TableName() string { return "test_versions" }

// KeepTestVersion keeps a version that goes live. The error is ErrReference when the programme has no such test.
func (tx *Tx) KeepTestVersion(programme competency.ProgrammeID, v TestVersion) error {
	body, err := json.Marshal(v.Plan)
	if err != nil {
		return fmt.Errorf("test %s: %w", v.Test, err)
	}
	row := testVersionRow{programme, v.Test, v.Version, string(body), v.PublishedBy, utc(v.PublishedAt)}
	return tx.insert("keep test version", programme, &row)
}

// TestVersions lists the versions kept of a test, newest first.
func (tx *Tx) TestVersions(programme competency.ProgrammeID, id question.TestID) ([]TestVersion, error) {
	var rows []testVersionRow
	if err := tx.db.Where("programme_id = ? AND test = ?", programme, id).Order("version DESC").Find(&rows).Error; err != nil {
		return nil, translate("test versions", err)
	}
	list := make([]TestVersion, len(rows))
	for i, r := range rows {
		list[i] = TestVersion{Test: r.Test, Version: r.Version, PublishedBy: r.PublishedBy, PublishedAt: utc(r.PublishedAt)}
		if err := readStored("test version", r.Body, &list[i].Plan); err != nil {
			return nil, err
		}
	}
	return list, nil
}

// AttemptsAtTest lists the closed attempts at a programme's own test without their items, the earliest first.
func (tx *Tx) AttemptsAtTest(programme competency.ProgrammeID, id question.TestID) ([]Quiz, error) {
	var rows []namedQuiz
	err := tx.quizzes(programme, withoutPaper).Where("q.test_id = ? AND q.status <> ?", id, assessment.SittingOpen).
		Order("q.started_at, q.id").Find(&rows).Error
	if err != nil {
		return nil, translate("attempts at a test", err)
	}
	list := make([]Quiz, len(rows))
	for i, row := range rows {
		if list[i], err = row.quiz(); err != nil {
			return nil, err
		}
	}
	return list, nil
}
