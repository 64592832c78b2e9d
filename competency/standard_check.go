package competency

import (
	"errors"
	"reflect"

	"isthmus/assessment/strict"
)

// ReadStandard reads a standard that may still have faults: it gives what could be read, with every fault in its place. read is false when
// the text is no standard at all: no YAML, unknown fields, numbers that are none.
func ReadStandard(data []byte) (standard Standard, faults strict.Faults, read bool) {
	document, err := strict.YAML("", data, &standard)
	if err != nil {
		if !errors.As(err, &faults) {
			faults.Add("", "%v", err)
		}
		return Standard{}, faults, false
	}
	return standard, document.Locate(standard.Validate()), true
}

// ScreenStandard reports what names a patient in the texts of a standard: its title, its note, and the comments beside its lines.
func ScreenStandard(data []byte) strict.Faults {
	var standard Standard
	document, err := strict.YAML("", data, &standard)
	if err != nil {
		return strict.Faults{}
	}
	var faults strict.Faults
	faults.Join("", Screen("title", standard.Title))
	faults.Join("", Screen("note", standard.Note))
	faults = document.Locate(faults)
	for i, line := range textLines(data) {
		for _, found := range Screen("", commentOf(line)).List {
			found.Line = i + 1
			faults.List = append(faults.List, found)
		}
	}
	return faults
}

// The ways a line of a standard can differ from an earlier version's.
const (
	LineAdded   = "added"
	LineGone    = "gone"
	LineChanged = "changed"
)

// StandardChange is one line of a standard that differs between two versions, in words.
type StandardChange struct {
	Requirement string `json:"requirement"`
	Change      string `json:"change" enum:"added,gone,changed"`
	Before      string `json:"before,omitempty"`
	After       string `json:"after,omitempty"`
}

// Differences lists the lines that a standard has otherwise than the one before: its own in their order, then those that are gone. Lines
// are the same when their ids are.
func (s Standard) Differences(before Standard) []StandardChange {
	changes := []StandardChange{}
	for _, r := range s.Requirements {
		old, found := before.requirement(r.ID)
		switch {
		case !found:
			changes = append(changes, StandardChange{Requirement: r.ID, Change: LineAdded, After: r.Says()})
		case !reflect.DeepEqual(r, old):
			changes = append(changes, StandardChange{Requirement: r.ID, Change: LineChanged, Before: old.Says(), After: r.Says()})
		}
	}
	for _, r := range before.Requirements {
		if _, kept := s.requirement(r.ID); !kept {
			changes = append(changes, StandardChange{Requirement: r.ID, Change: LineGone, Before: r.Says()})
		}
	}
	return changes
}

// requirement finds a line by its id.
func (s Standard) requirement(id string) (Requirement, bool) {
	for _, r := range s.Requirements {
		if r.ID == id {
			return r, true
		}
	}
	return Requirement{}, false
}
