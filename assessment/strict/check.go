package strict

import (
	"encoding"
	"encoding/json"
	"fmt"
	"reflect"
	"sort"
	"strconv"
	"strings"
)

// check compares a document with the Go type it is to fill and reports everything that does not fit. tag is json or yaml.
func check(root *node, into any, tag string) Faults {
	c := &checker{tag: tag}
	t := reflect.TypeOf(into)
	if t == nil || t.Kind() != reflect.Pointer {
		panic("strict: into must be a pointer")
	}
	c.value(root, t.Elem(), "")
	return c.faults
}

type checker struct {
	tag    string
	faults Faults
}

// add reports a fault where n stands, up to the limit.
func (c *checker) add(line, column int, path, format string, args ...any) {
	if len(c.faults.List) < maxFound {
		c.faults.List = append(c.faults.List, Fault{Line: line, Column: column, Field: path, Message: fmt.Sprintf(format, args...)})
	}
}

var (
	jsonReading = reflect.TypeFor[json.Unmarshaler]()
	textReading = reflect.TypeFor[encoding.TextUnmarshaler]()
)

// value checks one node against the type it is for.
func (c *checker) value(n *node, t reflect.Type, path string) {
	for t.Kind() == reflect.Pointer {
		if n.kind == null {
			return
		}
		t = t.Elem()
	}
	pointer := reflect.PointerTo(t)
	if pointer.Implements(jsonReading) || pointer.Implements(textReading) || t.Kind() == reflect.Interface {
		return // the type reads itself
	}
	want, optional := expected(t)
	if n.kind == null && optional {
		return
	}
	if n.kind != want {
		c.add(n.line, n.column, path, "must be %s, not %s%s", want, n.kind, hint(want, n.kind, c.tag))
		return
	}
	switch t.Kind() {
	case reflect.Struct:
		c.fields(n, t, path)
	case reflect.Map:
		c.repeats(n, path)
		for _, f := range n.fields {
			c.value(f.value, t.Elem(), joinPath(path, f.name))
		}
	case reflect.Array, reflect.Slice:
		if t.Kind() == reflect.Array && len(n.items) != t.Len() {
			c.add(n.line, n.column, path, "must have exactly %d items, not %d", t.Len(), len(n.items))
		}
		for i, item := range n.items {
			c.value(item, t.Elem(), fmt.Sprintf("%s[%d]", path, i))
		}
	case reflect.String, reflect.Bool:
	default:
		c.number(n, t, path)
	}
}

// expected is the kind of node a type is filled from, and whether nothing at all will do.
func expected(t reflect.Type) (want kind, optional bool) {
	switch t.Kind() {
	case reflect.Struct:
		return mapping, false
	case reflect.Map:
		return mapping, true
	case reflect.Slice:
		return list, true
	case reflect.Array:
		return list, false
	case reflect.String:
		return text, false
	case reflect.Bool:
		return boolean, false
	}
	return number, false
}

// hint says what to do about the commonest slip of each notation.
func hint(want, got kind, tag string) string {
	if tag == "yaml" && want == text && (got == number || got == boolean) {
		return ": put it in quotes"
	}
	return ""
}

// fields checks a mapping against the fields of a struct.
func (c *checker) fields(n *node, t reflect.Type, path string) {
	known := map[string]reflect.Type{}
	collect(t, c.tag, known)
	c.repeats(n, path)
	for _, f := range n.fields {
		field, ok := known[f.name]
		if !ok {
			c.add(f.line, f.column, joinPath(path, f.name), "unknown field: known here are %s", names(known))
			continue
		}
		c.value(f.value, field, joinPath(path, f.name))
	}
}

// repeats reports keys that stand twice in one mapping.
func (c *checker) repeats(n *node, path string) {
	seen := make(map[string]bool, len(n.fields))
	for _, f := range n.fields {
		if seen[f.name] {
			c.add(f.line, f.column, joinPath(path, f.name), "given twice: remove one")
		}
		seen[f.name] = true
	}
}

// number checks that a number fits its type.
func (c *checker) number(n *node, t reflect.Type, path string) {
	var err error
	switch {
	case t.Kind() >= reflect.Int && t.Kind() <= reflect.Int64:
		_, err = strconv.ParseInt(n.raw, 10, t.Bits())
	case t.Kind() >= reflect.Uint && t.Kind() <= reflect.Uint64:
		_, err = strconv.ParseUint(n.raw, 10, t.Bits())
	case t.Kind() == reflect.Float32, t.Kind() == reflect.Float64:
		if _, err = strconv.ParseFloat(n.raw, t.Bits()); err != nil {
			c.add(n.line, n.column, path, "%s is no number that can be used here", short(n.raw))
		}
		return
	}
	if err != nil {
		c.add(n.line, n.column, path, "%s must be a whole number within range, written plainly", short(n.raw))
	}
}

// collect gathers the fields of a struct by the name they have in the notation; embedded structs give theirs.
func collect(t reflect.Type, tag string, known map[string]reflect.Type) {
	for i := range t.NumField() {
		f := t.Field(i)
		name, options, _ := strings.Cut(f.Tag.Get(tag), ",")
		embedded := f.Anonymous && name == "" && f.Type.Kind() == reflect.Struct && (tag == "json" || strings.Contains(options, "inline"))
		switch {
		case name == "-":
		case embedded:
			collect(f.Type, tag, known)
		case !f.IsExported():
		case name != "":
			known[name] = f.Type
		case tag == "yaml":
			known[strings.ToLower(f.Name)] = f.Type
		default:
			known[f.Name] = f.Type
		}
	}
}

// names lists the known fields in alphabetical order.
func names(known map[string]reflect.Type) string {
	list := make([]string, 0, len(known))
	for name := range known {
		list = append(list, name)
	}
	sort.Strings(list)
	return strings.Join(list, ", ")
}

// short keeps a quoted input from flooding a message.
func short(s string) string {
	if len(s) > 40 {
		return s[:40] + "..."
	}
	return s
}
