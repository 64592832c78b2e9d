package service

import (
	"fmt"
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
	var records []signedRecord
	for _, c := range cases {
		if c.SignedVersion == 0 || c.Status == competency.CaseWithdrawn {
			continue
		}
		signatures, err := h.tx.SignOffs(h.programme.ID, c.ID)
		if err != nil {
			return nil, err
		}
		for _, signed := range slices.Backward(signatures) {
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

// counted is one closed list with how many cases have each of its entries.
type counted struct {
	title  string
	names  []string
	counts []int
	of     func(signedRecord) []string // ids of entries
	ids    []string
}

// countsOf counts cases by what says nothing of a single one.
func countsOf(records []signedRecord) []counted {
	list := []counted{
		newCounted("Operation", competency.Operations, func(r signedRecord) []string { return []string{r.Record.Operation} }),
		newCounted("AF pattern", competency.PatternChoices, func(r signedRecord) []string { return []string{string(r.Computed.Pattern)} }),
		newCounted("Scope", competency.ScopeChoices, func(r signedRecord) []string { return []string{string(r.Computed.Scope)} }),
		newCounted("Role", competency.RoleChoices, func(r signedRecord) []string { return []string{string(r.signed.Role)} }),
		newCounted("Events up to 30 days", append(slices.Clone(competency.Events), competency.Choice{ID: "", Name: "No event"}), func(r signedRecord) []string {
			if len(r.Record.Events) == 0 {
				return []string{""}
			}
			return r.Record.Events
		}),
	}
	for i := range list {
		for _, r := range records {
			for _, id := range list[i].of(r) {
				if k := slices.Index(list[i].ids, id); k >= 0 {
					list[i].counts[k]++
				}
			}
		}
	}
	return list
}

func newCounted(title string, choices []competency.Choice, of func(signedRecord) []string) counted {
	c := counted{title: title, of: of, counts: make([]int, len(choices))}
	for _, choice := range choices {
		name := chosen(choices, choice.ID)
		c.names, c.ids = append(c.names, name), append(c.ids, choice.ID)
	}
	return c
}

// hiddenWord stands for a count that does not leave the programme.
const hiddenWord = "hidden"

// shown are the counts as they leave the programme.
func (c counted) shown(limit int) []string {
	hidden, _ := competency.HideSmall(c.counts, limit)
	words := make([]string, len(c.counts))
	for i, n := range c.counts {
		words[i] = strconv.Itoa(n)
		if hidden[i] {
			words[i] = hiddenWord
		}
	}
	return words
}

// totalShown is how many cases there are, as it leaves the programme: hidden where any list gives a small count away by it.
func totalShown(lists []counted, n, limit int) string {
	for _, c := range lists {
		if _, total := competency.HideSmall(c.counts, limit); total {
			return hiddenWord
		}
	}
	return strconv.Itoa(n)
}

// countBlocks count signed cases for the outside.
func countBlocks(records []signedRecord, limit int) []report.Block {
	lists := countsOf(records)
	blocks := []report.Block{text("Signed-off cases: " + totalShown(lists, len(records), limit) + ".")}
	for _, c := range lists {
		rows := [][]string{}
		for i, words := range c.shown(limit) {
			if words != "0" {
				rows = append(rows, []string{c.names[i], words})
			}
		}
		blocks = append(blocks, report.Block{Heading: c.title}, tableOf("No case.", []report.Column{{Name: c.title, Width: 8}, {Name: "Cases", Width: 2, Right: true}}, rows))
	}
	return append(blocks, quietText(smallWords(limit)))
}

// smallWords say what is hidden.
func smallWords(limit int) string {
	return fmt.Sprintf("Counts below %d are hidden, and another with them where one alone could be taken from the total.", limit)
}
