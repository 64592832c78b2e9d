package service

import (
	"context"

	"isthmus/competency"
	"isthmus/policies"
)

// AmendCase opens a signed case for its next version, with the reason: as a draft when its trainee does, as returned when its supervisor asks
// for it. What was signed counts until the same supervisor signs the next version. The error is strict.Faults, ErrStale, ErrForbidden or a
// named one of competency.
func (s *Service) AmendCase(ctx context.Context, actor Actor, programme competency.ProgrammeID, id competency.CaseID, revision int, reason string, overrides ...competency.Override) (CaseDetail, error) {
	decide := func(h *scene, c competency.Case, kept []competency.Override) (competency.Case, error) {
		return competency.Amend(c, actor.Person, reason, h.now, kept...)
	}
	return s.moveCase(ctx, actor, programme, id, revision, withReason(id, policies.Amend, reason, overrides, decide))
}

// RestoreCase gives an amendment up, with the reason: the case is again as it was signed last. The error is as of AmendCase.
func (s *Service) RestoreCase(ctx context.Context, actor Actor, programme competency.ProgrammeID, id competency.CaseID, revision int, reason string, overrides ...competency.Override) (CaseDetail, error) {
	m := withReason(id, policies.Restore, reason, overrides, func(h *scene, c competency.Case, kept []competency.Override) (competency.Case, error) {
		signed, err := h.versionOf(c.ID, c.SignedVersion)
		if err != nil {
			return c, err
		}
		return competency.Restore(c, signed, reason, h.now, kept...)
	})
	saveKept := m.also
	m.also = func(h *scene, after competency.Case) error {
		if err := saveKept(h, after); err != nil {
			return err
		}
		return h.tx.SealCase(programme, id) // the row is written anew and must verify as what was signed
	}
	return s.moveCase(ctx, actor, programme, id, revision, m)
}

// versionOf is a version of a case as it was submitted; the zero value when there is none.
func (h *scene) versionOf(id competency.CaseID, version int) (competency.SubmittedVersion, error) {
	versions, err := h.tx.CaseVersions(h.programme.ID, id)
	for _, v := range versions {
		if v.Version == version {
			return competency.SubmittedVersion{
				Version: v.Version, Record: v.Record, Computed: v.Computed, ContentHash: v.ContentHash, SubmittedAt: v.SubmittedAt,
			}, err
		}
	}
	return competency.SubmittedVersion{}, err
}

// signatureOn is the signature on a version of a case; nil when there is none.
func (h *scene) signatureOn(id competency.CaseID, version int) (*competency.SignOff, error) {
	if version == 0 {
		return nil, nil
	}
	signed, err := h.tx.SignOffs(h.programme.ID, id)
	for i := range signed {
		if signed[i].CaseVersion == version {
			return &signed[i], err
		}
	}
	return nil, err
}

// shownOf is a case as the actor may see it: an amendment that was not handed in is its trainee's own, as any draft, and everybody else sees
// the version signed last.
func (h *scene) shownOf(c competency.Case) (competency.Case, error) {
	if !c.Amending() || c.Status == competency.CaseSubmitted || h.may(policies.Draft, policies.Read, h.caseRelation(c)) == nil {
		return c, nil
	}
	signed, err := h.versionOf(c.ID, c.SignedVersion)
	if err != nil {
		return c, err
	}
	last := c.LastVersion
	c = c.AsSigned(signed)
	c.LastVersion = last
	return c, nil
}

// allShown are cases as the actor may see them.
func (h *scene) allShown(cases []competency.Case) ([]competency.Case, error) {
	shown := make([]competency.Case, len(cases))
	for i, c := range cases {
		var err error
		if shown[i], err = h.shownOf(c); err != nil {
			return nil, err
		}
	}
	return shown, nil
}
