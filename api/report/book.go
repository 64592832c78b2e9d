package report

import (
	"fmt"
	"time"
)

// Book is tables about one programme with what explains them: a workbook, or CSV files in a ZIP.
type Book struct {
	About  []Fact    `json:"about"` // programme, day, standard: what holds for every sheet
	Made   time.Time `json:"made"`
	Sheets []Sheet   `json:"sheets"`

	Programme string `json:"programme"`
	On        string `json:"on"`
	Standard  string `json:"standard"`
	Caution   string `json:"caution"`
}

// Sheet is one table. Every row has a value or nil for every field, of the field's type.
type Sheet struct {
	Name   string  `json:"name"`
	Says   string  `json:"says"` // what a row is
	Fields []Field `json:"fields"`
	Rows   [][]any `json:"rows"`
}

// Field is one column as the data dictionary explains it.
type Field struct {
	Name    string `json:"name"`
	Type    Type   `json:"type"`
	Meaning string `json:"meaning"` // with unit or list of values
}

// Type is the type of a column's cells.
type Type string

// The types, with what a row holds for them.
const (
	Words   Type = "text"           // string
	Whole   Type = "whole number"   // int
	Number  Type = "number"         // float64
	Share   Type = "share"          // float64, 0 to 1
	Day     Type = "date"           // time.Time, at midnight UTC
	Instant Type = "date and time"  // time.Time, shown in UTC
	YesNo   Type = "true or false"  // bool
	Counted Type = "count or words" // int, or the word that hides it
)

// fits reports whether a value is of the type.
func (t Type) fits(value any) bool {
	switch value.(type) {
	case nil:
		return true
	case string:
		return t == Words || t == Counted
	case int:
		return t == Whole || t == Counted
	case float64:
		return t == Number || t == Share
	case time.Time:
		return t == Day || t == Instant
	case bool:
		return t == YesNo
	}
	return false
}

// Check reports a sheet that cannot be written: no name, rows of another length than its fields, values of another type.
func (b Book) Check() error {
	if b.Programme == "" || b.On == "" || b.Standard == "" || b.Caution == "" || b.Made.IsZero() {
		return fmt.Errorf("tables need programme, day, standard, caution and the time they were made")
	}
	for _, s := range b.Sheets {
		if s.Name == "" || s.Name == aboutName || s.Name == dictionaryName || len(s.Fields) == 0 {
			return fmt.Errorf("sheet %q needs a name of its own and fields", s.Name)
		}
		for i, row := range s.Rows {
			if len(row) != len(s.Fields) {
				return fmt.Errorf("sheet %s, row %d: %d values for %d fields", s.Name, i+1, len(row), len(s.Fields))
			}
			for k, value := range row {
				if !s.Fields[k].Type.fits(value) {
					return fmt.Errorf("sheet %s, row %d: %s is %v, no %s", s.Name, i+1, s.Fields[k].Name, value, s.Fields[k].Type)
				}
			}
		}
	}
	return nil
}

// The sheets every book has besides its own.
const (
	aboutName      = "about"
	dictionaryName = "dictionary"
)

// whole are a book's sheets between what it is about and its dictionary.
func (b Book) whole(code string) []Sheet {
	about := Sheet{Name: aboutName, Says: "What these tables are.", Fields: []Field{{"name", Words, "What is told."}, {"value", Words, "What it is."}}}
	for _, f := range []Fact{{"programme", b.Programme}, {"as of", b.On}, {"standard", b.Standard}, {"made", stamp(b.Made)}, {"code", code}, {"caution", b.Caution}} {
		about.Rows = append(about.Rows, []any{f.Name, f.Value})
	}
	for _, f := range b.About {
		about.Rows = append(about.Rows, []any{f.Name, f.Value})
	}
	dictionary := Sheet{Name: dictionaryName, Says: "What the columns hold.", Fields: []Field{
		{"sheet", Words, "Where the column stands."}, {"rows", Words, "What a row of that sheet is."}, {"column", Words, "Its name."}, {"type", Words, "The type of its cells."}, {"meaning", Words, "What it holds."},
	}}
	for _, s := range b.Sheets {
		for _, f := range s.Fields {
			dictionary.Rows = append(dictionary.Rows, []any{s.Name, s.Says, f.Name, string(f.Type), f.Meaning})
		}
	}
	all := append([]Sheet{about}, b.Sheets...)
	return append(all, dictionary)
}

// Seal is the hash of everything in the tables, for one programme, and the code that stands on the sheet about them.
func (b Book) Seal(programme string) (hash, code string, err error) { return seal(b, programme) }
