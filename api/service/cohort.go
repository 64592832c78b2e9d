package service

import (
	"cmp"
	"context"
	"slices"

	"isthmus/assessment/atrium"
	"isthmus/competency"
	"isthmus/policies"
)

// Cohort is the programme's trainees on a day: who needs something first.
type Cohort struct {
	Standard        string              `json:"standard"`
	StandardVersion int                 `json:"standard_version"`
	On              competency.Day      `json:"on"`
	Requirements    []CohortRequirement `json:"requirements"` // of the standard in force on the day; each standing names its own
	Trainees        []CohortTrainee     `json:"trainees"`
	Headline        Headline            `json:"headline"`
	Caution         string              `json:"caution"`
}

// CohortRequirement heads one column of the grid.
type CohortRequirement struct {
	ID     string  `json:"id"`
	Says   string  `json:"says"`
	Kind   string  `json:"kind"`
	Target float64 `json:"target"`
	Unit   string  `json:"unit"`
}

// CohortTrainee is one row of the grid.
type CohortTrainee struct {
	ID        competency.PersonID `json:"id"`
	Name      string              `json:"name"`
	Since     competency.Day      `json:"since"`
	Overall   string              `json:"overall"`
	Ready     bool                `json:"ready"`
	Attention string              `json:"attention"` // one sentence; empty when nothing is needed
	Standing  competency.Standing `json:"standing"`
	urgency   int
}

// Cohort computes the standing of everyone who was a trainee on a day (today when empty), those who need action first. The error is
// ErrNoStandard, strict.Faults about the day, or ErrForbidden.
func (s *Service) Cohort(ctx context.Context, actor Actor, programme competency.ProgrammeID, on string) (Cohort, error) {
	var cohort Cohort
	err := s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.may(policies.Cohort, policies.Read, policies.InProgramme); err != nil {
			return err
		}
		day, err := h.dayOrToday(on)
		if err != nil {
			return err
		}
		line, err := h.standards()
		if err != nil {
			return err
		}
		standard, err := line.at(day)
		if err != nil {
			return err
		}
		evidence, err := h.tx.EvidenceForAll(programme)
		if err != nil {
			return err
		}
		cohort = Cohort{Standard: standard.ID, StandardVersion: standard.Version, On: day, Requirements: columns(standard), Caution: atrium.Caution}
		if cohort.Trainees, err = h.rows(line, evidence, day); err != nil {
			return err
		}
		cohort.Headline = headline(evidence, day, h.programme.Settings)
		return nil
	})
	return cohort, err
}

// columns are the requirements of a standard as the grid heads them.
func columns(standard competency.Standard) []CohortRequirement {
	heads := make([]CohortRequirement, len(standard.Requirements))
	for i, r := range standard.Requirements {
		heads[i] = CohortRequirement{ID: r.ID, Says: r.Says(), Kind: r.Kind, Target: r.Target(), Unit: r.Unit()}
	}
	return heads
}

// rows computes every trainee's standing, most urgent first, then by name.
func (h *scene) rows(line timeline, evidence map[competency.PersonID]competency.Evidence, day competency.Day) ([]CohortTrainee, error) {
	trainees, err := h.tx.People(h.programme.ID, string(policies.Trainee), day)
	if err != nil {
		return nil, err
	}
	ever, err := h.tx.People(h.programme.ID, string(policies.Trainee), "")
	if err != nil {
		return nil, err
	}
	since := make(map[competency.PersonID]competency.Day, len(ever))
	for _, person := range ever {
		since[person.ID] = person.Since
	}
	rows := make([]CohortTrainee, len(trainees))
	for i, trainee := range trainees {
		joined := since[trainee.ID]
		standard, _, err := line.judging(trainee.ID, joined, day)
		if err != nil {
			return nil, err
		}
		own, err := h.completed(evidence[trainee.ID], trainee.ID, standard, day)
		if err != nil {
			return nil, err
		}
		standing := competency.Stand(standard, own, day)
		rows[i] = CohortTrainee{ID: trainee.ID, Name: trainee.Name, Since: joined, Overall: standing.Overall, Ready: standing.Ready, Standing: standing}
		rows[i].urgency, rows[i].Attention = attention(standing, evidence[trainee.ID], joined, day)
	}
	slices.SortFunc(rows, func(a, b CohortTrainee) int {
		return cmp.Or(cmp.Compare(a.urgency, b.urgency), cmp.Compare(a.Name, b.Name), cmp.Compare(a.ID, b.ID))
	})
	return rows, nil
}
