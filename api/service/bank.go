package service

import (
	"fmt"
	"slices"
	"sync"

	"isthmus/assessment"
	"isthmus/assessment/question"
	"isthmus/competency"
)

// bankMemo remembers the bank of each programme, which is slow to put together and rarely changes. It can be lost at any time.
type bankMemo struct {
	mu    sync.Mutex
	known map[competency.ProgrammeID]rememberedBank
}

// rememberedBank is a bank with the versions of the programme's own that it was made of: as a version never changes, the same ones make
// the same bank.
type rememberedBank struct {
	own  []question.Ref
	bank question.Bank
}

func (m *bankMemo) get(programme competency.ProgrammeID, own []question.Ref) (question.Bank, bool) {
	m.mu.Lock()
	defer m.mu.Unlock()
	kept, found := m.known[programme]
	return kept.bank, found && slices.Equal(kept.own, own)
}

func (m *bankMemo) put(programme competency.ProgrammeID, own []question.Ref, bank question.Bank) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.known == nil {
		m.known = map[competency.ProgrammeID]rememberedBank{}
	}
	m.known[programme] = rememberedBank{own, bank}
}

// bank is what the programme asks: the starter items it has not touched, and its own that are live.
func (h *scene) bank() (question.Bank, error) {
	own, err := h.tx.QuestionsAsked(h.programme.ID)
	if err != nil {
		return question.Bank{}, err
	}
	if bank, found := h.service.banks.get(h.programme.ID, own); found {
		return bank, nil
	}
	items, err := h.liveQuestions()
	if err != nil {
		return question.Bank{}, err
	}
	bank, err := question.NewBank(items)
	if err != nil {
		return bank, fmt.Errorf("bank of %s: %w", h.programme.ID, err)
	}
	h.service.banks.put(h.programme.ID, own, bank)
	return bank, nil
}

// liveQuestions are the questions the programme asks: its own in the version that is live, and the starter ones it has not touched.
func (h *scene) liveQuestions() ([]question.Item, error) {
	own, err := h.tx.QuestionsAsked(h.programme.ID)
	if err != nil {
		return nil, err
	}
	items, err := h.tx.LiveQuestions(h.programme.ID)
	if err != nil {
		return nil, err
	}
	for _, it := range question.Starter().Items() {
		touched := slices.ContainsFunc(own, func(ref question.Ref) bool { return ref.Item == it.ID })
		if !touched && it.Status == assessment.Live {
			items = append(items, it)
		}
	}
	return items, nil
}
