package service

import (
	"context"
	"slices"

	"isthmus/api/store"
	"isthmus/competency"
	"isthmus/policies"
)

// Rotate says at which of the programme's sites a member works and when. The error is strict.Faults, ErrForbidden or ErrNotFound.
func (s *Service) Rotate(ctx context.Context, actor Actor, programme competency.ProgrammeID, person competency.PersonID, in RotationView) (MemberRecord, error) {
	var changed MemberRecord
	err := s.write(ctx, actor, programme, "rotation.add", func(h *scene) error {
		if err := h.may(policies.Rotation, policies.Create, policies.InProgramme); err != nil {
			return err
		}
		member, err := h.member(person)
		if err != nil {
			return err
		}
		if !slices.Contains(h.programme.Settings.Sites, in.Site) {
			return fault("site", "must be a site of the programme, not %q", in.Site)
		}
		row := store.Rotation{
			ID: h.service.deps.NewID(), Programme: programme, Person: person, Site: in.Site, From: in.From, Until: in.Until, CreatedBy: actor.Person, CreatedAt: h.now,
		}
		if row.From == "" {
			row.From = h.today
		}
		if err := checkPeriod(row.From, row.Until); err != nil {
			return err
		}
		if err := freeDays(row, member.Rotations); err != nil {
			return err
		}
		if err := h.tx.CreateRotation(row); err != nil {
			return err
		}
		if err := h.tx.Audit("rotation", row.ID, nil, row); err != nil {
			return err
		}
		changed, err = h.member(person)
		return err
	})
	return changed, err
}

// freeDays refuses a rotation to a site where the member is on some of its days already. Two sites at once are possible.
func freeDays(row store.Rotation, others []RotationView) error {
	for _, other := range others {
		if other.ID != row.ID && other.Site == row.Site && overlap(row.From, row.Until, other.From, other.Until) {
			return fault("from", "there is a rotation to %s from %s already: change that one, or choose days outside it", row.Site, other.From)
		}
	}
	return nil
}

// SetRotationEnd sets the last day of a rotation; an empty one leaves it open.
func (s *Service) SetRotationEnd(ctx context.Context, actor Actor, programme competency.ProgrammeID, id string, until competency.Day) (MemberRecord, error) {
	return s.changeRotation(ctx, actor, programme, "rotation.period", policies.Edit, id, func(h *scene, row store.Rotation) error {
		after := row
		after.Until = until
		if err := checkPeriod(row.From, until); err != nil {
			return err
		}
		member, err := h.member(row.Person)
		if err != nil {
			return err
		}
		if err := freeDays(after, member.Rotations); err != nil {
			return err
		}
		if err := h.tx.EndRotation(programme, id, until); err != nil {
			return err
		}
		return h.tx.Audit("rotation", id, row, after)
	})
}

// DeleteRotation removes a rotation that was entered by mistake; the audit trail keeps that it was there.
func (s *Service) DeleteRotation(ctx context.Context, actor Actor, programme competency.ProgrammeID, id string) error {
	_, err := s.changeRotation(ctx, actor, programme, "rotation.delete", policies.Delete, id, func(h *scene, row store.Rotation) error {
		if err := h.tx.DeleteRotation(programme, id); err != nil {
			return err
		}
		return h.tx.Audit("rotation", id, row, nil)
	})
	return err
}

// changeRotation is an act on a rotation that is there.
func (s *Service) changeRotation(ctx context.Context, actor Actor, programme competency.ProgrammeID, name string, action policies.Action, id string, act func(*scene, store.Rotation) error) (MemberRecord, error) {
	var changed MemberRecord
	err := s.write(ctx, actor, programme, name, func(h *scene) error {
		if err := h.may(policies.Rotation, action, policies.InProgramme); err != nil {
			return err
		}
		row, err := h.tx.RotationByID(programme, id)
		if err != nil {
			return err
		}
		if err := act(h, row); err != nil {
			return err
		}
		changed, err = h.member(row.Person)
		return err
	})
	return changed, err
}
