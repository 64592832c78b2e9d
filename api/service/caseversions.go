package service

import (
	"context"
	"time"

	"isthmus/assessment/atrium"
	"isthmus/competency"
	"isthmus/policies"
)

// CaseVersion is a case as it was submitted: who did it, when, why it was changed, and the signature on it.
type CaseVersion struct {
	Version     int                 `json:"version"`
	Record      competency.Record   `json:"record"`
	Computed    competency.Computed `json:"computed"`
	ContentHash string              `json:"content_hash"`
	SubmittedAt time.Time           `json:"submitted_at"`
	SubmittedBy competency.PersonID `json:"submitted_by"`
	ByName      string              `json:"by_name"`
	Opened      *CaseAct            `json:"opened,omitempty"`   // the amendment or the return that asked for it, with the reason; absent for the first
	SignOff     *competency.SignOff `json:"sign_off,omitempty"` // absent while it is not signed
	Counts      bool                `json:"counts"`             // whether it is the one that counts: signed last, and the case is not withdrawn
}

// CaseVersions are the versions of a case, first version first.
type CaseVersions struct {
	Items   []CaseVersion `json:"items"`
	Caution string        `json:"caution"`
}

// CaseVersions lists what was submitted of a case. Nothing of a draft is in it. The error is ErrNotFound or ErrForbidden.
func (s *Service) CaseVersions(ctx context.Context, actor Actor, programme competency.ProgrammeID, id competency.CaseID) (CaseVersions, error) {
	list := CaseVersions{Items: []CaseVersion{}, Caution: atrium.Caution}
	err := s.read(ctx, actor, programme, func(h *scene) error {
		c, err := h.tx.CaseByID(programme, id)
		if err != nil {
			return err
		}
		if err := h.mayCase(c, policies.Read); err != nil {
			return err
		}
		list.Items, err = h.caseVersions(c)
		return err
	})
	return list, err
}

// caseVersions gathers the versions of a case.
func (h *scene) caseVersions(c competency.Case) ([]CaseVersion, error) {
	submitted, err := h.tx.CaseVersions(h.programme.ID, c.ID)
	if err != nil {
		return nil, err
	}
	signed, err := h.tx.SignOffs(h.programme.ID, c.ID)
	if err != nil {
		return nil, err
	}
	signatures := map[int]*competency.SignOff{}
	for i := range signed {
		signatures[signed[i].CaseVersion] = &signed[i]
	}
	openings, err := h.openings(c.ID)
	if err != nil {
		return nil, err
	}
	items := make([]CaseVersion, len(submitted))
	names := map[*string]competency.PersonID{}
	for i, v := range submitted {
		items[i] = CaseVersion{
			Version: v.Version, Record: v.Record, Computed: v.Computed, ContentHash: v.ContentHash, SubmittedAt: v.SubmittedAt, SubmittedBy: c.Trainee,
			Opened: openings[v.Version], SignOff: signatures[v.Version], Counts: v.Version == c.SignedVersion && c.Status != competency.CaseWithdrawn,
		}
		names[&items[i].ByName] = c.Trainee
	}
	return items, h.nameInto(names)
}

// openings are the amendments and returns that led to a case's versions, by version. One that was given up led to none.
func (h *scene) openings(id competency.CaseID) (map[int]*CaseAct, error) {
	acts, err := h.tx.CaseActs(h.programme.ID, id)
	if err != nil {
		return nil, err
	}
	led := map[int]*CaseAct{}
	var open *CaseAct
	for _, act := range acts {
		switch policies.Action(act.Kind) {
		case policies.Amend, policies.Return:
			open = &CaseAct{Kind: act.Kind, By: act.By, ByName: act.ByName, At: act.At, Reason: act.Reason, Version: act.Version}
		case policies.Restore:
			open = nil
		case policies.Submit:
			led[act.Version], open = open, nil
		}
	}
	return led, nil
}
