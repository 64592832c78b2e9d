package service

import (
	"strings"

	"isthmus/api/store"
	"isthmus/competency"
)

// keptNotes are the notes on record that keep words past the privacy screen, with the kinds that were overridden. A log that was exported comes
// in again with such a note, word for word, and is not asked for the reason a second time.
type keptNotes map[string][]string

// importedNote is the reason put on record for words that come in again.
const importedNote = "It stands so, with a reason on record, in a case logged before."

// keptNotes finds the notes of cases that keep something.
func (h *scene) keptNotes(logged []competency.Case) (keptNotes, error) {
	notes := keptNotes{}
	for _, c := range logged {
		note := strings.TrimSpace(c.Record.Note)
		if note == "" || len(competency.PrivacyScreen(note)) == 0 {
			continue
		}
		kinds, err := h.tx.OverrideKinds(h.programme.ID, "case", string(c.ID), "note")
		if err != nil {
			return nil, err
		}
		if len(kinds) > 0 {
			notes[note] = kinds
		}
	}
	return notes, nil
}

// keptNotesOf are those of what a person may import.
func (h *scene) keptNotesOf(i store.Import) (keptNotes, error) {
	filter := store.CaseFilter{Trainee: i.By}
	if !i.Own {
		filter.Trainee = ""
	}
	logged, err := h.allCases(filter)
	if err != nil {
		return nil, err
	}
	return h.keptNotes(logged)
}

// of is what the privacy screen may leave in a note.
func (k keptNotes) of(note string) []competency.Override {
	note = strings.TrimSpace(note)
	return competency.Kept("note", note, k[note])
}

// saveKeptNotes puts on record what the notes of imported cases keep.
func (h *scene) saveKeptNotes(notes keptNotes, imported []store.ImportedCase) error {
	if len(notes) == 0 {
		return nil
	}
	for _, one := range imported {
		kept := notes.of(one.Case.Record.Note)
		for k := range kept {
			kept[k].Reason = importedNote
		}
		if err := h.saveKept(recordOf(one.Case.ID), kept, noteOf(one.Case)); err != nil {
			return err
		}
	}
	return nil
}
