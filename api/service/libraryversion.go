package service

import (
	"context"
	"time"

	"isthmus/api/store"
	"isthmus/assessment"
	"isthmus/competency"
	"isthmus/policies"
)

// VersionSummary is a version of a scenario that went live.
type VersionSummary struct {
	Version      int                 `json:"version"`
	Status       assessment.Status   `json:"status"` // live, superseded, retired
	Title        string              `json:"title"`
	Author       competency.PersonID `json:"author,omitempty"`
	AuthorName   string              `json:"author_name"`
	Reviewer     competency.PersonID `json:"reviewer,omitempty"`
	ReviewerName string              `json:"reviewer_name,omitempty"`
	LiveFrom     time.Time           `json:"live_from,omitzero"` // absent for a starter scenario
	Reason       string              `json:"reason,omitempty"`   // why it was retired
}

// VersionView is a version of a scenario that went live, with its answers.
type VersionView struct {
	VersionSummary
	Scenario assessment.Scenario `json:"scenario"`
}

// EditionVersions lists the versions of a scenario that went live, newest first.
func (s *Service) EditionVersions(ctx context.Context, actor Actor, programme competency.ProgrammeID, id assessment.ScenarioID) (List[VersionSummary], error) {
	list := List[VersionSummary]{Items: []VersionSummary{}}
	err := s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.mayAuthor(policies.Read); err != nil {
			return err
		}
		e, err := h.edition(id)
		if err != nil {
			return err
		}
		rows, err := h.tx.ScenarioVersions(programme, id)
		if err != nil {
			return err
		}
		if starter, known := h.starter.byID[id]; known && e.Revision == 0 && (len(rows) == 0 || rows[0].Scenario.Version != starter.Version) {
			rows = append([]store.ScenarioVersion{{Scenario: starter}}, rows...)
		}
		list.Items = make([]VersionSummary, len(rows))
		for i, row := range rows {
			if list.Items[i], err = h.versionSummary(e.Edition, row); err != nil {
				return err
			}
		}
		return nil
	})
	return list, err
}

// EditionVersion gives one version of a scenario that went live, whatever has become of it since.
func (s *Service) EditionVersion(ctx context.Context, actor Actor, programme competency.ProgrammeID, id assessment.ScenarioID, version int) (VersionView, error) {
	var view VersionView
	err := s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.mayAuthor(policies.Read); err != nil {
			return err
		}
		e, err := h.edition(id)
		if err != nil {
			return err
		}
		row, err := h.version(id, version)
		if err != nil {
			return err
		}
		summary, err := h.versionSummary(e.Edition, row)
		view = VersionView{VersionSummary: summary, Scenario: row.Scenario}
		return err
	})
	return view, err
}

// version is a version that went live: kept, or the starter's.
func (h *scene) version(id assessment.ScenarioID, version int) (store.ScenarioVersion, error) {
	row, err := h.tx.ScenarioVersion(h.programme.ID, id, version)
	if err == nil {
		return row, nil
	}
	scenario, err := h.scenarioVersion(id, version)
	return store.ScenarioVersion{Scenario: scenario}, err
}

// versionSummary is what a list shows of a version.
func (h *scene) versionSummary(e assessment.Edition, row store.ScenarioVersion) (VersionSummary, error) {
	summary := VersionSummary{
		Version: row.Scenario.Version, Status: e.StatusOf(row.Scenario.Version), Title: row.Scenario.Title, Author: row.Author, Reviewer: row.ApprovedBy,
	}
	if row.ApprovedBy != "" {
		summary.LiveFrom = row.KeptAt
	}
	err := h.nameInto(map[*string]competency.PersonID{&summary.AuthorName: summary.Author, &summary.ReviewerName: summary.Reviewer})
	if err != nil {
		return summary, err
	}
	if row.Author == "" {
		summary.AuthorName = h.starter.byID[e.ID].Author
	}
	if summary.Status != assessment.Retired {
		return summary, nil
	}
	acts, err := h.tx.EditionActs(h.programme.ID, e.ID)
	for _, act := range acts {
		if act.Kind == "retire" {
			summary.Reason = act.Reason // the last one counts
		}
	}
	return summary, err
}

// EditionFile is a scenario of the library as a file in YAML: as it is worked on, or, with a version, as that went live.
func (s *Service) EditionFile(ctx context.Context, actor Actor, programme competency.ProgrammeID, id assessment.ScenarioID, version int) ([]byte, error) {
	var file []byte
	err := s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.mayAuthor(policies.Read); err != nil {
			return err
		}
		e, err := h.edition(id)
		if err != nil {
			return err
		}
		scenario := e.Scenario
		if version > 0 && version != e.Version {
			row, err := h.version(id, version)
			if err != nil {
				return err
			}
			scenario = row.Scenario
		}
		file = assessment.EncodeScenario(scenario)
		return nil
	})
	return file, err
}
