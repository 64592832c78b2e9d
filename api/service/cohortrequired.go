package service

import (
	"fmt"

	"isthmus/api/chart"
	"isthmus/competency"
	"isthmus/competency/interval"
)

// RequiredQuizzes is a requirement of tests in a version of the standard, and who among the trainees it judges does not meet it yet.
type RequiredQuizzes struct {
	Requirement     string                `json:"requirement"`
	StandardVersion int                   `json:"standard_version"`
	Says            string                `json:"says"`
	Topics          []string              `json:"topics"`
	Judged          int                   `json:"judged"`
	Met             int                   `json:"met"`
	Lacking         []competency.PersonID `json:"lacking"` // the others, by name
}

// requiredQuizzes asks the standings, so that this page and a standing never differ: each trainee under the version that judges them today.
// A programme without a standard requires nothing.
func (h *scene) requiredQuizzes(trainees []TraineeKnowledge) ([]RequiredQuizzes, error) {
	list := []RequiredQuizzes{}
	line, err := h.standards()
	if err != nil || len(line.standards) == 0 {
		return list, err
	}
	judged, err := h.judgedAll(line, h.today, h.today.Add(-usualPeriod)) // as the cohort's page, which remembers it
	if err != nil {
		return nil, err
	}
	for _, standard := range line.standards {
		for _, r := range standard.Requirements {
			if r.Kind != competency.KindQuiz {
				continue
			}
			one := RequiredQuizzes{Requirement: r.ID, StandardVersion: standard.Version, Says: r.Says(), Topics: r.Topics, Lacking: []competency.PersonID{}}
			for _, trainee := range trainees {
				if row := judged.rows[trainee.ID]; row.StandardVersion == standard.Version {
					one.judge(row)
				}
			}
			if one.Judged > 0 {
				list = append(list, one)
			}
		}
	}
	return list, nil
}

// judge counts one trainee in.
func (r *RequiredQuizzes) judge(row CohortTrainee) {
	for _, cell := range row.Lines {
		switch {
		case cell.Requirement != r.Requirement:
			continue
		case cell.State == competency.Met:
			r.Met++
		default:
			r.Lacking = append(r.Lacking, row.ID)
		}
		r.Judged++
	}
}

// charts draws the share right of each year of training, over all topics.
func (c *CohortKnowledge) charts() ([]chart.Chart, error) {
	years, all := make([]SharedTopic, len(c.Years)), 0
	for i, year := range c.Years {
		for _, topic := range c.Topics {
			years[i].N, years[i].Right = years[i].N+topic.Years[i].N, years[i].Right+topic.Years[i].Right
		}
		for _, row := range c.Trainees {
			if row.Year == year && len(row.Topics) > 0 {
				years[i].Trainees++
			}
		}
		all += years[i].N
	}
	layer := chart.Layer{Shape: chart.Dots, Role: chart.Main, Name: "right, all topics"}
	for i, one := range years {
		if one.N == 0 {
			continue
		}
		if err := one.settle(); err != nil {
			return nil, err
		}
		says := fmt.Sprintf("Year %d: %d of %s right, %s", c.Years[i], one.Right, plural(one.N, "answer"), plural(one.Trainees, "trainee"))
		layer.Points = append(layer.Points, chart.Point{X: float64(c.Years[i]), Y: one.Share, N: &one.N, Says: says}.Within(one.Low, one.High))
	}
	if len(layer.Points) == 0 {
		return []chart.Chart{}, nil
	}
	return []chart.Chart{{
		ID: "knowledge-by-year", Title: "Knowledge by year of training", N: all, Of: "answers",
		Says:   "The share of answers right in each year of training, over all topics, each question of each trainee counted once.",
		X:      chart.Axis{Label: "Year of training", Unit: chart.Count, Min: 0, Max: float64(c.Years[len(c.Years)-1] + 1)},
		Y:      chart.Axis{Label: "Right", Unit: chart.Share, Max: 1},
		Layers: []chart.Layer{layer},
		Notes:  []string{"Limits: " + interval.MethodWilson + ".", "Different people are in each year: this is no growth of one person."},
	}}, nil
}
