package report

import (
	"archive/zip"
	"bytes"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/xuri/excelize/v2"

	"isthmus/competency/casefile"
)

// XLSX writes tables as a workbook of typed cells, with a sheet about them before and a dictionary behind; each sheet prints with programme,
// day, standard and caution on every page. No cell can be taken for a formula, also when the sheet is saved as text. The same tables give
// the same bytes. The error is that of Check, or of the library.
func XLSX(b Book, code string) ([]byte, error) {
	if err := b.Check(); err != nil {
		return nil, err
	}
	book := excelize.NewFile()
	defer book.Close()
	made := b.Made.UTC().Format(time.RFC3339)
	if err := book.SetDocProps(&excelize.DocProperties{Creator: "Isthmus", Created: made, Modified: made, Title: b.Programme + ", " + b.On}); err != nil {
		return nil, err
	}
	looks, err := newLooks(book)
	if err != nil {
		return nil, err
	}
	for i, sheet := range b.whole(code) {
		if i == 0 {
			err = book.SetSheetName("Sheet1", sheet.Name)
		} else {
			_, err = book.NewSheet(sheet.Name)
		}
		if err != nil {
			return nil, err
		}
		if err := b.frame(book, sheet.Name); err != nil {
			return nil, err
		}
		if err := fill(book, sheet, looks); err != nil {
			return nil, fmt.Errorf("sheet %s: %w", sheet.Name, err)
		}
	}
	out, err := book.WriteToBuffer()
	if err != nil {
		return nil, err
	}
	return inOrder(out.Bytes())
}

// inOrder packs an archive anew with its files by name: the library writes streamed sheets in any order.
func inOrder(data []byte) ([]byte, error) {
	archive, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, err
	}
	slices.SortFunc(archive.File, func(a, b *zip.File) int { return strings.Compare(a.Name, b.Name) })
	var out bytes.Buffer
	packed := zip.NewWriter(&out)
	for _, file := range archive.File {
		if err := packed.Copy(file); err != nil {
			return nil, err
		}
	}
	if err := packed.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// frame is what a sheet prints on every page. The format holds 255 characters: what is longer is cut there and whole on the sheet about.
func (b Book) frame(book *excelize.File, sheet string) error {
	plain := func(text string) string { return strings.ReplaceAll(text, "&", "&&") }
	header, footer := "&L"+plain(b.Programme)+"&R"+plain(b.On)+", "+plain(b.Standard), "&L"+plain(b.Caution)
	landscape, fit := "landscape", 1
	if err := book.SetPageLayout(sheet, &excelize.PageLayoutOptions{Orientation: &landscape, FitToWidth: &fit}); err != nil {
		return err
	}
	return book.SetHeaderFooter(sheet, &excelize.HeaderFooterOptions{OddHeader: cut(header), OddFooter: cut(footer)})
}

func cut(text string) string {
	const most = 250
	if runes := []rune(text); len(runes) > most {
		return strings.TrimRight(string(runes[:most]), "&")
	}
	return text
}

// looks are the styles of cells by type.
type looks struct {
	head int
	of   map[Type]int
}

func newLooks(book *excelize.File) (looks, error) {
	l := looks{of: map[Type]int{}}
	var err error
	if l.head, err = book.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true}, Alignment: &excelize.Alignment{WrapText: true, Vertical: "top"}}); err != nil {
		return l, err
	}
	for _, look := range []struct {
		of     Type
		format string
	}{{Day, "yyyy-mm-dd"}, {Instant, "yyyy-mm-dd hh:mm:ss"}, {Share, "0.0%"}} {
		if l.of[look.of], err = book.NewStyle(&excelize.Style{CustomNumFmt: &look.format, Alignment: &excelize.Alignment{Vertical: "top"}}); err != nil {
			return l, err
		}
	}
	l.of[Words], err = book.NewStyle(&excelize.Style{Alignment: &excelize.Alignment{WrapText: true, Vertical: "top"}})
	return l, err
}

// fill writes a sheet's head, which stays in sight, and its rows.
func fill(book *excelize.File, sheet Sheet, l looks) error {
	stream, err := book.NewStreamWriter(sheet.Name)
	if err != nil {
		return err
	}
	for i, f := range sheet.Fields {
		if err := stream.SetColWidth(i+1, i+1, width(sheet, i, f)); err != nil {
			return err
		}
	}
	if err := stream.SetPanes(&excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"}); err != nil {
		return err
	}
	head := make([]any, len(sheet.Fields))
	for i, f := range sheet.Fields {
		head[i] = excelize.Cell{StyleID: l.head, Value: casefile.Guarded(f.Name)}
	}
	if err := stream.SetRow("A1", head); err != nil {
		return err
	}
	for n, row := range sheet.Rows {
		cells := make([]any, len(row))
		for i, value := range row {
			if words, ok := value.(string); ok {
				value = casefile.Guarded(words)
			}
			if at, ok := value.(time.Time); ok {
				value = at.UTC()
			}
			if value != nil {
				cells[i] = excelize.Cell{StyleID: l.of[sheet.Fields[i].Type], Value: value}
			}
		}
		if err := stream.SetRow(fmt.Sprintf("A%d", n+2), cells); err != nil {
			return err
		}
	}
	return stream.Flush()
}

// width is that of a column, in characters: of its longest text within reason.
func width(sheet Sheet, i int, f Field) float64 {
	most := len([]rune(f.Name))
	for _, row := range sheet.Rows {
		if words, ok := row[i].(string); ok {
			most = max(most, len([]rune(words)))
		}
	}
	switch f.Type {
	case Instant:
		most = max(most, 18)
	case Day:
		most = max(most, 10)
	}
	return float64(min(max(most, 6), 60)) + 2
}
