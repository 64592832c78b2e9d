// Package report turns plain structures into files people take away: a document into PDF, tables into a workbook or CSV. The same input
// gives the same bytes. It knows no noun of the domain, no database and no clock.
package report

import (
	"fmt"
	"time"

	"isthmus/api/chart"
)

// Document is what a PDF says, in reading order. All that its verification code stands for is in it.
type Document struct {
	Title     string    `json:"title"`   // what kind of report
	Subject   string    `json:"subject"` // whom or what it is about
	Programme string    `json:"programme"`
	On        string    `json:"on"`       // the calendar day it speaks of
	Standard  string    `json:"standard"` // with its version
	Caution   string    `json:"caution"`
	Made      time.Time `json:"made"`
	Sections  []Section `json:"sections"`
}

// Section is a part with a heading, which the reader's outline lists.
type Section struct {
	Title   string  `json:"title"`
	NewPage bool    `json:"new_page,omitempty"`
	Blocks  []Block `json:"blocks"`
}

// Block is one thing on the page; exactly one field is set, Quiet beside Text.
type Block struct {
	Text      string       `json:"text,omitempty"`
	Quiet     bool         `json:"quiet,omitempty"` // smaller and softer: methods, sources
	Heading   string       `json:"heading,omitempty"`
	Facts     []Fact       `json:"facts,omitempty"`
	Table     *Table       `json:"table,omitempty"`
	Chart     *chart.Chart `json:"chart,omitempty"`
	Signature *Signature   `json:"signature,omitempty"`
}

// Fact is a name with what it is.
type Fact struct {
	Name  string `json:"name"`
	Value string `json:"value"`
}

// Table is rows under named columns. Every row has as many cells as there are columns.
type Table struct {
	Columns []Column   `json:"columns"`
	Rows    [][]string `json:"rows"`
	Empty   string     `json:"empty,omitempty"` // said in place of a table without rows
}

// Column heads one column; Width is its share of the page beside the others'.
type Column struct {
	Name  string  `json:"name"`
	Width float64 `json:"width"`
	Right bool    `json:"right,omitempty"` // numbers
}

// Signature shows who signed what, when, and what that means (21 CFR 11.50).
type Signature struct {
	Name    string    `json:"name"`
	At      time.Time `json:"at"`
	Meaning string    `json:"meaning"`
}

// Check reports what every report must carry and this one does not: without programme, day, standard and caution no page may leave.
func (d Document) Check() error {
	for _, need := range []struct{ name, value string }{
		{"title", d.Title}, {"subject", d.Subject}, {"programme", d.Programme}, {"day", d.On}, {"standard", d.Standard}, {"caution", d.Caution},
	} {
		if need.value == "" {
			return fmt.Errorf("report %q has no %s", d.Title, need.name)
		}
	}
	if d.Made.IsZero() {
		return fmt.Errorf("report %q does not say when it was made", d.Title)
	}
	for _, section := range d.Sections {
		for _, block := range section.Blocks {
			if err := block.check(); err != nil {
				return fmt.Errorf("report %q, %s: %w", d.Title, section.Title, err)
			}
		}
	}
	return nil
}

func (b Block) check() error {
	if b.Chart != nil {
		return b.Chart.Check()
	}
	if b.Table != nil {
		for i, row := range b.Table.Rows {
			if len(row) != len(b.Table.Columns) {
				return fmt.Errorf("row %d has %d cells under %d columns", i+1, len(row), len(b.Table.Columns))
			}
		}
	}
	return nil
}
