package service

import (
	"cmp"
	"context"
	"crypto/sha256"
	"fmt"
	"slices"

	"isthmus/api/store"
	"isthmus/assessment/atrium"
	"isthmus/competency"
	"isthmus/policies"
)

// CohortFigures are the cohort's figures of today without names, for an external reviewer. A count below the programme's limit is absent,
// and others with it from which it could be worked out.
type CohortFigures struct {
	On           competency.Day       `json:"on"`
	Limit        int                  `json:"limit"`              // counts below it are not told
	Trainees     *int                 `json:"trainees,omitempty"` // absent: fewer than the limit, and then nothing else is told
	Requirements []RequirementFigures `json:"requirements"`
	Headline     []string             `json:"headline"`
	Rows         []FiguresRow         `json:"rows,omitempty"` // only when the director chose so
	Caution      string               `json:"caution"`
}

// RequirementFigures counts the trainees in each state on one requirement.
type RequirementFigures struct {
	CohortRequirement
	States []StateTold `json:"states,omitempty"` // absent beside rows, from which anybody counts
}

// StateTold is how many trainees are in a state; an absent count is not told.
type StateTold struct {
	State competency.State `json:"state"`
	Count *int             `json:"count,omitempty"`
}

// FiguresRow is one trainee without a name. The numbers stay with the trainees for as long as the choice holds, and say nothing of the order
// of names or years.
type FiguresRow struct {
	Name  string       `json:"name"`
	Lines []CohortLine `json:"lines"`
}

// statesTold is the order in which states are counted, the best first.
var statesTold = []competency.State{competency.Met, competency.OnCourse, competency.Short, competency.Lapsed, competency.NotEnoughData}

// Figures gives the cohort's figures to a reviewer whose invitation chose them. The error is ErrNoStandard or ErrForbidden.
func (s *Service) Figures(ctx context.Context, actor Actor, programme competency.ProgrammeID) (CohortFigures, error) {
	var figures CohortFigures
	err := s.read(ctx, actor, programme, func(h *scene) error {
		relation := policies.InProgramme
		if h.viewing != nil && h.viewing.Figures != store.FiguresNone {
			relation = policies.Reviewed
		}
		if err := h.mayRead(policies.Figures, policies.Read, relation, string(programme)); err != nil {
			return err
		}
		cohort, err := h.cohort(CohortQuery{})
		if err == nil {
			figures = figuresOf(cohort, *h.viewing, h.programme.Settings.Filled().SmallCells)
		}
		return err
	})
	return figures, err
}

// figuresOf takes the names out of a cohort, and every count below the limit.
func figuresOf(cohort Cohort, viewing store.Viewing, limit int) CohortFigures {
	f := CohortFigures{On: cohort.On, Limit: limit, Requirements: []RequirementFigures{}, Headline: []string{}, Caution: atrium.Caution}
	trainees := len(cohort.Trainees)
	if trainees < limit {
		return f
	}
	f.Trainees = &trainees
	rows := viewing.Figures == store.FiguresRows
	for _, r := range cohort.Requirements {
		one := RequirementFigures{CohortRequirement: r}
		if !rows {
			one.States = statesOf(cohort.Trainees, r.ID, limit)
		}
		f.Requirements = append(f.Requirements, one)
	}
	f.Headline = headlineTold(cohort.Headline, limit)
	if rows {
		f.Rows = rowsWithoutNames(cohort.Trainees, viewing.ID)
	}
	return f
}

// statesOf counts the trainees in each state on a requirement.
func statesOf(trainees []CohortTrainee, requirement string, limit int) []StateTold {
	counts := make([]int, len(statesTold))
	for _, trainee := range trainees {
		for _, line := range trainee.Lines {
			if at := slices.Index(statesTold, line.State); line.Requirement == requirement && at >= 0 {
				counts[at]++
			}
		}
	}
	hidden, _ := competency.HideSmall(counts, limit)
	states := make([]StateTold, len(counts))
	for i := range counts {
		states[i].State = statesTold[i]
		if !hidden[i] {
			states[i].Count = &counts[i]
		}
	}
	return states
}

// headlineTold is what may be said of the headline: a sentence with a count below the limit, or from which one follows, is left out.
func headlineTold(h Headline, limit int) []string {
	told := []string{}
	small := func(counts ...int) bool {
		hidden, total := competency.HideSmall(counts, limit)
		return total || slices.Contains(hidden, true)
	}
	if s := h.ScopeLeftOut; s.N > 0 && !small(s.Count, s.N-s.Count) {
		told = append(told, s.Says)
	}
	if w := h.SignOffWait; w.N > 0 && !small(w.N) && !small(w.Late, w.Waiting-w.Late) {
		told = append(told, fmt.Sprintf("Half of %d cases were signed off within %g days; %d wait, %d of them late.", w.N, w.MedianDays, w.Waiting, w.Late))
	}
	return told
}

// rowsWithoutNames numbers the trainees in an order that only the choice's own id determines.
func rowsWithoutNames(trainees []CohortTrainee, salt string) []FiguresRow {
	order := func(t CohortTrainee) string {
		sum := sha256.Sum256([]byte(salt + " " + string(t.ID)))
		return string(sum[:])
	}
	mixed := slices.Clone(trainees)
	slices.SortFunc(mixed, func(a, b CohortTrainee) int { return cmp.Compare(order(a), order(b)) })
	rows := make([]FiguresRow, len(mixed))
	for i, trainee := range mixed {
		rows[i] = FiguresRow{Name: fmt.Sprintf("Trainee %d", i+1), Lines: trainee.Lines}
	}
	return rows
}
