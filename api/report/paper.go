package report

import (
	"bytes"
	"fmt"
	"time"

	"codeberg.org/go-pdf/fpdf"
)

// A4 in millimetres, with what is kept free.
const (
	sheetWide, sheetHigh = 210.0, 297.0
	side                 = 18.0
	top, bottom          = 27.0, sheetHigh - 27.0 // of what is said; the frame is outside
	inner                = sheetWide - 2*side
)

// paper is a document being painted.
type paper struct {
	pdf     *fpdf.Fpdf
	letters *letters
	doc     Document
	code    string
	of      int     // pages in all; 0 while they are counted
	y       float64 // where the next thing goes
}

// PDF paints a document with its verification code on every page. Text can be selected and searched, the outline lists the sections, the
// language is declared; the library knows no tags. The same document and code give the same bytes. The error is that of Check, or of the
// library.
func PDF(doc Document, code string) ([]byte, error) {
	if err := doc.Check(); err != nil {
		return nil, err
	}
	counted, err := paint(doc, code, 0)
	if err != nil {
		return nil, err
	}
	painted, err := paint(doc, code, counted.pdf.PageCount())
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	if err := painted.pdf.Output(&out); err != nil {
		return nil, fmt.Errorf("report %q: %w", doc.Title, err)
	}
	return out.Bytes(), nil
}

func paint(doc Document, code string, of int) (*paper, error) {
	pdf := fpdf.New("P", "mm", "A4", "")
	pdf.SetCatalogSort(true)
	made := doc.Made.UTC().Truncate(time.Second)
	pdf.SetCreationDate(made)
	pdf.SetModificationDate(made)
	pdf.SetTitle(doc.Title+": "+doc.Subject, true)
	pdf.SetSubject(doc.Standard, true)
	pdf.SetAuthor(doc.Programme, true)
	pdf.SetCreator("Isthmus", true)
	pdf.SetProducer("Isthmus", true)
	pdf.SetLang("en")
	pdf.SetAutoPageBreak(false, 0)
	known, err := newLetters(pdf)
	if err != nil {
		return nil, err
	}
	p := &paper{pdf: pdf, letters: known, doc: doc, code: code, of: of}
	p.page()
	p.say(doc.Title, titleStyle)
	p.say(doc.Subject, style{14, false, ink})
	p.y += 2
	for i, section := range doc.Sections {
		p.section(section, i == 0)
	}
	return p, pdf.Error()
}

// page begins a page with its frame: what is true of every page stands on every page.
func (p *paper) page() {
	p.pdf.AddPage()
	p.write(side, 11, p.doc.Programme, style{8, true, ink})
	p.right(sheetWide-side, 11, p.doc.Title+": "+p.doc.Subject, frameStyle)
	p.write(side, 15.5, "As of "+dayWords(p.doc.On)+". Judged by "+p.doc.Standard+".", frameStyle)
	p.line(side, 21, sheetWide-side, 21, rule, 0.3)

	y := sheetHigh - 22.0
	p.pdf.SetFillColor(warn[0], warn[1], warn[2])
	lines := p.lines(p.doc.Caution, warnStyle, inner-4)
	p.pdf.Rect(side, y, 0.8, float64(len(lines))*warnStyle.high(), "F")
	for i, line := range lines {
		p.write(side+3, y+float64(i)*warnStyle.high(), line, warnStyle)
	}
	y = sheetHigh - 11.5
	p.write(side, y, "Code "+p.code+", made "+stamp(p.doc.Made), frameStyle)
	p.right(sheetWide-side, y, fmt.Sprintf("Page %d of %d", p.pdf.PageNo(), p.of), frameStyle)
	p.y = top
}

// right writes a text that ends at x, shortened where it would run into what stands left of it.
func (p *paper) right(x, y float64, text string, s style) {
	const most = inner * 0.55
	if p.width(text, s) > most {
		text = text[:p.fitting(text, s, most-4)] + "..."
	}
	p.write(x-p.width(text, s), y, text, s)
}

func (p *paper) line(x1, y1, x2, y2 float64, c colour, wide float64) {
	p.pdf.SetDrawColor(c[0], c[1], c[2])
	p.pdf.SetLineWidth(wide)
	p.pdf.Line(x1, y1, x2, y2)
}

// need turns the page when less than so many millimetres are left.
func (p *paper) need(high float64) {
	if p.y+high > bottom && p.y > top {
		p.page()
	}
}

// say writes a paragraph.
func (p *paper) say(text string, s style) {
	for _, line := range p.lines(text, s, inner) {
		p.need(s.high())
		p.write(side, p.y, line, s)
		p.y += s.high()
	}
}

func (p *paper) section(s Section, first bool) {
	if s.NewPage && !first {
		p.page()
	}
	p.need(34) // a heading never stands alone at the foot
	if p.y > top {
		p.y += 4
	}
	p.pdf.Bookmark(s.Title, 0, p.y)
	p.say(s.Title, headingStyle)
	p.y += 1.5
	for _, block := range s.Blocks {
		p.block(block)
		p.y += 2
	}
}

func (p *paper) block(b Block) {
	switch {
	case b.Heading != "":
		p.need(32)
		p.y++
		p.say(b.Heading, thirdStyle)
	case b.Facts != nil:
		p.facts(b.Facts)
	case b.Table != nil:
		p.table(*b.Table)
	case b.Chart != nil:
		p.chart(*b.Chart)
	case b.Signature != nil:
		p.signature(*b.Signature)
	case b.Quiet:
		p.say(b.Text, quietStyle)
	default:
		p.say(b.Text, bodyStyle)
	}
}

func (p *paper) facts(facts []Fact) {
	const names = 46.0
	for _, fact := range facts {
		lines := p.lines(fact.Value, bodyStyle, inner-names)
		p.need(min(float64(len(lines)), 4) * bodyStyle.high())
		p.write(side, p.y, fact.Name, style{bodyStyle.size, false, quiet})
		for _, line := range lines {
			p.need(bodyStyle.high())
			p.write(side+names, p.y, line, bodyStyle)
			p.y += bodyStyle.high()
		}
	}
}

func (p *paper) signature(s Signature) {
	words := []string{"Signed by " + s.Name, stamp(s.At), s.Meaning}
	high := 0.0
	for _, text := range words {
		high += float64(len(p.lines(text, bodyStyle, inner-6))) * bodyStyle.high()
	}
	p.need(high + 2)
	p.line(side+1, p.y, side+1, p.y+high, act, 0.6)
	for i, text := range words {
		s := bodyStyle
		s.bold = i == 0
		for _, line := range p.lines(text, s, inner-6) {
			p.write(side+5, p.y, line, s)
			p.y += s.high()
		}
	}
}

// dayWords writes a calendar day as people do; what is none stays as it is.
func dayWords(day string) string {
	at, err := time.Parse(time.DateOnly, day)
	if err != nil {
		return day
	}
	return at.Format("2 January 2006")
}

// stamp writes an instant.
func stamp(at time.Time) string { return at.UTC().Format("2 January 2006, 15:04:05 UTC") }
