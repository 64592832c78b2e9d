package store

import (
	"context"
	"encoding/json"
	"fmt"
	"time"

	"gorm.io/gorm"
	"gorm.io/gorm/clause"

	"isthmus/competency"
)

// ImportID identifies an import, uuid v7 in text form.
type ImportID string

// ImportState is how far an import has come.
type ImportState string

// The states of an import: waiting -> done or failed; waiting or done -> undone.
const (
	ImportWaiting ImportState = "waiting"
	ImportDone    ImportState = "done"
	ImportFailed  ImportState = "failed"
	ImportUndone  ImportState = "undone"
)

// Import is a file of cases on its way into a programme, or what became of it.
type Import struct {
	ID        ImportID
	Programme competency.ProgrammeID
	By        competency.PersonID
	RequestID string
	Own       bool   // every case is the importing person's
	Submit    bool   // the cases come in as submitted, not as drafts
	FileHash  string // SHA-256 in hexadecimal
	Mapping   map[string]string
	State     ImportState
	Total     int // rows
	Ready     int // rows that are computed
	Message   string
	CreatedAt time.Time
	ClosedAt  time.Time // zero while waiting
	Revision  int       // progress does not raise it
	Tries     int
}

type importRow struct {
	ID          ImportID
	ProgrammeID competency.ProgrammeID
	ByID        competency.PersonID
	RequestID   string
	Own         bool
	Submit      bool
	FileHash    string
	Mapping     string
	State       ImportState
	Total       int
	Ready       int
	Entries     *string
	Message     string
	Lease       string
	LeaseUntil  *time.Time
	Tries       int
	CreatedAt   time.Time `gorm:"autoCreateTime:false"`
	ClosedAt    *time.Time
	Revision    int
}

// TableName names the table.
func (importRow) TableName() string { return "imports" }

func (r importRow) toImport() (Import, error) {
	i := Import{
		ID: r.ID, Programme: r.ProgrammeID, By: r.ByID, RequestID: r.RequestID, Own: r.Own, Submit: r.Submit, FileHash: r.FileHash, State: r.State,
		Total: r.Total, Ready: r.Ready, Message: r.Message, CreatedAt: utc(r.CreatedAt), ClosedAt: timeOrZero(r.ClosedAt), Revision: r.Revision, Tries: r.Tries,
	}
	if err := json.Unmarshal([]byte(r.Mapping), &i.Mapping); err != nil {
		return i, fmt.Errorf("mapping of import %s: %w", r.ID, err)
	}
	return i, nil
}

// CreateImport adds an import that waits to be worked off; entries are its cases as JSON. The error is ErrDuplicate when the person has
// imported the same file and not undone that.
func (tx *Tx) CreateImport(i Import, entries []byte) error {
	mapping, err := json.Marshal(i.Mapping)
	if err != nil {
		return fmt.Errorf("create import: %w", err)
	}
	text := string(entries)
	row := importRow{
		ID: i.ID, ProgrammeID: i.Programme, ByID: i.By, RequestID: i.RequestID, Own: i.Own, Submit: i.Submit, FileHash: i.FileHash,
		Mapping: string(mapping), State: ImportWaiting, Total: i.Total, Entries: &text, CreatedAt: utc(i.CreatedAt), Revision: 1,
	}
	return tx.insert("create import", i.Programme, &row)
}

// withoutEntries are the columns a list needs.
func withoutEntries(db *gorm.DB) *gorm.DB { return db.Omit("entries") }

// ImportByID loads an import of a programme. The error is ErrNotFound.
func (tx *Tx) ImportByID(programme competency.ProgrammeID, id ImportID) (Import, error) {
	var row importRow
	err := withoutEntries(tx.db).Where("programme_id = ? AND id = ?", programme, id).Take(&row).Error
	if err != nil {
		return Import{}, translate("import", err)
	}
	return row.toImport()
}

