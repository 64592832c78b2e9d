package sheet

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"isthmus/assessment/question"
	"isthmus/assessment/strict"
)

// required are the columns every table must have.
var required = []string{"id", "topic", "author", "kind", "stem", "rationale", "source"}

// reader reads one table.
type reader struct {
	header []column // by place; the zero column for a place without a name
	place  map[string]int
	ids    map[question.ItemID]int // row of each id
	faults strict.Faults
}

// Read takes a table apart and checks each item whole. Items without a mistake are given beside the error, which is strict.Faults: Line is
// the row, Column the column counted from 1, Field the name of the column. An empty cell is a field that is not given; a version not given
// is 1, a status draft, a difficulty middling, an id of an option the letter of its place.
func Read(name string, data []byte) ([]question.Item, error) {
	r := reader{place: map[string]int{}, ids: map[question.ItemID]int{}, faults: strict.Faults{File: name}}
	switch {
	case len(data) > MaxBytes:
		r.add(0, 0, "", "is larger than %d MB: split it", MaxBytes>>20)
	case !utf8.Valid(data):
		r.add(0, 0, "", "is not UTF-8: save the file as 'CSV UTF-8'")
	}
	if len(r.faults.List) > 0 {
		return nil, r.faults
	}
	lines := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(data, []byte(mark))))
	lines.FieldsPerRecord = -1
	if first, _, _ := bytes.Cut(data, []byte("\n")); bytes.Count(first, []byte(";")) > bytes.Count(first, []byte(",")) {
		lines.Comma = ';' // as spreadsheets write where the comma stands before decimals
	}
	var items []question.Item
	for row := 1; ; row++ {
		cells, err := lines.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		var quoting *csv.ParseError
		if errors.As(err, &quoting) {
			r.add(row, 1, "", "the quotes of this row cannot be read (line %d of the text): %v", quoting.Line, quoting.Err)
			break // where the next row begins is not known
		}
		if row == 1 {
			if !r.names(cells) {
				return nil, r.faults
			}
			continue
		}
		if row > maxRows+1 {
			r.add(row, 1, "", "has more than %d rows: split it", maxRows)
			break
		}
		if it, ok := r.row(row, cells); ok {
			items = append(items, it)
		}
	}
	if len(r.header) == 0 {
		r.add(1, 1, "", "has no row of column names: use the template")
	} else if len(items) == 0 && len(r.faults.List) == 0 {
		r.add(2, 1, "", "has no item below the column names")
	}
	return items, r.faults.Err()
}

// add puts down a mistake at a cell.
func (r *reader) add(row, at int, field, format string, args ...any) {
	if len(r.faults.List) < maxFound {
		r.faults.List = append(r.faults.List, strict.Fault{Line: row, Column: at, Field: field, Message: fmt.Sprintf(format, args...)})
	}
}

// names reads the column names; without all that are required there is nothing to read below them.
func (r *reader) names(cells []string) bool {
	for i, cell := range cells {
		name := strings.ToLower(strings.TrimSpace(cell))
		k := slices.IndexFunc(columns, func(c column) bool { return c.name == name })
		switch _, given := r.place[name]; {
		case name == "":
			r.header = append(r.header, column{})
			continue
		case k < 0:
			r.add(1, i+1, shorten(name), "is no column of this table: the template has them all")
			r.header = append(r.header, column{})
			continue
		case given:
			r.add(1, i+1, name, "is given twice")
		}
		r.place[name] = i
		r.header = append(r.header, columns[k])
	}
	for _, name := range required {
		if _, given := r.place[name]; !given {
			r.add(1, 0, name, "this column is missing")
		}
	}
	return len(r.faults.List) == 0
}

// row reads one item; false for a blank row or a mistake.
func (r *reader) row(row int, cells []string) (question.Item, bool) {
	if strings.TrimSpace(strings.Join(cells, "")) == "" {
		return question.Item{}, false
	}
	before := len(r.faults.List)
	var it question.Item
	for i, cell := range cells {
		cell = bare(cell)
		switch {
		case cell == "":
		case len(cell) > maxCell:
			r.add(row, i+1, "", "has more than %d bytes", maxCell)
		case i >= len(r.header) || r.header[i].read == nil:
			r.add(row, i+1, "", "%q stands under no column name", shorten(cell))
		default:
			if err := r.header[i].read(&it, cell); err != nil {
				r.add(row, i+1, r.header[i].name, "%v", err)
			}
		}
	}
	defaults(&it)
	if first, given := r.ids[it.ID]; given {
		r.add(row, r.place["id"]+1, "id", "%q is the id of row %d too", shorten(string(it.ID)), first)
	} else {
		r.ids[it.ID] = row
	}
	if len(r.faults.List) == before { // a cell that cannot be read would be told twice
		for _, fault := range it.Validate().List {
			r.locate(row, fault)
		}
	}
	return it, len(r.faults.List) == before && len(r.faults.List) < maxFound
}

// locate puts a mistake of meaning at the column whose field it is in: the same, the first part of it, or the kind.
func (r *reader) locate(row int, fault strict.Fault) {
	for _, same := range []func(field string) bool{
		func(field string) bool { return field == fault.Field },
		func(field string) bool { return strings.HasPrefix(fault.Field, field) },
		func(field string) bool { return strings.HasPrefix(field, fault.Field) },
		func(field string) bool { return field == "kind" },
	} {
		for _, c := range columns {
			if at, given := r.place[c.name]; given && same(c.field) {
				r.add(row, at+1, c.name, "%s", fault.Message)
				return
			}
		}
	}
}
