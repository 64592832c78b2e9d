package service

import (
	"context"
	"strconv"
	"time"

	"isthmus/api/store"
	"isthmus/competency"
	"isthmus/policies"
)

// SettingsView is what a programme set at one time; version 0 is how it began.
type SettingsView struct {
	Version       int                 `json:"version"`
	Settings      competency.Settings `json:"settings"`
	Reason        string              `json:"reason,omitempty"`
	CreatedBy     competency.PersonID `json:"created_by,omitempty"`
	CreatedByName string              `json:"created_by_name,omitempty"`
	CreatedAt     time.Time           `json:"created_at"` // in force from then on

	Says    []competency.SettingsLine   `json:"says"`
	Changes []competency.SettingsChange `json:"changes"` // against the version before
}

// SettingsPreview is what settings would mean.
type SettingsPreview struct {
	Says     []competency.SettingsLine    `json:"says"`
	Changes  []competency.SettingsChange  `json:"changes"`  // against what holds
	Examples []competency.SettingsExample `json:"examples"` // judged by what holds and by these
}

// SettingsVersions lists what the programme set, newest first. Only the newest holds.
func (s *Service) SettingsVersions(ctx context.Context, actor Actor, programme competency.ProgrammeID) (List[SettingsView], error) {
	list := List[SettingsView]{Items: []SettingsView{}}
	err := s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.may(policies.Settings, policies.List, policies.InProgramme); err != nil {
			return err
		}
		rows, err := h.tx.SettingsVersions(programme)
		if err != nil {
			return err
		}
		list.Items = make([]SettingsView, len(rows))
		names := map[*string]competency.PersonID{}
		for i, row := range rows {
			list.Items[i] = SettingsView{Version: row.Version, Settings: row.Settings, Reason: row.Reason, CreatedBy: row.CreatedBy, CreatedAt: row.CreatedAt}
			names[&list.Items[i].CreatedByName] = row.CreatedBy
		}
		if err := h.nameInto(names); err != nil {
			return err
		}
		began, err := h.tx.ProgrammeAsBegun(programme)
		list.Items = append(list.Items, SettingsView{Settings: began.Settings, CreatedAt: began.CreatedAt})
		for i := range list.Items {
			list.Items[i].explain(list.Items[min(i+1, len(rows))].Settings)
		}
		return err
	})
	return list, err
}

// explain puts the settings in plain words, and what they changed of those before.
func (v *SettingsView) explain(before competency.Settings) {
	v.Says, v.Changes = v.Settings.Says(), v.Settings.Differences(before)
}

// PreviewSettings says in plain words what settings would mean, and judges made-up situations by them. Nothing is kept. The error is
// strict.Faults or ErrForbidden.
func (s *Service) PreviewSettings(ctx context.Context, actor Actor, programme competency.ProgrammeID, settings competency.Settings) (SettingsPreview, error) {
	var preview SettingsPreview
	err := s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.may(policies.Settings, policies.Preview, policies.InProgramme); err != nil {
			return err
		}
		holds := h.programme.Settings
		next, _, err := nextSettings(settings, holds)
		preview = SettingsPreview{Says: next.Says(), Changes: next.Differences(holds), Examples: next.Examples(holds)}
		return err
	})
	return preview, err
}

// nextSettings are settings as they would come after those that hold, and whether anything changes. The error is strict.Faults.
func nextSettings(settings, holds competency.Settings) (competency.Settings, bool, error) {
	next, changed := settings.Changed(holds)
	if next.DatePrecision != holds.DatePrecision {
		return next, changed, fault("settings.date_precision", "stays %s: the dates on record have that precision", holds.DatePrecision)
	}
	if err := next.Validate().Err(); err != nil {
		return next, changed, under("settings", err)
	}
	return next, changed, nil
}

// ChangeSettings sets what holds in the programme from now on, as a new version; after is the version the actor saw. A rule that differs
// gets the next version of its own; what was computed and signed by the earlier one stays. The error is strict.Faults, ErrStale,
// ErrDuplicate, competency.ErrReasonMissing or ErrForbidden.
func (s *Service) ChangeSettings(ctx context.Context, actor Actor, programme competency.ProgrammeID, after int, settings competency.Settings, reason string) (SettingsView, error) {
	var view SettingsView
	err := s.write(ctx, actor, programme, "settings.change", func(h *scene) error {
		if err := h.may(policies.Settings, policies.Edit, policies.InProgramme); err != nil {
			return err
		}
		before := h.programme
		if before.SettingsVersion != after {
			return ErrStale
		}
		if err := competency.CheckReason(reason); err != nil {
			return err
		}
		next, changed, err := nextSettings(settings, before.Settings)
		if err != nil {
			return err
		}
		if !changed {
			return fault("settings", "say the same as before: nothing would change")
		}
		row := store.SettingsVersion{Programme: programme, Version: after + 1, Settings: next, Reason: reason, CreatedBy: actor.Person, CreatedAt: h.now}
		if err := h.tx.AddSettingsVersion(row); err != nil {
			return err
		}
		view = SettingsView{Version: row.Version, Settings: next, Reason: reason, CreatedBy: actor.Person, CreatedAt: h.now}
		view.explain(before.Settings)
		if err := h.nameInto(map[*string]competency.PersonID{&view.CreatedByName: actor.Person}); err != nil {
			return err
		}
		return h.tx.Audit("settings", strconv.Itoa(row.Version), before.Settings, next)
	})
	return view, err
}
