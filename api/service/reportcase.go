package service

import (
	"slices"
	"strconv"

	"isthmus/api/report"
	"isthmus/api/store"
	"isthmus/competency"
)

// signedRecord is a signed-off case as a report writes of it: the version signed last on or before the day, and its signature.
type signedRecord struct {
	competency.Case
	signed competency.SignOff
}

// signedRecords are a trainee's cases that counted on a day, in the order of their signatures; withdrawn ones are not among them.
func (h *scene) signedRecords(trainee competency.PersonID, on competency.Day) ([]signedRecord, error) {
	cases, err := h.allCases(store.CaseFilter{Trainee: trainee})
	if err != nil {
		return nil, err
	}
	all, err := h.tx.SignOffsFor(h.programme.ID, trainee)
	if err != nil {
		return nil, err
	}
	var records []signedRecord
	for _, c := range cases {
		if c.SignedVersion == 0 || c.Status == competency.CaseWithdrawn {
			continue
		}
		for _, signed := range slices.Backward(all[c.ID]) {
			if competency.DayOf(signed.SignedAt) > on {
				continue
			}
			if c.Version != signed.CaseVersion {
				version, err := h.versionOf(c.ID, signed.CaseVersion)
				if err != nil {
					return nil, err
				}
				c = c.AsSigned(version)
			}
			records = append(records, signedRecord{c, signed})
			break
		}
	}
	slices.SortStableFunc(records, func(a, b signedRecord) int { return a.signed.SignedAt.Compare(b.signed.SignedAt) })
	return records, nil
}

// caseBlocks list signed cases with what was computed and what the supervisor saw.
func caseBlocks(records []signedRecord) []report.Block {
	rows := make([][]string, len(records))
	for i, r := range records {
		rows[i] = []string{
			r.Record.OperatedOn, chosen(competency.Operations, r.Record.Operation), chosen(competency.PatternChoices, r.Computed.Pattern), chosen(competency.ScopeChoices, r.Computed.Scope),
			completeWords(r.Computed.LinesComplete && r.Computed.BlockTested), chosen(competency.RoleChoices, r.signed.Role),
			strconv.Itoa(r.signed.Statement.HelpGiven), strconv.Itoa(r.signed.Statement.SupervisionNext),
		}
	}
	columns := []report.Column{
		{Name: "Operated", Width: 2.2}, {Name: "Operation", Width: 3}, {Name: "AF", Width: 2.4}, {Name: "Scope", Width: 2.4}, {Name: "Complete, tested", Width: 1.9}, {Name: "Role", Width: 1.9},
		{Name: "Help given", Width: 1.2, Right: true}, {Name: "Next time", Width: 1.2, Right: true},
	}
	return []report.Block{
		tableOf("No case is signed off.", columns, rows),
		quietText(levelWords("Help given", competency.HelpLevels)), quietText(levelWords("Supervision next time", competency.SupervisionLevels)),
		quietText("Scope, completeness and role are computed from what was entered; the role is the one of the steps the supervisor confirmed."),
	}
}

func completeWords(complete bool) string {
	if complete {
		return "Yes"
	}
	return "No"
}

// signatureBlocks list the signatures on cases: who, when and with what meaning (21 CFR 11.50). Outside the programme without the day of
// the operation.
func signatureBlocks(records []signedRecord, outside bool) []report.Block {
	columns := []report.Column{{Name: "Signed", Width: 3.2}, {Name: "By", Width: 3}, {Name: "Operated", Width: 2}, {Name: "Meaning", Width: 6}}
	rows := make([][]string, len(records))
	for i, r := range records {
		rows[i] = []string{instantWords(r.signed.SignedAt), r.signed.AssessorName, r.Record.OperatedOn, r.signed.Meaning}
		if outside {
			rows[i] = slices.Delete(rows[i], 2, 3)
		}
	}
	if outside {
		columns = slices.Delete(columns, 2, 3)
	}
	return []report.Block{tableOf("Nobody signed a case.", columns, rows)}
}
