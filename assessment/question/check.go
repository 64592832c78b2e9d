package question

import (
	"slices"
	"strings"
	"unicode/utf8"

	"isthmus/assessment/strict"
)

// isID reports whether s is lower-case words and numbers joined by single hyphens, at most 80 letters.
func isID(s string) bool {
	for word := range strings.SplitSeq(s, "-") {
		if word == "" || strings.Trim(word, "abcdefghijklmnopqrstuvwxyz0123456789") != "" {
			return false
		}
	}
	return len(s) <= 80
}

// checkID adds a fault unless value can name something.
func checkID(faults *strict.Faults, field, value string) {
	if !isID(value) {
		faults.Add(field, "must be lower-case words joined by hyphens")
	}
}

// checkAmong adds a fault unless value is one of the choices.
func checkAmong[T ~string](faults *strict.Faults, field string, value T, choices []T) {
	if !slices.Contains(choices, value) {
		names := make([]string, len(choices))
		for i, choice := range choices {
			names[i] = string(choice)
		}
		faults.Add(field, "%q is unknown: use one of %s", shorten(string(value)), strings.Join(names, ", "))
	}
}

// checkRange adds a fault unless low <= value <= high; not-a-number never is.
func checkRange(faults *strict.Faults, field string, value, low, high float64) {
	if !(value >= low && value <= high) {
		faults.Add(field, "must be between %g and %g, not %g", low, high, value)
	}
}

// checkText adds a fault unless value, blanks at its ends aside, has between low and high characters.
func checkText(faults *strict.Faults, field, value string, low, high int) {
	if n := utf8.RuneCountInString(strings.TrimSpace(value)); n < low || n > high {
		faults.Add(field, "must have between %d and %d characters, not %d", low, high, n)
	}
}

// shorten keeps a quoted input from flooding a message.
func shorten(s string) string {
	if utf8.RuneCountInString(s) > 40 {
		return string([]rune(s)[:40]) + "..."
	}
	return s
}
