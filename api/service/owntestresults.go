package service

import (
	"context"
	"fmt"

	"isthmus/api/chart"
	"isthmus/assessment/atrium"
	"isthmus/assessment/question"
	"isthmus/competency"
	"isthmus/competency/interval"
	"isthmus/policies"
)

// TestResults is how trainees did at a version of a test.
type TestResults struct {
	Version     int          `json:"version"`
	Attempts    int          `json:"attempts"` // closed ones of that version
	People      int          `json:"people"`   // who made them: each counts with the first
	Passed      int          `json:"passed"`   // of the people, by the mark of their own attempt
	Behind      []TestTaker  `json:"behind"`   // them, each with the attempt that counts, the earliest first
	Share       *float64     `json:"share,omitempty"`
	Low         *float64     `json:"low,omitempty"`
	High        *float64     `json:"high,omitempty"`
	Cut         question.Cut `json:"cut"` // in force now
	Chart       *chart.Chart `json:"chart,omitempty"`
	Method      string       `json:"method"`
	Level       float64      `json:"level"`
	Assumptions string       `json:"assumptions"`
	Caution     string       `json:"caution"`
}

// TestTaker is a person behind the results.
type TestTaker struct {
	Quiz    competency.QuizID   `json:"quiz"`
	Trainee competency.PersonID `json:"trainee"`
	Name    string              `json:"name"`
	Percent float64             `json:"percent"`
	Cut     float64             `json:"cut"` // of that attempt
	Passed  bool                `json:"passed"`
}

// TestResultsOf gives the results of a test's live version, or of its latest when it is live no longer.
func (s *Service) TestResultsOf(ctx context.Context, actor Actor, programme competency.ProgrammeID, id question.TestID) (TestResults, error) {
	var r TestResults
	err := s.read(ctx, actor, programme, func(h *scene) error {
		r = TestResults{
			Behind: []TestTaker{}, Method: interval.MethodWilson, Level: knowledgeLevel, Caution: atrium.Caution,
			Assumptions: "Each person counts once, with the first attempt, by the mark it was begun under. The interval assumes that " + interval.Assumptions + ".",
		}
		if err := h.mayTest(policies.Review); err != nil {
			return err
		}
		t, err := h.tx.TestByID(programme, id)
		if err != nil {
			return err
		}
		if r.Version = t.LiveVersion; r.Version == 0 {
			r.Version = t.LatestVersion
		}
		if r.Cut, err = h.cutInForce(id, r.Version); err != nil {
			return err
		}
		all, err := h.tx.AttemptsAtTest(programme, id)
		if err != nil {
			return err
		}
		for _, q := range all {
			if q.Terms.Test.Version == r.Version {
				r.Attempts++
			}
		}
		first, err := h.firstAttempts(id, r.Version)
		if err != nil {
			return err
		}
		scores := make([]float64, len(first))
		for i, q := range first {
			scores[i] = q.Score.Percent
			if q.Passed() {
				r.Passed++
			}
			r.Behind = append(r.Behind, TestTaker{q.ID, q.Trainee, q.TraineeName, q.Score.Percent, q.Cut, q.Passed()})
		}
		if r.People = len(first); r.People == 0 {
			return nil
		}
		share, err := interval.Wilson(r.Passed, r.People, knowledgeLevel)
		if err != nil {
			return err
		}
		r.Share, r.Low, r.High = &share.Estimate, &share.Low, &share.High
		r.Chart = scoresChart(t.Plan.Title, scores, r.Cut)
		return nil
	})
	return r, err
}

// scoreStep is how wide a bar of the distribution is, in per cent; common practice, no source.
const scoreStep = 10

// scoresChart draws how many people reached which score, with the mark in force.
func scoresChart(title string, scores []float64, cut question.Cut) *chart.Chart {
	counts := make([]int, 100/scoreStep)
	for _, score := range scores {
		counts[min(int(score/scoreStep), len(counts)-1)]++
	}
	bars := chart.Layer{Shape: chart.Stairs, Role: chart.Main, Name: "people"}
	most := 0
	for i, n := range counts {
		most = max(most, n)
		from := float64(i * scoreStep)
		bars.Points = append(bars.Points, chart.Point{X: from, Y: float64(n), Says: fmt.Sprintf("%d to %d %%: %s", i*scoreStep, (i+1)*scoreStep, oneOrMany(n, "1 person", "%d people"))}.Within(0, float64(n)))
	}
	bars.Points = append(bars.Points, chart.Point{X: 100, Y: 0}.Within(0, 0))
	name := "the mark of a panel"
	if cut.From == question.FromExample {
		name = "the example's mark"
	}
	return &chart.Chart{
		ID: "test-scores", Title: "Scores", N: len(scores), Of: "people", Says: fmt.Sprintf("%s: how many people reached which score, each with their first attempt.", title),
		X: chart.Axis{Label: "Score, per cent", Max: 100}, Y: chart.Axis{Label: "People", Unit: chart.Count, Max: float64(max(most, 1))},
		Layers: []chart.Layer{bars, {Shape: chart.Upright, Role: chart.Limit, Name: name, Points: []chart.Point{{X: cut.Percent}}}},
		Notes:  []string{fmt.Sprintf("Steps of %d per cent; the last holds 100.", scoreStep)},
	}
}
