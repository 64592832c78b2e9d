package service

import (
	"context"

	"isthmus/api/store"
	"isthmus/competency"
	"isthmus/policies"
)

// AuditEntries lists the programme's audit trail, newest first: who did what to which object when. The hashes chain each entry to the one
// before it; the contents themselves are not in it.
func (s *Service) AuditEntries(ctx context.Context, actor Actor, programme competency.ProgrammeID, page store.Page) (List[store.AuditEntry], error) {
	list := List[store.AuditEntry]{Items: []store.AuditEntry{}}
	err := s.read(ctx, actor, programme, func(h *scene) (err error) {
		if err := h.may(policies.Audit, policies.List, policies.InProgramme); err != nil {
			return err
		}
		list.Items, list.Next, err = h.tx.AuditEntries(programme, page)
		return err
	})
	return list, err
}
