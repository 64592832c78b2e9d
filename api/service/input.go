package service

import (
	"errors"
	"fmt"
	"unicode/utf8"

	"isthmus/assessment/strict"
	"isthmus/competency"
)

// maxNote is the length of a plan's note, in characters.
const maxNote = 2000

// under puts the field of every fault of err under prefix, so that it points into the input of the act. Other errors pass.
func under(prefix string, err error) error {
	var faults strict.Faults
	if !errors.As(err, &faults) {
		return err
	}
	var placed strict.Faults
	placed.Join(prefix, faults)
	return placed
}

// fault is the error for one wrong field.
func fault(field, format string, args ...any) error {
	var faults strict.Faults
	faults.Add(field, format, args...)
	return faults
}

// screen refuses free text that is too long or names a patient, with the reason of each finding.
func screen(field, text string, most int) error {
	var faults strict.Faults
	if length := utf8.RuneCountInString(text); length > most {
		faults.Add(field, "must be at most %d characters, not %d", most, length)
		return faults
	}
	screenInto(&faults, field, text)
	return faults.Err()
}

// screenKept is screen for a text in which a person may keep what the screen stops.
func screenKept(field, text string, most int, kept []competency.Override) error {
	var faults strict.Faults
	if length := utf8.RuneCountInString(text); length > most {
		faults.Add(field, "must be at most %d characters, not %d", most, length)
		return faults
	}
	return competency.Screen(field, text, kept...).Err()
}

// screenInto adds a fault with the reason for everything in a free text that names a patient.
func screenInto(faults *strict.Faults, field, text string) {
	for _, finding := range competency.PrivacyScreen(text) {
		faults.Add(field, "%q: %s", finding.Excerpt, finding.Reason)
	}
}

// dayOrToday reads the day a standing is asked for: today when empty, never later.
func (h *scene) dayOrToday(text string) (competency.Day, error) {
	if text == "" {
		return h.today, nil
	}
	day, err := competency.ParseDay(text)
	if err != nil {
		return "", fault("on", "%v", err)
	}
	if day > h.today {
		return "", fault("on", "%s is in the future: a standing rests on what is on record", day)
	}
	return day, nil
}

// missing says which thing was not found.
func missing(thing string) error { return fmt.Errorf("%s: %w", thing, ErrNotFound) }
