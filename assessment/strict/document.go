package strict

import (
	"errors"
	"fmt"
	"strings"
)

// Limits on everything that is read.
const (
	MaxBytes  = 1 << 20 // of one document
	maxDepth  = 64      // of lists and mappings inside one another
	maxTokens = 50_000  // of one YAML document: the library's parser needs time in the square of some inputs
	maxFound  = 100     // faults reported of one document: nobody reads more
)

// Document remembers where everything stood in an input, so that mistakes of meaning found later get a place too.
type Document struct {
	file string
	root *node
}

// Locate fills in the file, and the line and column of every fault that has none, from its field path. A field that is not in the
// document gets the place of the nearest thing round it. A document that was never read leaves the faults as they are.
func (d *Document) Locate(faults Faults) Faults {
	if d == nil || d.root == nil {
		return faults
	}
	faults.File = d.file
	located := make([]Fault, len(faults.List))
	for i, fault := range faults.List {
		if fault.Line == 0 {
			fault.Line, fault.Column = d.root.place(fault.Field)
		}
		located[i] = fault
	}
	faults.List = located
	return faults
}

// Top lists the keys of the document's outermost mapping in their order; it is how the kind of a file is recognised.
func (d *Document) Top() []string {
	if d == nil || d.root == nil {
		return nil
	}
	keys := make([]string, len(d.root.fields))
	for i, f := range d.root.fields {
		keys[i] = f.name
	}
	return keys
}

// Place is the line and the column, from 1, of what a field path names; of the nearest thing round it when it is not there, 0 when nothing
// was read.
func (d *Document) Place(field string) (line, column int) {
	if d == nil || d.root == nil {
		return 0, 0
	}
	return d.root.place(field)
}

// kind is what a node is.
type kind int

const (
	null kind = iota
	boolean
	number
	text
	list
	mapping
)

// String names the kind for people.
func (k kind) String() string {
	return [...]string{"nothing", "true or false", "a number", "text", "a list", "a mapping"}[k]
}

// node is one value of a document, whatever its notation, with its place.
type node struct {
	kind         kind
	line, column int
	raw          string // a number as written
	fields       []field
	items        []*node
}

// field is one entry of a mapping; line and column are the key's.
type field struct {
	name         string
	line, column int
	value        *node
}

// get finds a field by name.
func (n *node) get(name string) (field, bool) {
	for _, f := range n.fields {
		if f.name == name {
			return f, true
		}
	}
	return field{}, false
}

// place follows a field path such as lesions[2].energy as far as the document goes.
func (n *node) place(path string) (line, column int) {
	line, column = n.line, n.column
	for path != "" && n != nil {
		var index int
		if rest, isIndex := strings.CutPrefix(path, "["); isIndex {
			if _, err := fmt.Sscanf(rest, "%d]", &index); err != nil || index < 0 || index >= len(n.items) {
				return line, column
			}
			n = n.items[index]
			line, column = n.line, n.column
			path = path[strings.IndexByte(path, ']')+1:]
		} else {
			name := path
			if end := strings.IndexAny(path, ".["); end >= 0 {
				name = path[:end]
			}
			f, found := n.get(name)
			if !found {
				return line, column
			}
			n, line, column = f.value, f.line, f.column
			path = path[len(name):]
		}
		path = strings.TrimPrefix(path, ".")
	}
	return line, column
}

// located is a single fault as an error.
func located(file string, line, column int, path, format string, args ...any) error {
	return Faults{File: file, List: []Fault{{Line: line, Column: column, Field: path, Message: fmt.Sprintf(format, args...)}}}
}

// asFaults turns any error into Faults.
func asFaults(file string, err error) error {
	var faults Faults
	if errors.As(err, &faults) {
		return faults
	}
	return Faults{File: file, List: []Fault{{Message: err.Error()}}}
}
