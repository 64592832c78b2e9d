package report

import (
	"fmt"
	"testing"
)

// BenchmarkPDF paints a meeting pack of 200 trainees, each with a table and a chart.
func BenchmarkPDF(b *testing.B) {
	doc := sample()
	chart, rows := doc.Sections[1].Blocks[0], doc.Sections[3].Blocks[0].Table.Rows[:8]
	columns := doc.Sections[3].Blocks[0].Table.Columns
	doc.Sections = nil
	for i := range 200 {
		doc.Sections = append(doc.Sections, Section{Title: fmt.Sprintf("Trainee %d", i), NewPage: true, Blocks: []Block{{Table: &Table{Columns: columns, Rows: rows}}, chart}})
	}
	for b.Loop() {
		if _, err := PDF(doc, "AAAAA-AAAAA-AAAAA-AAAAA"); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkXLSX writes 5,000 cases of eight columns.
func BenchmarkXLSX(b *testing.B) {
	book := sampleBook("keep the roof line dry")
	for len(book.Sheets[0].Rows) < 5000 {
		book.Sheets[0].Rows = append(book.Sheets[0].Rows, book.Sheets[0].Rows[0])
	}
	for b.Loop() {
		if _, err := XLSX(book, "AAAAA-AAAAA-AAAAA-AAAAA"); err != nil {
			b.Fatal(err)
		}
	}
}
