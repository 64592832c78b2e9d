package service

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"isthmus/assessment/atrium"
	"isthmus/competency"
)

// PracticeBehind is what stands behind one number of practice.
type PracticeBehind struct {
	On      competency.Day           `json:"on"`
	Side    string                   `json:"side"`
	Says    string                   `json:"says"` // what the hits are
	Share   competency.PracticeShare `json:"share"`
	Items   []PracticeItem           `json:"items"` // the hits, or all the share is counted of; oldest first
	Caution string                   `json:"caution"`
}

// PracticeBehind lists the operations or plans behind a number of Practice with the same choice: those it counts as hits or, with all, everything
// it is counted of. of is the Of of a share. The error is ErrNotFound where there is no such share, or one of Practice.
func (s *Service) PracticeBehind(ctx context.Context, actor Actor, programme competency.ProgrammeID, choice PracticeChoice, side, of string, all bool) (PracticeBehind, error) {
	answer := PracticeBehind{Side: side, Items: []PracticeItem{}, Caution: atrium.Caution}
	err := s.practiceRead(ctx, actor, programme, choice, func(h *scene, filter competency.PracticeFilter) error {
		counted, describe, err := h.operated(filter)
		if err != nil {
			return err
		}
		if _, err := h.practiceSites(filter, counted); err != nil {
			return err
		}
		if side == Planned {
			if counted, describe, err = h.planned(); err != nil {
				return err
			}
		}
		answer.On = filter.On
		for share, says := range competency.PracticeOf(counted, filter).Shares() {
			if share.Of == of {
				answer.Share, answer.Says = share, says
			}
		}
		if answer.Share.Of == "" {
			return fmt.Errorf("share %q of what was %s: %w", of, side, ErrNotFound)
		}
		ids := answer.Share.IDs
		if all {
			ids = answer.Share.All
		}
		wanted := make(map[string]bool, len(ids))
		for _, id := range ids {
			wanted[id] = true
		}
		for i, d := range counted {
			if !wanted[d.ID] {
				continue
			}
			item, err := describe(i)
			if err != nil {
				return err
			}
			answer.Items = append(answer.Items, item)
		}
		slices.SortFunc(answer.Items, func(a, b PracticeItem) int { return cmp.Or(cmp.Compare(a.On, b.On), cmp.Compare(a.ID, b.ID)) })
		return nil
	})
	return answer, err
}
