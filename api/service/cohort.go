package service

import (
	"cmp"
	"context"
	"slices"

	"isthmus/api/store"
	"isthmus/assessment/atrium"
	"isthmus/competency"
	"isthmus/policies"
)

// CohortQuery says which of the programme's trainees, on which day, and over how long a trend is looked at.
type CohortQuery struct {
	On     string // calendar day; today when empty
	Year   int    // of training, from 1; 0 is all
	Site   string // where a trainee works on the day; empty is all
	Period int    // days a trend looks back, 1 to 730; 0 is 90
}

// usualPeriod is how far a trend looks back when nobody says, in days: a quarter, as long as programmes meet apart (common practice, no source).
const usualPeriod = 90

// Cohort is the programme's trainees on a day: who needs something first.
type Cohort struct {
	Standard        string              `json:"standard"`
	StandardVersion int                 `json:"standard_version"`
	On              competency.Day      `json:"on"`
	Before          competency.Day      `json:"before"`       // the day a trend is measured from
	Requirements    []CohortRequirement `json:"requirements"` // of the standard in force on the day; each trainee names their own
	Trainees        []CohortTrainee     `json:"trainees"`
	Of              int                 `json:"of"`    // trainees before any filter
	Sites           []string            `json:"sites"` // where trainees work on the day
	Years           []int               `json:"years"` // of training that there are
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

// Cohort computes where everyone stands who was a trainee on a day, those who need action first, and how that moved since. The headline
// is over the whole programme whatever the filter. The error is ErrNoStandard, strict.Faults about the query, or ErrForbidden.
func (s *Service) Cohort(ctx context.Context, actor Actor, programme competency.ProgrammeID, q CohortQuery) (Cohort, error) {
	var cohort Cohort
	err := s.read(ctx, actor, programme, func(h *scene) (err error) {
		if err := h.may(policies.Cohort, policies.Read, policies.InProgramme); err != nil {
			return err
		}
		cohort, err = h.cohort(q)
		return err
	})
	return cohort, err
}

// cohort is Cohort for whoever may see it.
func (h *scene) cohort(q CohortQuery) (Cohort, error) {
	day, err := h.dayOrToday(q.On)
	if err != nil {
		return Cohort{}, err
	}
	line, err := h.standards()
	if err != nil {
		return Cohort{}, err
	}
	standard, err := line.at(day)
	if err != nil {
		return Cohort{}, err
	}
	before := day.Add(-cmp.Or(q.Period, usualPeriod))
	judged, err := h.judgedAll(line, day, before)
	if err != nil {
		return Cohort{}, err
	}
	cohort := Cohort{
		Standard: standard.ID, StandardVersion: standard.Version, On: day, Before: before, Requirements: columns(standard), Headline: judged.headline,
		Trainees: []CohortTrainee{}, Sites: []string{}, Years: []int{}, Caution: atrium.Caution,
	}
	return cohort, h.fillRows(&cohort, judged, q)
}

// columns are the requirements of a standard as the grid heads them.
func columns(standard competency.Standard) []CohortRequirement {
	heads := make([]CohortRequirement, len(standard.Requirements))
	for i, r := range standard.Requirements {
		heads[i] = CohortRequirement{ID: r.ID, Says: r.Says(), Kind: r.Kind, Target: r.Target(), Unit: r.Unit()}
	}
	return heads
}

// fillRows puts the judged trainees into the cohort, most urgent first, then by name, with what is known of them besides.
func (h *scene) fillRows(cohort *Cohort, judged judgedCohort, q CohortQuery) error {
	trainees, err := h.tx.People(h.programme.ID, string(policies.Trainee), cohort.On)
	if err != nil {
		return err
	}
	rotations, err := h.tx.Rotations(h.programme.ID, "")
	if err != nil {
		return err
	}
	cohort.Of = len(trainees)
	for _, trainee := range trainees {
		row := judged.rows[trainee.ID]
		row.Name, row.Site = trainee.Name, siteOn(rotations, trainee.ID, cohort.On)
		if row.Site != "" && !slices.Contains(cohort.Sites, row.Site) {
			cohort.Sites = append(cohort.Sites, row.Site)
		}
		if !slices.Contains(cohort.Years, row.Year) {
			cohort.Years = append(cohort.Years, row.Year)
		}
		if (q.Year == 0 || q.Year == row.Year) && (q.Site == "" || q.Site == row.Site) {
			cohort.Trainees = append(cohort.Trainees, row)
		}
	}
	slices.Sort(cohort.Sites)
	slices.Sort(cohort.Years)
	slices.SortFunc(cohort.Trainees, func(a, b CohortTrainee) int {
		return cmp.Or(cmp.Compare(a.urgency, b.urgency), cmp.Compare(a.Name, b.Name), cmp.Compare(a.ID, b.ID))
	})
	return nil
}

// siteOn is where somebody works on a day: of several rotations the one that began last.
func siteOn(rotations []store.Rotation, person competency.PersonID, day competency.Day) string {
	site, from := "", competency.Day("")
	for _, r := range rotations {
		if r.Person == person && r.From <= day && (r.Until == "" || r.Until >= day) && r.From >= from {
			site, from = r.Site, r.From
		}
	}
	return site
}
