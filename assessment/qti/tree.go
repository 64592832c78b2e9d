package qti

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strings"

	"isthmus/assessment/strict"
)

// element is an XML element with where it stands. One that is to be written has its prefix in the name and no namespace.
type element struct {
	space, name string
	attrs       []attr
	parts       []part // text and elements in their order
	line        int
	column      int
	parent      *element
	nth         int            // among those of its name in the parent, from 1
	named       map[string]int // how many of each name are inside so far, while it is read
}

type attr struct{ name, value string }

// part is either a text or an element.
type part struct {
	text  string
	child *element
}

// el makes an element to be written; attributes are given as name, value, name, value.
func el(name string, attrs ...string) *element {
	e := &element{name: name}
	for i := 0; i+1 < len(attrs); i += 2 {
		e.attrs = append(e.attrs, attr{attrs[i], attrs[i+1]})
	}
	return e
}

// with adds elements.
func (e *element) with(children ...*element) *element {
	for _, child := range children {
		e.parts = append(e.parts, part{child: child})
	}
	return e
}

// says adds a text.
func (e *element) says(text string) *element {
	e.parts = append(e.parts, part{text: text})
	return e
}

// attr is the value of an attribute; empty when it is not given.
func (e *element) attr(name string) string {
	for _, a := range e.attrs {
		if a.name == name {
			return a.value
		}
	}
	return ""
}

// path is where the element stands: names from the root, with a number from the second of a name on.
func (e *element) path() string {
	path := shorten(e.name)
	if e.nth > 1 {
		path += fmt.Sprintf("[%d]", e.nth)
	}
	if e.parent != nil {
		path = e.parent.path() + "/" + path
	}
	return path
}

// all are the elements of that name directly inside.
func (e *element) all(name string) []*element {
	var list []*element
	for _, p := range e.parts {
		if p.child != nil && p.child.name == name {
			list = append(list, p.child)
		}
	}
	return list
}

// find is the first element down a path of names; nil when there is none, or e is nil.
func (e *element) find(names ...string) *element {
	for _, name := range names {
		if e == nil {
			return nil
		}
		list := e.all(name)
		if len(list) == 0 {
			return nil
		}
		e = list[0]
	}
	return e
}

// deep are the elements of that name anywhere inside.
func (e *element) deep(name string) []*element {
	var list []*element
	for _, p := range e.parts {
		if p.child != nil {
			if p.child.name == name {
				list = append(list, p.child)
			}
			list = append(list, p.child.deep(name)...)
		}
	}
	return list
}

// raw is the text directly inside, exactly; empty when e is nil.
func (e *element) raw() string {
	var b strings.Builder
	if e != nil {
		for _, p := range e.parts {
			b.WriteString(p.text)
		}
	}
	return b.String()
}

// bytes writes the element as a document. Elements without text beside them get lines of their own.
func (e *element) bytes() []byte {
	var b bytes.Buffer
	b.WriteString(xml.Header)
	e.write(&b, 0)
	b.WriteByte('\n')
	return b.Bytes()
}

func (e *element) write(b *bytes.Buffer, depth int) {
	b.WriteString("<" + e.name)
	for _, a := range e.attrs {
		b.WriteString(" " + a.name + `="`)
		xml.EscapeText(b, []byte(a.value)) // a buffer takes everything
		b.WriteString(`"`)
	}
	if len(e.parts) == 0 {
		b.WriteString("/>")
		return
	}
	b.WriteString(">")
	mixed := false
	for _, p := range e.parts {
		mixed = mixed || p.child == nil
	}
	for _, p := range e.parts {
		if !mixed {
			b.WriteString("\n" + strings.Repeat("  ", depth+1))
		}
		if p.child != nil {
			p.child.write(b, depth+1)
		} else {
			xml.EscapeText(b, []byte(p.text))
		}
	}
	if !mixed {
		b.WriteString("\n" + strings.Repeat("  ", depth))
	}
	b.WriteString("</" + e.name + ">")
}

const xmlSpace = "http://www.w3.org/XML/1998/namespace"

// parse reads a document. The fault says why it cannot: a document type and entities are refused, for they can grow without end or
// point elsewhere; without them the decoder knows only the five entities of XML itself.
func parse(data []byte) (*element, *strict.Fault) {
	if len(data) > maxXML {
		return nil, &strict.Fault{Message: fmt.Sprintf("is larger than %d bytes", maxXML)}
	}
	decoder := xml.NewDecoder(bytes.NewReader(data))
	var root *element
	var open []*element
	count := 0
	for {
		line, column := decoder.InputPos()
		token, err := decoder.Token()
		if errors.Is(err, io.EOF) {
			if root == nil {
				return nil, &strict.Fault{Line: 1, Message: "holds no XML element"}
			}
			return root, nil
		}
		fault := func(format string, args ...any) (*element, *strict.Fault) {
			return nil, &strict.Fault{Line: line, Column: column, Message: fmt.Sprintf(format, args...)}
		}
		if err != nil {
			return fault("is no XML that can be read: %s", strings.TrimPrefix(err.Error(), "XML syntax error on "))
		}
		switch t := token.(type) {
		case xml.Directive:
			return fault("has a document type or an entity (<!%s): such files are not read; save it without", shorten(string(t)))
		case xml.StartElement:
			if count++; count > maxElements {
				return fault("has more than %d elements", maxElements)
			}
			if len(open) == maxDepth {
				return fault("nests elements deeper than %d", maxDepth)
			}
			if root != nil && len(open) == 0 {
				return fault("has a second root element <%s>", shorten(t.Name.Local))
			}
			if len(t.Attr) > maxAttrs {
				return fault("<%s> has more than %d attributes", shorten(t.Name.Local), maxAttrs)
			}
			e := started(t, open, line, column)
			if e == nil {
				return fault("<%s> has an attribute twice", shorten(t.Name.Local))
			}
			if root == nil {
				root = e
			}
			open = append(open, e)
		case xml.EndElement:
			open = open[:len(open)-1]
		case xml.CharData:
			if len(open) > 0 {
				open[len(open)-1].says(string(t))
			} else if collapse(string(t)) != "" {
				return fault("has text outside the root element")
			}
		}
	}
}

// started makes the element of a start tag and puts it into the one that is open; nil when an attribute is given twice.
func started(t xml.StartElement, open []*element, line, column int) *element {
	e := &element{space: t.Name.Space, name: t.Name.Local, line: line, column: column, nth: 1}
	for _, a := range t.Attr {
		name := a.Name.Local
		switch {
		case a.Name.Space == xmlSpace || a.Name.Space == "xml":
			name = "xml:" + name
		case a.Name.Space != "" || name == "xmlns":
			continue // declarations, and attributes of others
		}
		for _, before := range e.attrs {
			if before.name == name {
				return nil
			}
		}
		e.attrs = append(e.attrs, attr{name, a.Value})
	}
	if len(open) > 0 {
		parent := open[len(open)-1]
		if parent.named == nil {
			parent.named = map[string]int{}
		}
		parent.named[e.name]++
		e.parent, e.nth = parent, parent.named[e.name]
		parent.with(e)
	}
	return e
}

// shorten keeps a quoted input from flooding a message.
func shorten(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "..."
	}
	return s
}
