package service

import (
	"encoding/json"
	"fmt"
	"slices"
	"unicode/utf8"

	"isthmus/assessment"
	"isthmus/assessment/strict"
	"isthmus/competency"
)

// Limits of a plan that is saved while it is in work.
const (
	maxDraftBytes = 200_000 // as JSON; the largest valid plan, atrium.MostLesions with atrium.MostPoints, takes less
	maxDraftWord  = 100     // characters of a text in it that is to be a word of a list
)

// screenDraft refuses a plan in work that is too large to keep, and texts in it that are too long or name a patient. A draft need not be
// valid, so the note is not the only field that could hold free text.
func screenDraft(place string, plan assessment.Plan, kept ...competency.Override) error {
	data, err := json.Marshal(plan)
	if err != nil {
		return fmt.Errorf("draft: %w", err)
	}
	if len(data) > maxDraftBytes {
		return fault(place, "must be at most %d bytes, not %d", maxDraftBytes, len(data))
	}
	if err := under(place, screenKept("note", plan.Note, maxNote, kept)); err != nil {
		return err
	}
	plan.Note = ""
	if data, err = json.Marshal(plan); err != nil {
		return fmt.Errorf("draft: %w", err)
	}
	var tree any
	if err := json.Unmarshal(data, &tree); err != nil {
		return fmt.Errorf("draft: %w", err)
	}
	var faults strict.Faults
	screenTree(&faults, place, tree)
	return faults.Err()
}

// screenTree goes through every text of a JSON value, keys in order.
func screenTree(faults *strict.Faults, field string, value any) {
	switch v := value.(type) {
	case string:
		if n := utf8.RuneCountInString(v); n > maxDraftWord {
			faults.Add(field, "must be at most %d characters, not %d", maxDraftWord, n)
			return
		}
		screenInto(faults, field, v)
	case []any:
		for i, item := range v {
			screenTree(faults, fmt.Sprintf("%s[%d]", field, i), item)
		}
	case map[string]any:
		keys := make([]string, 0, len(v))
		for key := range v {
			keys = append(keys, key)
		}
		slices.Sort(keys)
		for _, key := range keys {
			screenTree(faults, field+"."+key, v[key])
		}
	}
}
