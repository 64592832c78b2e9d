package store

import (
	"context"
	"fmt"
	"time"

	"isthmus/competency"
)

// ReportID identifies a report, uuid v7 in text form.
type ReportID string

// ReportState is how far a report has come.
type ReportState string

// The states of a report: waiting -> done or failed.
const (
	ReportWaiting ReportState = waiting
	ReportDone    ReportState = "done"
	ReportFailed  ReportState = "failed"
)

// ReportKind is what a report is.
type ReportKind string

// The kinds of report.
const (
	Portfolio     ReportKind = "portfolio" // one trainee, as PDF
	MeetingPack   ReportKind = "pack"      // the cohort, as PDF
	Workbook      ReportKind = "workbook"  // the programme's tables, as XLSX
	TablesAsTexts ReportKind = "tables"    // the same, as CSV in a ZIP
)

// Report is a file to take away, or on its way to be one.
type Report struct {
	ID        ReportID
	Programme competency.ProgrammeID
	By        competency.PersonID
	RequestID string
	Kind      ReportKind
	Trainee   competency.PersonID // of a portfolio
	On        competency.Day
	Outside   bool // leaves the programme: small cells are hidden
	State     ReportState
	Total     int // people to write about
	Ready     int
	Standard  string // that it judges by, with its version
	Code      string // once it is done
	Content   string // hash of all it says
	FileHash  string // SHA-256 in hexadecimal
	FileName  string
	Message   string
	CreatedAt time.Time
	ClosedAt  time.Time // zero while waiting
	Revision  int       // progress does not raise it
	Tries     int
	HasFile   bool // false again when its days are over
}

type reportRow struct {
	ID          ReportID
	ProgrammeID competency.ProgrammeID
	ByID        competency.PersonID
	RequestID   string
	Kind        ReportKind
	TraineeID   *competency.PersonID
	AsOf        competency.Day
	Outside     bool
	State       ReportState
	Total       int
	Ready       int
	Standard    string
	Code        string
	ContentHash string
	FileHash    string
	FileName    string
	File        []byte
	Message     string
	Lease       string
	LeaseUntil  *time.Time
	Tries       int
	CreatedAt   time.Time `gorm:"autoCreateTime:false"`
	ClosedAt    *time.Time
	Revision    int
}

// TableName names the table.
func (reportRow) TableName() string { return "reports" }

// keptReport is a report's row without its file, of which it says only whether it is there.
type keptReport struct {
	Row     reportRow `gorm:"embedded"`
	HasFile bool
}

// reportColumns are those of keptReport.
const reportColumns = `id, programme_id, by_id, request_id, kind, trainee_id, as_of, outside, state, total, ready, standard, code, content_hash, file_hash,
	file_name, message, tries, created_at, closed_at, revision, file IS NOT NULL AS has_file`

func (kept keptReport) report() Report {
	r := kept.Row
	report := Report{
		ID: r.ID, Programme: r.ProgrammeID, By: r.ByID, RequestID: r.RequestID, Kind: r.Kind, On: r.AsOf, Outside: r.Outside, State: r.State, Total: r.Total, Ready: r.Ready,
		Standard: r.Standard, Code: r.Code, Content: r.ContentHash, FileHash: r.FileHash, FileName: r.FileName, Message: r.Message,
		CreatedAt: utc(r.CreatedAt), ClosedAt: timeOrZero(r.ClosedAt), Revision: r.Revision, Tries: r.Tries, HasFile: kept.HasFile,
	}
	if r.TraineeID != nil {
		report.Trainee = *r.TraineeID
	}
	return report
}

// CreateReport adds a report that waits to be written. The error is ErrReference when its trainee is no account.
func (tx *Tx) CreateReport(r Report) error {
	row := reportRow{
		ID: r.ID, ProgrammeID: r.Programme, ByID: r.By, RequestID: r.RequestID, Kind: r.Kind, AsOf: r.On, Outside: r.Outside, State: ReportWaiting, Total: r.Total,
		CreatedAt: utc(r.CreatedAt), Revision: 1,
	}
	if r.Trainee != "" {
		row.TraineeID = &r.Trainee
	}
	return tx.insert("create report", r.Programme, &row)
}

// ReportByID loads a report of a programme, without its file. The error is ErrNotFound.
func (tx *Tx) ReportByID(programme competency.ProgrammeID, id ReportID) (Report, error) {
	var rows []keptReport
	err := tx.db.Table("reports").Select(reportColumns).Where("programme_id = ? AND id = ?", programme, id).Limit(1).Find(&rows).Error
	if err == nil && len(rows) == 0 {
		err = ErrNotFound
	}
	if err != nil {
		return Report{}, translate("report", err)
	}
	return rows[0].report(), nil
}

