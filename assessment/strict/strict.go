// Package strict reads JSON and YAML so that every mistake has a place: file, line, field, what is wrong and what to do.
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

// Err returns f as an error, or nil when there is no fault.
func (f Faults) Err() error {
	if len(f.List) == 0 {
		return nil
	}
	return f
}

// Error lists the faults, one a line, as file:line: field: message.
func (f Faults) Error() string {
	lines := make([]string, len(f.List))
	for i, fault := range f.List {
		place := f.File
		if fault.Line > 0 {
			place = fmt.Sprintf("%s:%d", place, fault.Line)
		}
		lines[i] = strings.TrimPrefix(strings.Join([]string{place, fault.Field, fault.Message}, ": "), ": ")
	}
	return strings.Join(lines, "\n")
}
