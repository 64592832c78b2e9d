package qti

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"strings"
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

// shorten keeps a quoted input from flooding a message.
func shorten(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "..."
	}
	return s
}
