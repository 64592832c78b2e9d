package store

import (
	"cmp"
	"slices"
	"time"
)

// reportObject is what a report is called in the audit trail; the entry of the act that finished it is its seal.
const (
	reportObject = "report"
	reportSealed = "report.done"
)

// seal lists everything of a report that its code stands for. Its order never changes.
func (r Report) seal() []string {
	return []string{
		string(r.Programme), string(r.ID), string(r.Kind), string(r.Trainee), string(r.On), r.Standard, r.Code, r.Content, r.FileHash,
		utc(r.ClosedAt).Format(time.RFC3339Nano),
	}
}

// SealReport seals a finished report by an entry of the audit trail; the act is "report.done".
func (tx *Tx) SealReport(r Report) error { return tx.Audit(reportObject, string(r.ID), nil, r.seal()) }

// ReportsByCode finds the finished reports of any programme that carry a code and are as they were sealed, newest first: a row that was
// changed or added from outside is none. Whoever holds a report holds its code, so no wall stands here; what is found must not be shown.
func (tx *Tx) ReportsByCode(code string) ([]Report, error) {
	var rows []keptReport
	err := tx.db.Table("reports").Select(reportColumns).Where("code = ? AND state = ?", code, ReportDone).Order("closed_at DESC, id").Limit(20).Find(&rows).Error
	if err != nil {
		return nil, translate("reports by code", err)
	}
	var sound []Report
	for _, row := range rows {
		r := row.report()
		var seals []auditRow
		err := tx.db.Where("programme_id = ? AND object = ? AND object_id = ? AND act = ?", r.Programme, reportObject, string(r.ID), reportSealed).Limit(1).Find(&seals).Error
		if err != nil {
			return nil, translate("seal of report", err)
		}
		hash, err := hashOf(r.seal())
		if err != nil {
			return nil, err
		}
		if len(seals) == 1 && seals[0].AfterHash == hash && seals[0].Hash == seals[0].chainHash() {
			sound = append(sound, r)
		}
	}
	return sound, nil
}

// ReportFault is a finished report that is not as it was sealed.
type ReportFault struct {
	Report ReportID
	What   string
}

// verifyReports checks every finished report of a programme against its seal, by report.
func (tx *Tx) verifyReports(chain *ChainReport) error {
	seals, err := tx.entriesOf(chain.Programme, reportObject, reportSealed)
	if err != nil {
		return err
	}
	var rows []keptReport
	err = tx.db.Table("reports").Select(reportColumns).Where("programme_id = ? AND state = ?", chain.Programme, ReportDone).Find(&rows).Error
	if err != nil {
		return translate("reports", err)
	}
	fault := func(id ReportID, what string) { chain.Reports = append(chain.Reports, ReportFault{id, what}) }
	for _, row := range rows {
		r := row.report()
		now, err := hashOf(r.seal())
		if err != nil {
			return err
		}
		entry, known := seals[string(r.ID)]
		delete(seals, string(r.ID))
		switch {
		case !known:
			fault(r.ID, "no act left it")
		case entry.AfterHash != now:
			fault(r.ID, "what its code stands for was changed")
		}
	}
	for id := range seals {
		fault(ReportID(id), "it was removed")
	}
	slices.SortFunc(chain.Reports, func(a, b ReportFault) int { return cmp.Compare(a.Report, b.Report) })
	return nil
}