// ReportFile loads the file of a report. The error is ErrNotFound when the programme has no such report or it has no file any more.
func (tx *Tx) ReportFile(programme competency.ProgrammeID, id ReportID) ([]byte, error) {
	var row reportRow
	err := tx.take("file of report", &row, "programme_id = ? AND id = ? AND file IS NOT NULL", programme, id)
	return row.File, err
}

// Reports lists the reports of a programme that a person asked for, newest first, without their files.
func (tx *Tx) Reports(programme competency.ProgrammeID, by competency.PersonID, page Page) ([]Report, string, error) {
	query, err := newestFirst(tx.db.Table("reports").Select(reportColumns).Where("programme_id = ? AND by_id = ?", programme, by), "created_at", "id", page)
	if err != nil {
		return nil, "", err
	}
	var rows []keptReport
	if err := query.Find(&rows).Error; err != nil {
		return nil, "", translate("reports", err)
	}
	return pageOf(rows, page, keptReport.report, func(r keptReport) string { return cursorAt(r.Row.CreatedAt, string(r.Row.ID)) })
}

// CloseReport ends the waiting of a report: it takes state, standard, code, hashes, file name, message and the time, and keeps the file; one
// that is done is sealed in the audit trail. The error is ErrStale when its revision is another than expected by now.
func (tx *Tx) CloseReport(r Report, file []byte, expected int) error {
	var kept any // an empty file is none
	if len(file) > 0 {
		kept = file
	}
	return tx.endJob("reports", r.Programme, string(r.ID), expected, map[string]any{
		"state": r.State, "ready": r.Ready, "standard": r.Standard, "code": r.Code, "content_hash": r.Content, "file_hash": r.FileHash, "file_name": r.FileName,
		"file": kept, "message": r.Message, "closed_at": utc(r.ClosedAt),
	})
}

// ForgetReportFile drops the file of a report and nothing else of it. The error is ErrNotFound when there is none.
func (tx *Tx) ForgetReportFile(programme competency.ProgrammeID, id ReportID) error {
	if err := tx.mayWrite(programme); err != nil {
		return err
	}
	changed := tx.db.Model(&reportRow{}).Where("programme_id = ? AND id = ? AND file IS NOT NULL", programme, id).Updates(map[string]any{"file": nil})
	if changed.Error == nil && changed.RowsAffected == 0 {
		return fmt.Errorf("file of report: %w", ErrNotFound)
	}
	return translate("file of report", changed.Error)
}

// HoldsReport reports whether a report still waits under a lease.
func (tx *Tx) HoldsReport(programme competency.ProgrammeID, id ReportID, lease string) (bool, error) {
	return tx.holdsLease("reports", programme, string(id), lease)
}

// LeaseReport takes the oldest waiting report that nobody works on until a time; false when there is none.
func (s *Store) LeaseReport(ctx context.Context, lease string, now, until time.Time) (Report, bool, error) {
	id, err := s.takeLease(ctx, "reports", lease, now, until)
	if err != nil || id == "" {
		return Report{}, false, err
	}
	var rows []keptReport
	err = s.db.WithContext(ctx).Table("reports").Select(reportColumns).Where("id = ? AND lease = ?", id, lease).Limit(1).Find(&rows).Error
	if err != nil || len(rows) == 0 {
		return Report{}, false, translate("leased report", err)
	}
	return rows[0].report(), true, nil
}

// KeepReport says how many people are written about and holds the lease until a time; false when it is lost.
func (s *Store) KeepReport(ctx context.Context, id ReportID, lease string, ready int, until time.Time) (bool, error) {
	return s.keepLease(ctx, "reports", string(id), lease, ready, until)
}

// OldReport finds a report closed before a time whose file is still kept; false when there is none.
func (s *Store) OldReport(ctx context.Context, before time.Time) (Report, bool, error) {
	var rows []keptReport
	err := s.db.WithContext(ctx).Table("reports").Select(reportColumns).Where("file IS NOT NULL AND closed_at < ?", utc(before)).Order("closed_at, id").Limit(1).Find(&rows).Error
	if err != nil || len(rows) == 0 {
		return Report{}, false, translate("old report", err)
	}
	return rows[0].report(), true, nil
}
