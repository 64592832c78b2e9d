// Package strict reads JSON and YAML so that every mistake has a place: file, line, field, what is wrong and what to do. It knows no
// noun of the domain: what is right comes from the Go type it fills.
package strict

import (
	"fmt"
	"strings"
)

// Fault is one mistake in an input.
type Fault struct {
	Line    int    `json:"line,omitempty"`   // 1-based; 0 when unknown
	Column  int    `json:"column,omitempty"` // 1-based; 0 when unknown
	Field   string `json:"field"`            // dotted path with indexes, for example lesions[2].energy
	Message string `json:"message"`          // what is wrong and what to do

	// Of words in a text that are refused: what they look like, the words, and whether a person may keep them with a reason.
	Kind     string `json:"kind,omitempty"`
	Excerpt  string `json:"excerpt,omitempty"`
	Keepable bool   `json:"keepable,omitempty"`
}

// Faults is every mistake found in one input; it is an error when it is not empty.
type Faults struct {
	File string  `json:"file,omitempty"`
	List []Fault `json:"faults"`
}

// Add appends a fault at field.
func (f *Faults) Add(field, format string, args ...any) {
	f.List = append(f.List, Fault{Field: field, Message: fmt.Sprintf(format, args...)})
}

// Join appends the faults of other, each field put under prefix ("patient.af" and "ends" give "patient.af.ends").
func (f *Faults) Join(prefix string, other Faults) {
	for _, fault := range other.List {
		fault.Field = joinPath(prefix, fault.Field)
		f.List = append(f.List, fault)
	}
}

// Err returns f as an error, or nil when there is no fault.
func (f Faults) Err() error {
	if len(f.List) == 0 {
		return nil
	}
	return f
}

// Error lists the faults, one a line, as file:line:column: field: message; what is unknown is left out.
func (f Faults) Error() string {
	lines := make([]string, len(f.List))
	for i, fault := range f.List {
		lines[i] = fault.In(f.File)
	}
	return strings.Join(lines, "\n")
}

// In writes the fault as file:line:column: field: message; what is unknown is left out.
func (f Fault) In(file string) string {
	place := file
	if f.Line > 0 {
		place = fmt.Sprintf("%s:%d:%d", file, f.Line, max(f.Column, 1))
		place = strings.TrimPrefix(place, ":")
	}
	var parts []string
	for _, part := range []string{place, f.Field, f.Message} {
		if part != "" {
			parts = append(parts, part)
		}
	}
	return strings.Join(parts, ": ")
}

// joinPath puts field under prefix: a dot between names, none before an index.
func joinPath(prefix, field string) string {
	if prefix == "" || field == "" || strings.HasPrefix(field, "[") {
		return prefix + field
	}
	return prefix + "." + field
}
