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
