package qti

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"isthmus/assessment/strict"
)

const blanks = " \t\r\n" // white space of XML

// collapse makes every run of white space one blank and trims the ends, as a browser shows text outside <pre>.
func collapse(s string) string {
	return strings.Join(strings.FieldsFunc(s, func(r rune) bool { return strings.ContainsRune(blanks, r) }), " ")
}

// flow is a text as a block: a paragraph, or <pre> where its white space would be lost otherwise.
func flow(text string) *element {
	if collapse(text) != text {
		return el("pre").says(text)
	}
	return el("p").says(text)
}

// within puts a text into an element that takes text as well as blocks.
func within(e *element, text string) *element {
	if collapse(text) != text {
		return e.with(flow(text))
	}
	return e.says(text)
}

// carried reports whether XML 1.0 can hold the text (section 2.2, Characters).
func carried(text string) bool {
	if !utf8.ValidString(text) {
		return false
	}
	for _, r := range text {
		if r < ' ' && !strings.ContainsRune(blanks, r) || r == 0xFFFE || r == 0xFFFF {
			return false
		}
	}
	return true
}

// HTML elements whose text is kept; the mark-up itself is not. Superscripts, pictures, tables and formulas are none of them: their text
// alone would say something else (10 to the power of 2 would become 102).
var (
	blockNames  = names("p div blockquote ul ol li dl dt dd h1 h2 h3 h4 h5 h6 section article header footer figure figcaption qti-content-body")
	inlineNames = names("span em strong b i u small q cite code abbr dfn kbd samp var a bdi bdo")
)

func names(list string) map[string]bool {
	set := map[string]bool{}
	for _, name := range strings.Fields(list) {
		set[name] = true
	}
	return set
}

// gatherer collects the text of blocks, a line for each.
type gatherer struct {
	lines   []string
	current strings.Builder
	special func(e *element) bool // takes an element that is no text; false leaves it to be refused
	refuse  func(fault strict.Fault)
}

// end closes the line that is being collected.
func (g *gatherer) end() {
	if line := collapse(g.current.String()); line != "" {
		g.lines = append(g.lines, line)
	}
	g.current.Reset()
}

// inside collects what stands in e.
func (g *gatherer) inside(e *element) {
	for _, p := range e.parts {
		switch c := p.child; {
		case c == nil:
			g.current.WriteString(p.text)
		case c.name == "pre":
			g.end()
			g.lines = append(g.lines, c.raw())
			for _, inner := range c.parts {
				if inner.child != nil {
					g.refuse(inner.child.fault("cannot be kept inside <pre>"))
				}
			}
		case c.name == "br":
			g.end()
		case blockNames[c.name]:
			g.end()
			g.inside(c)
			g.end()
		case inlineNames[c.name]:
			g.inside(c)
		case g.special != nil && g.special(c):
		default:
			g.refuse(c.fault("cannot be kept: an item holds text only, without pictures, tables, formulas or raised figures"))
		}
	}
}

// text is all that was collected.
func (g *gatherer) text() string {
	g.end()
	return strings.Join(g.lines, "\n")
}

// fault is a mistake at the element.
func (e *element) fault(format string, args ...any) strict.Fault {
	return strict.Fault{Line: e.line, Column: e.column, Field: e.path(), Message: fmt.Sprintf(format, args...)}
}
