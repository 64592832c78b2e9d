package report

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"encoding/xml"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"
	"pgregory.net/rapid"
)

func sampleBook(text string) Book {
	return Book{
		Programme: "Harbour & Hill", On: "2026-03-31", Standard: "Example standard, version 3", Caution: strings.Repeat("Educational record; not advice. ", 9),
		Made:  time.Date(2026, 4, 1, 9, 30, 15, 0, time.UTC),
		About: []Fact{{"small counts", text}},
		Sheets: []Sheet{{
			Name: "cases", Says: "A signed-off case.",
			Fields: []Field{
				{"note", Words, "Free text."}, {"n", Whole, "Cases."}, {"value", Number, "Millimetres."}, {"share", Share, "0 to 1."}, {"day", Day, "Of the operation."}, {"at", Instant, "Of the signature."},
				{"late", YesNo, "Late recall."}, {"count", Counted, "Or hidden."},
			},
			Rows: [][]any{
				{text, 7, -2.5, 0.25, time.Date(2026, 3, 14, 0, 0, 0, 0, time.UTC), time.Date(2026, 3, 15, 8, 1, 2, 0, time.UTC), true, "hidden"},
				{"plain", nil, nil, nil, nil, nil, nil, 12},
			},
		}},
	}
}

// TestWorkbookIsTyped reads the workbook back: numbers are numbers, days are days, texts are as they were.
func TestWorkbookIsTyped(t *testing.T) {
	data, err := XLSX(sampleBook("keep the roof line dry"), "AAAAA-AAAAA-AAAAA-AAAAA")
	if err != nil {
		t.Fatal(err)
	}
	if shots := os.Getenv("ISTHMUS_SHOTS"); shots != "" {
		if err := os.WriteFile(filepath.Join(shots, "report-sample.xlsx"), data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	for range 20 {
		if again, _ := XLSX(sampleBook("keep the roof line dry"), "AAAAA-AAAAA-AAAAA-AAAAA"); !bytes.Equal(data, again) {
			t.Fatal("the same tables gave two files")
		}
	}
	book, err := excelize.OpenReader(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	defer book.Close()
	if got := strings.Join(book.GetSheetList(), " "); got != "about cases dictionary" {
		t.Errorf("sheets %s", got)
	}
	for cell, want := range map[string]struct {
		shown string
		kind  excelize.CellType
	}{
		"A2": {"keep the roof line dry", excelize.CellTypeInlineString}, "B2": {"7", excelize.CellTypeNumber}, "C2": {"-2.5", excelize.CellTypeNumber}, "D2": {"25.0%", excelize.CellTypeNumber},
		"E2": {"2026-03-14", excelize.CellTypeNumber}, "F2": {"2026-03-15 08:01:02", excelize.CellTypeNumber}, "G2": {"TRUE", excelize.CellTypeBool}, "H2": {"hidden", excelize.CellTypeInlineString},
		"H3": {"12", excelize.CellTypeNumber},
	} {
		shown, err := book.GetCellValue("cases", cell)
		kind, _ := book.GetCellType("cases", cell)
		if kind == excelize.CellTypeUnset {
			kind = excelize.CellTypeNumber // the format's word for it is none
		}
		if err != nil || shown != want.shown || kind != want.kind {
			t.Errorf("%s is %q of type %d, want %q of %d (%v)", cell, shown, kind, want.shown, want.kind, err)
		}
	}
	for _, sheet := range book.GetSheetList() {
		frame, err := book.GetHeaderFooter(sheet)
		if err != nil || frame == nil || !strings.Contains(frame.OddHeader, "Harbour && Hill") || !strings.Contains(frame.OddHeader, "version 3") || !strings.HasPrefix(frame.OddFooter, "&LEducational") {
			t.Errorf("sheet %s prints with %+v (%v)", sheet, frame, err)
		}
	}
	rows, err := book.GetRows("dictionary")
	if err != nil || len(rows) != 9 || rows[4][2] != "share" || rows[4][3] != "share" {
		t.Errorf("dictionary %v (%v)", rows, err)
	}
}

// TestNoFormula writes whatever people may type into text cells and reads the files with readers that share nothing with what wrote them:
// the workbook has no formula and no text that begins one, and neither has the CSV.
func TestNoFormula(t *testing.T) {
	const begins = "=+-@\t\r"
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(rapid.StringMatching(`[=+\-@']{1,3}[ -~]{0,12}`), rapid.String()).Draw(t, "text")
		b := sampleBook(text)
		data, err := XLSX(b, "c")
		if err != nil {
			t.Fatal(err)
		}
		for _, text := range textsOf(t, data) {
			if text != "" && strings.ContainsRune(begins, rune(text[0])) {
				t.Fatalf("the workbook holds %q", text)
			}
		}
		if data, err = CSV(b, "c"); err != nil {
			t.Fatal(err)
		}
		for name, cells := range cellsOf(t, data) {
			for _, cell := range cells {
				if _, err := strconv.ParseFloat(cell, 64); err != nil && cell != "" && strings.ContainsRune(begins, rune(cell[0])) {
					t.Fatalf("%s holds %q", name, cell)
				}
			}
		}
	})
}

// textsOf are all text cells of a workbook, straight from its XML; a formula fails.
func textsOf(t *rapid.T, data []byte) []string {
	var texts []string
	archive, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range archive.File {
		if !strings.HasPrefix(file.Name, "xl/worksheets/") && file.Name != "xl/sharedStrings.xml" {
			continue
		}
		inside, err := file.Open()
		if err != nil {
			t.Fatal(err)
		}
		reader := xml.NewDecoder(inside)
		for in := ""; ; {
			token, err := reader.Token()
			if err == io.EOF {
				break
			}
			if err != nil {
				t.Fatalf("%s: %v", file.Name, err)
			}
			switch x := token.(type) {
			case xml.StartElement:
				in = x.Name.Local
				if in == "f" {
					t.Fatalf("%s has a formula", file.Name)
				}
			case xml.CharData:
				if in == "t" {
					texts = append(texts, string(x))
				}
			case xml.EndElement:
				in = ""
			}
		}
	}
	return texts
}

// cellsOf are all cells of CSV files in a ZIP, by file.
func cellsOf(t *rapid.T, data []byte) map[string][]string {
	archive, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	cells := map[string][]string{}
	for _, file := range archive.File {
		inside, err := file.Open()
		if err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(inside)
		if err != nil {
			t.Fatal(err)
		}
		rows, err := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(text, []byte("\xef\xbb\xbf")))).ReadAll()
		if err != nil {
			t.Fatalf("%s: %v", file.Name, err)
		}
		for _, row := range rows {
			cells[file.Name] = append(cells[file.Name], row...)
		}
	}
	return cells
}

// TestBookChecks lists what no tables may lack, and values of another type.
func TestBookChecks(t *testing.T) {
	for name, spoil := range map[string]func(*Book){
		"caution": func(b *Book) { b.Caution = "" }, "length": func(b *Book) { b.Sheets[0].Rows[0] = []any{"x"} }, "type": func(b *Book) { b.Sheets[0].Rows[0][1] = "7" },
		"name": func(b *Book) { b.Sheets[0].Name = "about" }, "day": func(b *Book) { b.Sheets[0].Rows[0][4] = "2026-03-14" },
	} {
		b := sampleBook("x")
		spoil(&b)
		if _, err := XLSX(b, "c"); err == nil {
			t.Errorf("XLSX took tables with a wrong %s", name)
		}
		if _, err := CSV(b, "c"); err == nil {
			t.Errorf("CSV took tables with a wrong %s", name)
		}
	}
}
