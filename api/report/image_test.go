package report

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"isthmus/api/needs"
)

// grey is a page as it is seen: one byte a point, 255 is white.
type grey struct {
	wide, high int
	points     []byte
}

// seen paints a PDF's pages with Poppler at 50 points an inch.
func seen(t *testing.T, pdf []byte) []grey {
	t.Helper()
	painter := needs.Tool(t, "pdftoppm")
	cmd := exec.Command(painter, "-r", "50", "-gray", "-")
	cmd.Stdin = bytes.NewReader(pdf)
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	var pages []grey
	for reader := bytes.NewBuffer(out); reader.Len() > 0; {
		var page grey
		if _, err := fmt.Fscanf(reader, "P5\n%d %d\n255\n", &page.wide, &page.high); err != nil {
			t.Fatal(err)
		}
		page.points = append(page.points, reader.Next(page.wide*page.high)...)
		pages = append(pages, page)
	}
	return pages
}

// inked reports whether anything is painted in a rectangle, in millimetres.
func (g grey) inked(x1, y1, x2, y2 float64) bool {
	at := func(mm float64, most int) int { return min(max(0, int(mm*50/25.4)), most) }
	for y := at(y1, g.high); y < at(y2, g.high); y++ {
		for x := at(x1, g.wide); x < at(x2, g.wide); x++ {
			if g.points[y*g.wide+x] < 200 {
				return true
			}
		}
	}
	return false
}

// TestPagesAreSeen looks at every page as it is painted: head, caution and foot are there, and nothing leaves the margins.
func TestPagesAreSeen(t *testing.T) {
	doc := sample()
	doc.Sections[3].Blocks[0].Table.Rows[3] = []string{"2026-03-14", "averyveryverylongwordwithoutanyspacethatmustbebrokensomewhere averyveryverylongword", "123456789012345678901234567890"}
	doc.Sections[0].Blocks[0].Text += " Llanfairpwllgwyngyllgogerychwyrndrobwllllantysiliogogogochaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa."
	pdf := painted(t, doc)
	if shots := os.Getenv("ISTHMUS_SHOTS"); shots != "" {
		if err := os.WriteFile(filepath.Join(shots, "report-words.pdf"), pdf, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	pages := seen(t, pdf)
	if len(pages) < 3 {
		t.Errorf("%d pages", len(pages))
	}
	for i, page := range pages {
		for name, box := range map[string][4]float64{
			"programme": {side, 10, 90, 15}, "standard": {side, 15, 90, 20}, "caution": {side, 274, 100, 280}, "code": {side, 284, 100, 290}, "page number": {160, 284, sheetWide - side + 1, 290},
		} {
			if !page.inked(box[0], box[1], box[2], box[3]) {
				t.Errorf("page %d: no %s is seen", i+1, name)
			}
		}
		for name, box := range map[string][4]float64{"left": {0, 0, side - 1, sheetHigh}, "right": {sheetWide - side + 1.5, 0, sheetWide, sheetHigh}, "top": {0, 0, sheetWide, 9}, "foot": {0, 291, sheetWide, sheetHigh}} {
			if page.inked(box[0], box[1], box[2], box[3]) {
				t.Errorf("page %d: something stands in the %s margin", i+1, name)
			}
		}
	}
}
