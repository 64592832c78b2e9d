// Package casefile reads and writes a log of cases as a table: CSV and XLSX, with every mistake named by its cell. Bytes in, records out;
// it knows no database and no person beyond the e-mail address in a cell.
package casefile

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"
)

// Limits of a file that is read. A zip may unpack to no more than maxUnpacked, so that a small file cannot fill the memory.
const (
	MaxBytes    = 20 << 20
	MaxRows     = 20_000
	maxColumns  = 200
	maxCell     = 20_000 // characters
	maxUnpacked = 200 << 20
)

// What is refused of a file as a whole; the messages say what to do. Compare with errors.Is.
var (
	ErrTooLarge = errors.New("the file is larger than 20 MB: split it, or leave out what is not a case")
	ErrUnpacked = errors.New("the workbook unpacks to more than 200 MB: it is damaged, or no log of cases")
	ErrEncoding = errors.New("the text is not UTF-8: save the file as 'CSV UTF-8', or as XLSX")
	ErrNotTable = errors.New("the file is neither a CSV text nor an XLSX workbook: use the template")
	ErrEmpty    = errors.New("the file has no row of column names: use the template")
	ErrRows     = fmt.Errorf("the file has more than %d rows: split it", MaxRows)
	ErrWide     = fmt.Errorf("the file has more than %d columns: use the template", maxColumns)
)

// Sheet is a table as it stands in a file: the column names and the rows below them, blank rows left out.
type Sheet struct {
	Name   string // of the worksheet; empty for CSV
	Header []string
	Rows   []Row
}

// Row is one row with its number in the file, counted from 1.
type Row struct {
	Number int
	Cells  []string // as many as the header has
}

// Read takes a file apart. It tells CSV from XLSX by content, not by name. The error is one of the above, or Faults with cells (merged
// cells, cells that are too long, CSV quoting).
func Read(data []byte) (Sheet, error) {
	switch {
	case len(data) > MaxBytes:
		return Sheet{}, ErrTooLarge
	case bytes.HasPrefix(data, []byte("PK\x03\x04")):
		return readWorkbook(data)
	case bytes.HasPrefix(data, []byte("\xd0\xcf\x11\xe0")): // the older binary workbook, or an encrypted one
		return Sheet{}, ErrNotTable
	}
	return readText(data)
}

// readText reads CSV after RFC 4180; comma, semicolon or tab, whichever the first line has most of.
func readText(data []byte) (Sheet, error) {
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	if !utf8.Valid(data) || bytes.IndexByte(data, 0) >= 0 {
		return Sheet{}, ErrEncoding
	}
	reader := csv.NewReader(bytes.NewReader(data))
	reader.Comma, reader.FieldsPerRecord = separator(data), -1
	build := builder{}
	for {
		cells, err := reader.Read()
		if errors.Is(err, io.EOF) {
			return build.done()
		}
		if err != nil {
			var parse *csv.ParseError
			if errors.As(err, &parse) {
				return Sheet{}, Faults{{Cell: fmt.Sprintf("line %d", parse.Line), Message: "the quoting is broken here: a quote inside a quoted cell is written twice"}}
			}
			return Sheet{}, ErrNotTable
		}
		line, _ := reader.FieldPos(0)
		for i, cell := range cells {
			cells[i] = bare(cell)
		}
		if err := build.add(line, cells); err != nil {
			return Sheet{}, err
		}
	}
}

func separator(data []byte) rune {
	first, _, _ := bytes.Cut(data, []byte("\n"))
	best := ','
	for _, mark := range []rune{';', '\t'} {
		if bytes.Count(first, []byte(string(mark))) > bytes.Count(first, []byte(string(best))) {
			best = mark
		}
	}
	return best
}

// readWorkbook reads the first worksheet, cell values as they are stored.
func readWorkbook(data []byte) (sheet Sheet, err error) {
	defer func() { // the library is fed untrusted bytes: what it cannot take must not end the program
		if recover() != nil {
			sheet, err = Sheet{}, ErrNotTable
		}
	}()
	book, err := excelize.OpenReader(bytes.NewReader(data), excelize.Options{RawCellValue: true, UnzipSizeLimit: maxUnpacked, UnzipXMLSizeLimit: maxUnpacked})
	if err != nil {
		if strings.Contains(err.Error(), "unzip size exceeds") {
			return Sheet{}, ErrUnpacked
		}
		return Sheet{}, ErrNotTable
	}
	defer book.Close()
	names := book.GetSheetList()
	if len(names) == 0 {
		return Sheet{}, ErrEmpty
	}
	if merged, err := book.GetMergeCells(names[0]); err == nil && len(merged) > 0 {
		return Sheet{}, Faults{{Sheet: names[0], Cell: merged[0].GetStartAxis(), Message: "cells are merged here: one row is one case, so take the merge apart"}}
	}
	rows, err := book.Rows(names[0])
	if err != nil {
		return Sheet{}, ErrNotTable
	}
	defer rows.Close()
	build := builder{sheet: Sheet{Name: names[0]}}
	for number := 1; rows.Next(); number++ {
		cells, err := rows.Columns()
		if err != nil {
			return Sheet{}, ErrNotTable
		}
		for _, cell := range cells {
			if !utf8.ValidString(cell) {
				return Sheet{}, ErrNotTable
			}
		}
		if err := build.add(number, cells); err != nil {
			return Sheet{}, err
		}
	}
	return build.done()
}

// builder puts rows together and holds the limits.
type builder struct {
	sheet Sheet
	begun bool
}

func (b *builder) add(number int, cells []string) error {
	if len(cells) > maxColumns {
		return ErrWide
	}
	blank := true
	for i, cell := range cells {
		if utf8.RuneCountInString(cell) > maxCell {
			return Faults{{Sheet: b.sheet.Name, Cell: address(i, number), Message: fmt.Sprintf("more than %d characters in one cell", maxCell)}}
		}
		cells[i] = strings.TrimSpace(cell)
		blank = blank && cells[i] == ""
	}
	switch {
	case blank:
		return nil
	case !b.begun:
		b.begun, b.sheet.Header = true, append([]string(nil), cells...)
		return nil
	case len(b.sheet.Rows) >= MaxRows:
		return ErrRows
	}
	row := Row{Number: number, Cells: make([]string, max(len(cells), len(b.sheet.Header)))}
	copy(row.Cells, cells)
	b.sheet.Rows = append(b.sheet.Rows, row)
	return nil
}

func (b *builder) done() (Sheet, error) {
	if !b.begun {
		return Sheet{}, ErrEmpty
	}
	return b.sheet, nil
}

// address is a cell's name as spreadsheets write it: column from 0, row from 1.
func address(column, row int) string {
	name, err := excelize.CoordinatesToCellName(column+1, row)
	if err != nil {
		return fmt.Sprintf("row %d", row)
	}
	return name
}

// Fault is one mistake: where it stands, and what to do.
type Fault struct {
	Sheet   string `json:"sheet,omitempty"`
	Cell    string `json:"cell"`             // for example C7; 'line 7' where a CSV cannot be taken apart
	Column  string `json:"column,omitempty"` // the column's name in the file
	Message string `json:"message"`
}

// Faults is every mistake of a file, in the order they stand.
type Faults []Fault

// Error lists them, a line each.
func (f Faults) Error() string {
	lines := make([]string, len(f))
	for i, fault := range f {
		lines[i] = strings.TrimSpace(fmt.Sprintf("%s %s: %s", fault.Sheet, fault.Cell, fault.Message))
	}
	return strings.Join(lines, "\n")
}
