package service

import (
	"cmp"
	"context"
	"slices"

	"isthmus/competency"
	"isthmus/policies"
)

// Phrases are what an assessor said before, offered for the next sign-off: the most used first, then the latest.
type Phrases struct {
	Keep   []Phrase `json:"keep"`
	Change []Phrase `json:"change"`
}

// Phrase is a text and how often the assessor signed it.
type Phrase struct {
	Text string `json:"text"`
	Used int    `json:"used"`
}

// phrasesOffered is how many phrases are offered for a field, and their length at most, in characters: longer ones are about one case.
const (
	phrasesOffered = 4
	phraseLength   = 80
)

// Phrases gives the actor's own phrases; nobody else's.
func (s *Service) Phrases(ctx context.Context, actor Actor, programme competency.ProgrammeID) (Phrases, error) {
	phrases := Phrases{Keep: []Phrase{}, Change: []Phrase{}}
	err := s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.may(policies.Case, policies.SignOff, policies.Supervised); err != nil {
			return err
		}
		stated, err := h.tx.Statements(programme, actor.Person)
		phrases.Keep = phrasesOf(stated, func(s competency.Statement) string { return s.Keep })
		phrases.Change = phrasesOf(stated, func(s competency.Statement) string { return s.Change })
		return err
	})
	return phrases, err
}

// phrasesOf counts one field of statements, which come newest first.
func phrasesOf(stated []competency.Statement, field func(competency.Statement) string) []Phrase {
	list := []Phrase{}
	for _, s := range stated {
		text := field(s)
		if text == "" || len([]rune(text)) > phraseLength {
			continue
		}
		i := slices.IndexFunc(list, func(p Phrase) bool { return p.Text == text })
		if i < 0 {
			list = append(list, Phrase{text, 1})
			continue
		}
		list[i].Used++
	}
	slices.SortStableFunc(list, func(a, b Phrase) int { return cmp.Compare(b.Used, a.Used) })
	return list[:min(len(list), phrasesOffered)]
}
