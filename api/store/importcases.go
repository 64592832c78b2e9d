package store

import (
	"fmt"

	"isthmus/competency"
)

// importBatch is how many rows one statement adds.
const importBatch = 200

// ImportedCase is a case with the row of the file it came from.
type ImportedCase struct {
	Case competency.Case
	Row  int
}

type importCaseRow struct {
	ProgrammeID competency.ProgrammeID `gorm:"primaryKey"`
	CaseID      competency.CaseID      `gorm:"primaryKey"`
	ImportID    ImportID
	Line        int
}

// TableName names the table.
func (importCaseRow) TableName() string { return "import_cases" }

// AddImportedCases adds the cases of an import, those submitted with their first version and act, and an audit entry for each.
func (tx *Tx) AddImportedCases(programme competency.ProgrammeID, id ImportID, imported []ImportedCase) error {
	if err := tx.mayWrite(programme); err != nil {
		return err
	}
	var cases []caseRow
	var versions []caseVersionRow
	var acts []caseActRow
	var links []importCaseRow
	var changes []AuditChange
	for _, one := range imported {
		c := one.Case
		if c.Programme != programme {
			return fmt.Errorf("%w: %q", errOtherChain, c.Programme)
		}
		row, err := fromCase(c)
		if err != nil {
			return err
		}
		cases = append(cases, row)
		links = append(links, importCaseRow{programme, c.ID, id, one.Row})
		changes = append(changes, AuditChange{Object: "case", ID: string(c.ID), After: c})
		if c.Version == 0 {
			continue
		}
		version, err := fromCaseVersion(c)
		if err != nil {
			return err
		}
		versions = append(versions, version)
		acts = append(acts, caseActRow{programme, c.ID, doneRow{Seq: 1, Kind: "submit", ByID: c.Trainee, At: utc(c.SubmittedAt), Version: c.Version}})
	}
	if err := translate("import cases", tx.db.CreateInBatches(cases, importBatch).Error); err != nil {
		return err
	}
	if len(versions) > 0 {
		if err := translate("import case versions", tx.db.CreateInBatches(versions, importBatch).Error); err != nil {
			return err
		}
		if err := translate("import case acts", tx.db.CreateInBatches(acts, importBatch).Error); err != nil {
			return err
		}
	}
	if err := translate("cases of import", tx.db.CreateInBatches(links, importBatch).Error); err != nil {
		return err
	}
	return tx.AuditAll(changes)
}

// CasesOfImport lists the cases of an import in the order of its file.
func (tx *Tx) CasesOfImport(programme competency.ProgrammeID, id ImportID) ([]competency.Case, error) {
	var rows []caseRow
	err := tx.db.Table("cases AS c").Select("c.*").Joins("JOIN import_cases i ON i.programme_id = c.programme_id AND i.case_id = c.id").
		Where("i.programme_id = ? AND i.import_id = ?", programme, id).Order("i.line, c.id").Find(&rows).Error
	if err != nil {
		return nil, translate("cases of import", err)
	}
	cases := make([]competency.Case, len(rows))
	for i, row := range rows {
		if cases[i], err = row.toCase(); err != nil {
			return nil, err
		}
	}
	return cases, nil
}
