package strict

import (
	"fmt"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// The widths of what is written, in characters.
const (
	flowWidth = 128 // a list or mapping that fits stands on one line
	textWidth = 110 // longer running text is folded
)

// WriteYAML writes a value as YAML that a person can read and that YAML reads back as the same value: structs by their yaml tags in the
// order of their fields, short lists and mappings on one line, running text folded. Empty optional fields, empty lists and nil pointers are
// left out. It knows structs, lists, arrays, texts, numbers and booleans; it panics on anything else, a mistake of the program's own.
func WriteYAML(value any) []byte {
	var w yamlWriter
	w.block(reflect.Indirect(reflect.ValueOf(value)), 0)
	return []byte(w.String())
}

// yamlWriter writes line after line.
type yamlWriter struct{ strings.Builder }

// block writes the fields of a struct, each on its own line; the first line goes on where the writer stands.
func (w *yamlWriter) block(v reflect.Value, indent int) {
	first := true
	eachField(v, func(name string, field reflect.Value) {
		if !first {
			w.WriteString(strings.Repeat(" ", indent))
		}
		first = false
		w.WriteString(name + ":")
		w.value(field, indent+2, indent+len(name)+2)
	})
	if first {
		w.WriteString("{}\n")
	}
}

// value writes what comes after a field's colon or a list's dash: on the same line if it fits, else below, indented. used is how much of
// the line is taken.
func (w *yamlWriter) value(v reflect.Value, indent, used int) {
	if line := inline(v); used+len(line) <= flowWidth || v.Kind() != reflect.Struct && v.Kind() != reflect.Slice {
		if v.Kind() == reflect.String && len(line)+used > textWidth && foldable(v.String()) {
			w.fold(v.String(), indent)
			return
		}
		w.WriteString(" " + line + "\n")
		return
	}
	margin := strings.Repeat(" ", indent)
	w.WriteString("\n")
	if v.Kind() == reflect.Struct {
		w.WriteString(margin)
		w.block(v, indent)
		return
	}
	for i := range v.Len() {
		item := reflect.Indirect(v.Index(i))
		w.WriteString(margin + "-")
		if line := inline(item); item.Kind() == reflect.Struct && indent+2+len(line) > flowWidth {
			w.WriteString(" ")
			w.block(item, indent+2)
			continue
		}
		w.value(item, indent+2, indent+2)
	}
}

// fold writes running text as a folded block, which reads back as one line.
func (w *yamlWriter) fold(text string, indent int) {
	w.WriteString(" >-\n")
	margin, line := strings.Repeat(" ", indent), ""
	for word := range strings.SplitSeq(text, " ") {
		if line != "" && indent+utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > textWidth {
			w.WriteString(margin + line + "\n")
			line = ""
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	w.WriteString(margin + line + "\n")
}

// foldable reports whether folding loses nothing of a text: printable words with single blanks between them.
func foldable(text string) bool {
	for word := range strings.SplitSeq(text, " ") {
		if word == "" || strings.ContainsFunc(word, func(r rune) bool { return !unicode.IsPrint(r) || r == utf8.RuneError }) {
			return false
		}
	}
	return true
}

// inline writes a value on one line.
func inline(v reflect.Value) string {
	switch v = reflect.Indirect(v); v.Kind() {
	case reflect.Struct:
		var parts []string
		eachField(v, func(name string, field reflect.Value) { parts = append(parts, name+": "+inline(field)) })
		return "{" + strings.Join(parts, ", ") + "}"
	case reflect.Slice, reflect.Array:
		parts := make([]string, v.Len())
		for i := range parts {
			parts[i] = inline(v.Index(i))
		}
		return "[" + strings.Join(parts, ", ") + "]"
	case reflect.String:
		return quoted(v.String())
	case reflect.Bool:
		return strconv.FormatBool(v.Bool())
	case reflect.Int, reflect.Int64:
		return strconv.FormatInt(v.Int(), 10)
	case reflect.Float64:
		return strconv.FormatFloat(v.Float(), 'f', -1, 64)
	default:
		panic(fmt.Sprintf("strict: WriteYAML knows no %s", v.Type()))
	}
}

// eachField visits the fields of a struct that are written, by their names in the notation.
func eachField(v reflect.Value, visit func(name string, field reflect.Value)) {
	for i := range v.NumField() {
		options := strings.Split(v.Type().Field(i).Tag.Get("yaml"), ",")
		field := v.Field(i)
		nothing := slices.Contains(options[1:], "omitempty") && field.IsZero() || field.Kind() == reflect.Slice && field.Len() == 0 ||
			field.Kind() == reflect.Pointer && field.IsNil()
		if !nothing {
			visit(options[0], reflect.Indirect(field))
		}
	}
}

// plain are the texts that need no quotes: words that cannot be taken for anything but text.
var plain = regexp.MustCompile(`^[a-z][a-z0-9]*(-[a-z0-9]+)*$`)

// notText are the plain words that some reader of YAML takes for a truth value or for nothing (YAML 1.1 and 1.2).
var notText = []string{"true", "false", "null", "yes", "no", "on", "off", "y", "n"}

// quoted writes a text so that it reads back as itself (YAML 1.2, section 7.3.1: double-quoted style).
func quoted(text string) string {
	if plain.MatchString(text) && !slices.Contains(notText, text) {
		return text
	}
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range text {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r == '\n':
			b.WriteString(`\n`)
		case r == '\t':
			b.WriteString(`\t`)
		case unicode.IsPrint(r):
			b.WriteRune(r)
		case r > 0xffff:
			fmt.Fprintf(&b, `\U%08x`, r)
		default:
			fmt.Fprintf(&b, `\u%04x`, r)
		}
	}
	b.WriteByte('"')
	return b.String()
}