// Imports lists a programme's imports, newest first: those of one person, or with shared also those that were not of somebody's own cases.
func (tx *Tx) Imports(programme competency.ProgrammeID, by competency.PersonID, shared bool, page Page) ([]Import, string, error) {
	query := withoutEntries(tx.db).Where("programme_id = ?", programme)
	if shared {
		query = query.Where("(by_id = ? OR own = ?)", by, false)
	} else {
		query = query.Where("by_id = ?", by)
	}
	query, err := newestFirst(query, "created_at", "id", page)
	if err != nil {
		return nil, "", err
	}
	var rows []importRow
	if err := query.Find(&rows).Error; err != nil {
		return nil, "", translate("imports", err)
	}
	return tryPageOf(rows, page, importRow.toImport, func(r importRow) string { return cursorAt(r.CreatedAt, string(r.ID)) })
}

// CloseImport ends the waiting of an import, or undoes one that is done: it takes state, message, ready and the time, and forgets the
// entries. The error is ErrStale when its revision is another than expected by now.
func (tx *Tx) CloseImport(i Import, expected int) error {
	return tx.endJob("imports", i.Programme, string(i.ID), expected, map[string]any{
		"state": i.State, "message": i.Message, "ready": i.Ready, "closed_at": utc(i.ClosedAt), "entries": nil,
	})
}

// HoldsLease reports whether an import still waits under a lease.
func (tx *Tx) HoldsLease(programme competency.ProgrammeID, id ImportID, lease string) (bool, error) {
	return tx.holdsLease("imports", programme, string(id), lease)
}

// LeaseImport takes the oldest waiting import that nobody works on until a time, with its entries; false when there is none.
func (s *Store) LeaseImport(ctx context.Context, lease string, now, until time.Time) (Import, []byte, bool, error) {
	id, err := s.takeLease(ctx, "imports", lease, now, until)
	if err != nil || id == "" {
		return Import{}, nil, false, err
	}
	var row importRow
	err = s.db.WithContext(ctx).Where("id = ? AND lease = ? AND entries IS NOT NULL", id, lease).Limit(1).Find(&row).Error
	if err != nil || row.Entries == nil {
		return Import{}, nil, false, translate("leased import", err)
	}
	i, err := row.toImport()
	return i, []byte(*row.Entries), err == nil, err
}

// KeepLease says how many rows are ready and holds the lease until a time; false when it is lost.
func (s *Store) KeepLease(ctx context.Context, id ImportID, lease string, ready int, until time.Time) (bool, error) {
	return s.keepLease(ctx, "imports", string(id), lease, ready, until)
}

type importMappingRow struct {
	ProgrammeID competency.ProgrammeID `gorm:"primaryKey"`
	HeaderHash  string                 `gorm:"primaryKey"`
	Mapping     string
	SavedBy     competency.PersonID
	SavedAt     time.Time
}

// TableName names the table.
func (importMappingRow) TableName() string { return "import_mappings" }

// SaveImportMapping keeps how a programme reads files with certain column names, in place of what it kept before.
func (tx *Tx) SaveImportMapping(programme competency.ProgrammeID, headerHash string, mapping map[string]string, by competency.PersonID) error {
	if err := tx.mayWrite(programme); err != nil {
		return err
	}
	text, err := json.Marshal(mapping)
	if err != nil {
		return fmt.Errorf("import mapping: %w", err)
	}
	replace := clause.OnConflict{
		Columns:   []clause.Column{{Name: "programme_id"}, {Name: "header_hash"}},
		DoUpdates: clause.AssignmentColumns([]string{"mapping", "saved_by", "saved_at"}),
	}
	row := importMappingRow{programme, headerHash, string(text), by, tx.act.At}
	return translate("import mapping", tx.db.Clauses(replace).Create(&row).Error)
}

// ImportMapping gives the mapping kept for certain column names; nil when there is none.
func (tx *Tx) ImportMapping(programme competency.ProgrammeID, headerHash string) (map[string]string, error) {
	var rows []importMappingRow
	err := tx.db.Where("programme_id = ? AND header_hash = ?", programme, headerHash).Limit(1).Find(&rows).Error
	if err != nil || len(rows) == 0 {
		return nil, translate("import mapping", err)
	}
	var mapping map[string]string
	if err := json.Unmarshal([]byte(rows[0].Mapping), &mapping); err != nil {
		return nil, fmt.Errorf("import mapping: %w", err)
	}
	return mapping, nil
}
