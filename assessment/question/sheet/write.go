package sheet

import (
	"bytes"
	_ "embed"
	"encoding/csv"
	"strings"

	"isthmus/assessment/question"
)

// Table is what Write gives.
type Table struct {
	Data    []byte            // CSV in UTF-8, with the mark that spreadsheets need to see it
	Items   int               // rows below the column names
	LeftOut []question.ItemID // items on the atrial map, whose drawings no cell can hold
}

// Write makes a table of valid items that Read gives back equal, but for ends of lines: CSV has one for all (RFC 4180 section 2), so a
// carriage return before a line feed is lost. No cell can be taken for a formula. The same items give the same bytes.
func Write(items []question.Item) (Table, error) {
	var t Table
	rows := make([][]string, 1, len(items)+1)
	for _, c := range columns {
		rows[0] = append(rows[0], c.name)
	}
	for _, it := range items {
		if it.Kind == question.OnMap {
			t.LeftOut = append(t.LeftOut, it.ID)
			continue
		}
		row := make([]string, len(columns))
		for i, c := range columns {
			row[i] = guarded(c.write(it))
		}
		rows = append(rows, row)
	}
	var out bytes.Buffer
	out.WriteString(mark)
	w := csv.NewWriter(&out)
	if err := w.WriteAll(rows); err != nil {
		return Table{}, err
	}
	t.Data, t.Items = out.Bytes(), len(rows)-1
	return t, nil
}

const mark = "\xef\xbb\xbf" // without it spreadsheets take UTF-8 for something else

// guarded puts an apostrophe before what a spreadsheet would run as a formula, and before an apostrophe that stands there already, so that
// bare gives back the same; the log of cases does likewise.
func guarded(cell string) string {
	if cell != "" && strings.ContainsRune("=+-@\t\r'", rune(cell[0])) {
		return "'" + cell
	}
	return cell
}

// bare takes the apostrophe of guarded off.
func bare(cell string) string {
	if len(cell) > 1 && cell[0] == '\'' && strings.ContainsRune("=+-@\t\r'", rune(cell[1])) {
		return cell[1:]
	}
	return cell
}

//go:embed examples.yaml
var examples []byte

// Template is a table with one example of each kind, to be written over.
func Template() ([]byte, error) {
	items, err := question.Decode("examples.yaml", examples)
	if err != nil {
		return nil, err
	}
	t, err := Write(items)
	return t.Data, err
}
