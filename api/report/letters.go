package report

import (
	_ "embed"
	"fmt"
	"strings"
	"unicode"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
)

//go:embed fonts/AtkinsonHyperlegible-Regular.ttf
var regular []byte

//go:embed fonts/AtkinsonHyperlegible-Bold.ttf
var bold []byte

// The families: the typeface of the pages, and one for what it lacks (Greek, Cyrillic, signs of mathematics).
const (
	mainFamily  = "main"
	otherFamily = "other"
)

// letters knows which family has which letter.
type letters struct {
	main, other *sfnt.Font
	buffer      sfnt.Buffer
}

func newLetters(pdf *fpdf.Fpdf) (*letters, error) {
	var l letters
	var err error
	if l.main, err = sfnt.Parse(regular); err != nil {
		return nil, fmt.Errorf("font: %w", err)
	}
	if l.other, err = sfnt.Parse(goregular.TTF); err != nil {
		return nil, fmt.Errorf("font: %w", err)
	}
	pdf.AddUTF8FontFromBytes(mainFamily, "", regular)
	pdf.AddUTF8FontFromBytes(mainFamily, "B", bold)
	pdf.AddUTF8FontFromBytes(otherFamily, "", goregular.TTF)
	pdf.AddUTF8FontFromBytes(otherFamily, "B", gobold.TTF)
	return &l, pdf.Error()
}

// run is a stretch of text in one family.
type run struct{ family, text string }

// runs cuts a text into stretches. A letter that neither family has becomes a question mark.
func (l *letters) runs(text string) []run {
	var runs []run
	for _, r := range text {
		family := mainFamily
		switch {
		case unicode.IsControl(r) || unicode.Is(unicode.Cf, r):
			continue
		case l.has(l.main, r):
		case l.has(l.other, r):
			family = otherFamily
		default:
			r = '?'
		}
		if n := len(runs); n > 0 && runs[n-1].family == family {
			runs[n-1].text += string(r)
		} else {
			runs = append(runs, run{family, string(r)})
		}
	}
	return runs
}

func (l *letters) has(font *sfnt.Font, r rune) bool {
	glyph, err := font.GlyphIndex(&l.buffer, r)
	return err == nil && glyph != 0
}

// colour is red, green and blue, 0 to 255.
type colour [3]int

// The colours of paper, by meaning; they are those of the pages in the light.
var (
	ink   = colour{35, 42, 54}
	quiet = colour{86, 94, 110}
	rule  = colour{216, 210, 196}
	act   = colour{10, 92, 102}
	warn  = colour{160, 79, 0}
)

// style is how a text looks; size is in points.
type style struct {
	size  float64
	bold  bool
	color colour
}

var (
	titleStyle   = style{20, true, ink}
	headingStyle = style{13, true, ink}
	thirdStyle   = style{10.5, true, ink}
	bodyStyle    = style{10, false, ink}
	quietStyle   = style{8.5, false, quiet}
	cellStyle    = style{8.5, false, ink}
	headStyle    = style{8.5, true, quiet}
	frameStyle   = style{8, false, quiet}
	warnStyle    = style{8, false, warn}
	chartStyle   = style{7.5, false, quiet}
)

// high is the distance of two lines in millimetres.
func (s style) high() float64 { return s.size * 25.4 / 72 * 1.35 }

func (s style) name() string {
	if s.bold {
		return "B"
	}
	return ""
}

// width measures a text in millimetres.
func (p *paper) width(text string, s style) float64 {
	w := 0.0
	for _, r := range p.letters.runs(text) {
		p.pdf.SetFont(r.family, s.name(), s.size)
		w += p.pdf.GetStringWidth(r.text)
	}
	return w
}

// write puts a text on the page, its upper left corner at x and y.
func (p *paper) write(x, y float64, text string, s style) {
	p.pdf.SetTextColor(s.color[0], s.color[1], s.color[2])
	base := y + s.size*25.4/72*1.02
	for _, r := range p.letters.runs(text) {
		p.pdf.SetFont(r.family, s.name(), s.size)
		p.pdf.Text(x, base, r.text)
		x += p.pdf.GetStringWidth(r.text)
	}
}

// lines breaks a text at spaces, and words that are too long for a line anywhere.
func (p *paper) lines(text string, s style, wide float64) []string {
	var lines []string
	for paragraph := range strings.SplitSeq(text, "\n") {
		line := ""
		for word := range strings.FieldsSeq(paragraph) {
			longer := strings.TrimSpace(line + " " + word)
			if p.width(longer, s) <= wide {
				line = longer
				continue
			}
			if line != "" {
				lines = append(lines, line)
			}
			for line = word; p.width(line, s) > wide; {
				fits := p.fitting(line, s, wide)
				lines, line = append(lines, line[:fits]), line[fits:]
			}
		}
		lines = append(lines, line)
	}
	return lines
}

// fitting is how many bytes of a word go on a line: one letter at least.
func (p *paper) fitting(word string, s style, wide float64) int {
	fits := 0
	for i, r := range word {
		end := i + len(string(r))
		if i > 0 && p.width(word[:end], s) > wide {
			break
		}
		fits = end
	}
	return max(fits, 1)
}
