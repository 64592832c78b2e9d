package casefile

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"strings"
	"time"

	"isthmus/assessment/atrium"
	"isthmus/competency"

	"github.com/xuri/excelize/v2"
)

// Format is a kind of file.
type Format string

// The formats.
const (
	CSV  Format = "csv"
	XLSX Format = "xlsx"
)

// Listed is a case to be written, with what the program computed of it. Columns that are no field are for reading only: an import passes
// over them.
type Listed struct {
	Trainee, Supervisor string // e-mail addresses
	Record              competency.Record
	Status              competency.CaseStatus
	Computed            *competency.Computed
}

// told are the columns beside the fields.
var told = []struct {
	name  string
	write func(l Listed) string
}{
	{"status", func(l Listed) string { return string(l.Status) }},
	{"scope (computed)", func(l Listed) string {
		return computed(l, func(c competency.Computed) string { return string(c.Scope) })
	}},
	{"af_pattern (computed)", func(l Listed) string {
		return computed(l, func(c competency.Computed) string { return string(c.Pattern) })
	}},
	{"role (computed)", func(l Listed) string {
		return computed(l, func(c competency.Computed) string { return string(c.Role) })
	}},
	{"caution", func(Listed) string { return atrium.Caution }},
}

func computed(l Listed, of func(competency.Computed) string) string {
	if l.Computed == nil {
		return ""
	}
	return of(*l.Computed)
}

// Write makes a file of cases that Read and Records give back as they were. No cell can be taken for a formula. The error is of the
// library that writes, or an unknown format.
func Write(format Format, cases []Listed) ([]byte, error) {
	table := make([][]string, 1, len(cases)+1)
	for _, c := range columns {
		table[0] = append(table[0], c.ID)
	}
	for _, t := range told {
		table[0] = append(table[0], t.name)
	}
	for _, l := range cases {
		d := draftOf(l)
		row := make([]string, 0, len(table[0]))
		for _, c := range columns {
			row = append(row, c.write(d))
		}
		for _, t := range told {
			row = append(row, t.write(l))
		}
		table = append(table, row)
	}
	return write(format, table, nil)
}

// draftOf puts a record's steps back beside their lesions.
func draftOf(l Listed) draft {
	d := draft{record: l.Record, trainee: l.Trainee, supervisor: l.Supervisor, performers: make([]competency.Performer, len(l.Record.Lesions))}
	by := map[string]competency.Performer{}
	for _, step := range l.Record.Steps {
		by[step.Step] = step.PerformedBy
	}
	for i, id := range competency.StepsOf(l.Record.Lesions, l.Record.Appendage) {
		if i < len(d.performers) {
			d.performers[i] = by[id]
		} else {
			d.appendageBy = by[id]
		}
	}
	return d
}

// Template makes a file with the column names alone; the workbook explains them on a second sheet.
func Template(format Format) ([]byte, error) {
	header := make([]string, len(columns))
	notes := [][]string{{"column", "holds", "required"}}
	for i, c := range columns {
		header[i] = c.ID
		required := ""
		if c.Required {
			required = "yes"
		}
		notes = append(notes, []string{c.ID, c.Explains, required})
	}
	return write(format, [][]string{header}, notes)
}

func write(format Format, table, notes [][]string) ([]byte, error) {
	switch format {
	case CSV:
		return writeText(table)
	case XLSX:
		return writeWorkbook(table, notes)
	}
	return nil, fmt.Errorf("casefile: no format %q", format)
}

func writeText(table [][]string) ([]byte, error) {
	var out bytes.Buffer
	out.WriteString("\xef\xbb\xbf") // without it spreadsheets take UTF-8 for something else
	writer := csv.NewWriter(&out)
	for _, row := range table {
		safe := make([]string, len(row))
		for i, cell := range row {
			safe[i] = Guarded(cell)
		}
		if err := writer.Write(safe); err != nil {
			return nil, err
		}
	}
	writer.Flush()
	return out.Bytes(), writer.Error()
}

// Guarded puts an apostrophe before what a spreadsheet would run as a formula, and before an apostrophe that stands there already, so
// that bare gives back the same.
func Guarded(cell string) string {
	if cell != "" && strings.ContainsRune("=+-@\t\r'", rune(cell[0])) {
		return "'" + cell
	}
	return cell
}

// bare takes Guarded's apostrophe off.
func bare(cell string) string {
	if len(cell) > 1 && cell[0] == '\'' && strings.ContainsRune("=+-@\t\r'", rune(cell[1])) {
		return cell[1:]
	}
	return cell
}

// writeWorkbook writes every cell as a string: a workbook keeps those apart from formulas.
func writeWorkbook(table, notes [][]string) ([]byte, error) {
	book := excelize.NewFile()
	defer book.Close()
	fixed := time.Unix(0, 0).UTC().Format(time.RFC3339) // when it was made stands in the audit trail, not in the file
	if err := book.SetDocProps(&excelize.DocProperties{Creator: "Isthmus", Created: fixed, Modified: fixed}); err != nil {
		return nil, err
	}
	if err := book.SetSheetName("Sheet1", "cases"); err != nil {
		return nil, err
	}
	if err := fill(book, "cases", table); err != nil {
		return nil, err
	}
	if notes != nil {
		if _, err := book.NewSheet("columns"); err != nil {
			return nil, err
		}
		if err := fill(book, "columns", notes); err != nil {
			return nil, err
		}
	}
	out, err := book.WriteToBuffer()
	if err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

func fill(book *excelize.File, sheet string, table [][]string) error {
	stream, err := book.NewStreamWriter(sheet)
	if err != nil {
		return err
	}
	for i, row := range table {
		cells := make([]any, len(row))
		for k, cell := range row {
			cells[k] = cell
		}
		if err := stream.SetRow(fmt.Sprintf("A%d", i+1), cells); err != nil {
			return err
		}
	}
	return stream.Flush()
}
