package strict

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"sort"
	"unicode/utf8"
)

// JSON fills into, a pointer, from data. The error is Faults with every mistake found: broken syntax, fields the type has not, fields
// given twice, wrong types, numbers that do not fit, lists of the wrong length, anything after the end. Limiting the size is the caller's.
func JSON(data []byte, into any) error {
	_, err := JSONDocument("", data, into)
	return err
}

// JSONDocument is JSON for a named file; the Document places faults of meaning that are found later. It is never nil.
func JSONDocument(file string, data []byte, into any) (*Document, error) {
	document := &Document{file: file}
	reader := &jsonReader{file: file, data: data, decoder: json.NewDecoder(bytes.NewReader(data))}
	reader.decoder.UseNumber()
	root, err := reader.read()
	if err != nil {
		return document, asFaults(file, err)
	}
	document.root = root
	if faults := check(root, into, "json"); len(faults.List) > 0 {
		return document, document.Locate(faults)
	}
	if err := json.Unmarshal(data, into); err != nil { // what only a type's own reader can refuse, for example a date
		var wrongType *json.UnmarshalTypeError
		if errors.As(err, &wrongType) {
			return document, document.Locate(Faults{List: []Fault{{Field: wrongType.Field, Message: "wrong type: " + wrongType.Value}}})
		}
		return document, asFaults(file, err)
	}
	return document, nil
}

// jsonReader builds the tree of nodes from the decoder's tokens.
type jsonReader struct {
	file    string
	data    []byte
	decoder *json.Decoder
	newline []int // offsets of line ends, found once
}

// read makes sure that data is one JSON document and nothing else, and reads it.
func (r *jsonReader) read() (*node, error) {
	if bad := invalidUTF8(r.data); bad >= 0 {
		return nil, r.fault(bad, "not UTF-8 text: save the file as UTF-8")
	}
	if len(bytes.TrimSpace(r.data)) == 0 {
		return nil, r.fault(0, "empty: expected a JSON document")
	}
	var whole json.RawMessage
	if err := json.Unmarshal(r.data, &whole); err != nil {
		var broken *json.SyntaxError
		if errors.As(err, &broken) {
			return nil, r.fault(max(int(broken.Offset)-1, 0), "not JSON: %v", err)
		}
		return nil, r.fault(0, "not JSON: %v", err)
	}
	return r.value("", 0)
}

// value reads one value with all that is in it.
func (r *jsonReader) value(path string, depth int) (*node, error) {
	n := &node{}
	n.line, n.column = r.position(r.next())
	if depth > maxDepth {
		return nil, located(r.file, n.line, n.column, path, "nested more than %d deep", maxDepth)
	}
	token, err := r.decoder.Token()
	if err != nil {
		return nil, err
	}
	switch t := token.(type) {
	case json.Delim:
		if t == '{' {
			n.kind = mapping
			return n, r.object(n, path, depth)
		}
		n.kind = list
		return n, r.array(n, path, depth)
	case bool:
		n.kind = boolean
	case json.Number:
		n.kind, n.raw = number, t.String()
	case string:
		n.kind = text
	}
	return n, nil
}

func (r *jsonReader) object(n *node, path string, depth int) error {
	for r.decoder.More() {
		f := field{}
		f.line, f.column = r.position(r.next())
		key, err := r.decoder.Token()
		if err != nil {
			return err
		}
		f.name = key.(string)
		if f.value, err = r.value(joinPath(path, f.name), depth+1); err != nil {
			return err
		}
		n.fields = append(n.fields, f)
	}
	return r.end()
}

func (r *jsonReader) array(n *node, path string, depth int) error {
	for r.decoder.More() {
		item, err := r.value(fmt.Sprintf("%s[%d]", path, len(n.items)), depth+1)
		if err != nil {
			return err
		}
		n.items = append(n.items, item)
	}
	return r.end()
}

// end reads the closing bracket of an object or array.
func (r *jsonReader) end() error {
	_, err := r.decoder.Token()
	return err
}

// next is the offset of the next token: past blanks and the separator the decoder has not consumed yet.
func (r *jsonReader) next() int {
	offset := int(r.decoder.InputOffset())
	for offset < len(r.data) && bytes.IndexByte([]byte(" \t\r\n,:"), r.data[offset]) >= 0 {
		offset++
	}
	return offset
}

func (r *jsonReader) fault(offset int, format string, args ...any) error {
	line, column := r.position(offset)
	return located(r.file, line, column, "", format, args...)
}

// position turns an offset into a line and a column, the latter in characters.
func (r *jsonReader) position(offset int) (line, column int) {
	if r.newline == nil {
		r.newline = []int{-1}
		for i, b := range r.data {
			if b == '\n' {
				r.newline = append(r.newline, i)
			}
		}
	}
	offset = min(offset, len(r.data))
	line = sort.SearchInts(r.newline, offset)
	start := r.newline[line-1] + 1
	return line, utf8.RuneCount(r.data[start:offset]) + 1
}

// invalidUTF8 is the offset of the first byte that is no UTF-8, or -1.
func invalidUTF8(data []byte) int {
	if utf8.Valid(data) {
		return -1
	}
	for offset := 0; offset < len(data); {
		r, size := utf8.DecodeRune(data[offset:])
		if r == utf8.RuneError && size == 1 {
			return offset
		}
		offset += size
	}
	return -1
}
