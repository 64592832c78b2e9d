package store

import (
	"time"

	"gorm.io/gorm"

	"isthmus/competency"
)

// Override is something that the privacy screen stopped and that somebody kept, with the reason. It holds no word of the text: that
// stands in its place only. It never changes; who looked at it is added once.
type Override struct {
	ID         string
	Programme  competency.ProgrammeID
	Object     string // what the text belongs to, for example case
	ObjectID   string
	Field      string
	Kind       string // as competency.Finding
	Reason     string
	By         competency.PersonID
	ByName     string // filled when loaded, like SeenByName
	At         time.Time
	SeenBy     competency.PersonID // empty: nobody yet
	SeenByName string
	SeenAt     time.Time
}

type overrideRow struct {
	ID          string
	ProgrammeID competency.ProgrammeID
	Object      string
	ObjectID    string
	Field       string
	Kind        string
	Reason      string
	ByID        competency.PersonID
	At          time.Time
}

// TableName names the table.
func (overrideRow) TableName() string { return "identifier_overrides" }

type overrideReviewRow struct {
	ProgrammeID competency.ProgrammeID `gorm:"primaryKey"`
	OverrideID  string                 `gorm:"primaryKey"`
	ByID        competency.PersonID
	At          time.Time
}

// TableName names the table.
func (overrideReviewRow) TableName() string { return "identifier_reviews" }

// AddOverride adds an override.
func (tx *Tx) AddOverride(o Override) error {
	row := overrideRow{o.ID, o.Programme, o.Object, o.ObjectID, o.Field, o.Kind, o.Reason, o.By, utc(o.At)}
	return tx.insert("add override", o.Programme, &row)
}

// AddOverrideReview notes who looked at an override. The error is ErrDuplicate when somebody did before, ErrReference when the
// programme has no such override.
func (tx *Tx) AddOverrideReview(programme competency.ProgrammeID, id string, by competency.PersonID, at time.Time) error {
	row := overrideReviewRow{programme, id, by, utc(at)}
	return tx.insert("add override review", programme, &row)
}

// OverrideKinds are the kinds that were kept in one field of an object, each once, sorted.
func (tx *Tx) OverrideKinds(programme competency.ProgrammeID, object, id, field string) ([]string, error) {
	var kinds []string
	err := tx.db.Model(&overrideRow{}).Distinct("kind").Where("programme_id = ? AND object = ? AND object_id = ? AND field = ?", programme, object, id, field).
		Order("kind").Pluck("kind", &kinds).Error
	return kinds, translate("override kinds", err)
}

// overrideNamed is an override with its review and the names of both people.
type overrideNamed struct {
	Row        overrideRow `gorm:"embedded"`
	ByName     string
	SeenBy     *competency.PersonID
	SeenByName *string
	SeenAt     *time.Time
}

func (n overrideNamed) override() Override {
	r := n.Row
	o := Override{
		ID: r.ID, Programme: r.ProgrammeID, Object: r.Object, ObjectID: r.ObjectID, Field: r.Field, Kind: r.Kind, Reason: r.Reason,
		By: r.ByID, ByName: n.ByName, At: utc(r.At), SeenAt: timeOrZero(n.SeenAt),
	}
	if n.SeenBy != nil {
		o.SeenBy, o.SeenByName = *n.SeenBy, *n.SeenByName
	}
	return o
}

// overrides is the query of a programme's overrides.
func (tx *Tx) overrides(programme competency.ProgrammeID) *gorm.DB {
	return tx.db.Table("identifier_overrides AS o").
		Select("o.*, p.name AS by_name, r.by_id AS seen_by, s.name AS seen_by_name, r.at AS seen_at").
		Joins("JOIN people p ON p.id = o.by_id").
		Joins("LEFT JOIN identifier_reviews r ON r.programme_id = o.programme_id AND r.override_id = o.id").
		Joins("LEFT JOIN people s ON s.id = r.by_id").
		Where("o.programme_id = ?", programme)
}

// OverrideByID loads one override. The error is ErrNotFound.
func (tx *Tx) OverrideByID(programme competency.ProgrammeID, id string) (Override, error) {
	var row overrideNamed
	err := tx.overrides(programme).Where("o.id = ?", id).Take(&row).Error
	return row.override(), translate("override", err)
}

// Overrides lists a programme's overrides, newest first; waiting leaves in only those nobody has looked at.
func (tx *Tx) Overrides(programme competency.ProgrammeID, waiting bool, page Page) ([]Override, string, error) {
	query := tx.overrides(programme)
	if waiting {
		query = query.Where("r.override_id IS NULL")
	}
	query, err := newestFirst(query, "o.at", "o.id", page)
	if err != nil {
		return nil, "", err
	}
	var rows []overrideNamed
	if err := query.Find(&rows).Error; err != nil {
		return nil, "", translate("overrides", err)
	}
	return pageOf(rows, page, overrideNamed.override, func(n overrideNamed) string { return cursorAt(n.Row.At, n.Row.ID) })
}
