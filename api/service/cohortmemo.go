package service

import (
	"sync"

	"isthmus/competency"
)

// cohortsKept is how many judged cohorts a process remembers: a few programmes, a few days each.
const cohortsKept = 32

// cohortKey names a judged cohort. Every write appends to its programme's audit chain, in its own transaction, so the last entry stands for all
// that a judgement rests on: with the same one nothing can have changed, and after any write the key is another. What an external reviewer
// reads is on the chain too, and changes nothing: such entries are passed over.
type cohortKey struct {
	programme   competency.ProgrammeID
	change      string
	day, before competency.Day
}

// cohortMemo remembers the cohorts judged last. It can be lost at any time: what is not in it is judged again.
type cohortMemo struct {
	mu    sync.Mutex
	known map[cohortKey]judgedCohort
	order []cohortKey // oldest use first
}

func (m *cohortMemo) get(key cohortKey) (judgedCohort, bool) {
	m.mu.Lock()
	defer m.mu.Unlock()
	judged, found := m.known[key]
	if found {
		m.touch(key)
	}
	return judged, found
}

func (m *cohortMemo) put(key cohortKey, judged judgedCohort) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.known == nil {
		m.known = map[cohortKey]judgedCohort{}
	}
	m.known[key] = judged
	m.touch(key)
	for len(m.order) > cohortsKept {
		delete(m.known, m.order[0])
		m.order = m.order[1:]
	}
}

// touch makes a key the one used last.
func (m *cohortMemo) touch(key cohortKey) {
	kept := m.order[:0]
	for _, k := range m.order {
		if k != key {
			kept = append(kept, k)
		}
	}
	m.order = append(kept, key)
}

// judgedAll is judgeAll, remembered for as long as nothing is written in the programme.
func (h *scene) judgedAll(line timeline, day, before competency.Day) (judgedCohort, error) {
	change, err := h.tx.LastChange(h.programme.ID, viewingRead)
	if err != nil {
		return judgedCohort{}, err
	}
	key := cohortKey{h.programme.ID, change, day, before}
	if judged, found := h.service.cohorts.get(key); found {
		return judged, nil
	}
	judged, err := h.judgeAll(line, day, before)
	if err == nil {
		h.service.cohorts.put(key, judged)
	}
	return judged, err
}
