package service

import (
	"context"
	"net/url"

	"isthmus/api/chart"
	"isthmus/assessment/atrium"
	"isthmus/competency"
	"isthmus/policies"
)

// TraineeCurves are a trainee's learning curves: those the standard asks for, and one by a rule of the reader's choice.
type TraineeCurves struct {
	Trainee         PersonRef       `json:"trainee"`
	On              competency.Day  `json:"on"`
	Standard        string          `json:"standard"`
	StandardVersion int             `json:"standard_version"`
	Example         bool            `json:"example,omitempty"`
	Curves          []LearningCurve `json:"curves"`
	Chosen          *LearningCurve  `json:"chosen,omitempty"`
	Caution         string          `json:"caution"`
}

// LearningCurve is one rule of success followed from case to case, with what a requirement of the standard makes of it where there is one.
type LearningCurve struct {
	Learning competency.Learning             `json:"learning"`
	Standing *competency.RequirementStanding `json:"standing,omitempty"`
	Charts   []chart.Chart                   `json:"charts"`
}

// CurveChoice is a rule of success to look at beside those of the standard; its zero value chooses none.
type CurveChoice struct {
	Scale string
	Level int
}

// targetShare is the share of successes the projection of a free choice asks for: the boundary of an adequate failure rate in the
// example standard. Common practice, no source.
const targetShare = 0.8

// CurvesOf follows a trainee's learning curves on a day (today when empty). The error is ErrNotFound for who is no trainee of the programme,
// ErrNoStandard, strict.Faults about the day or the choice, or ErrForbidden.
func (s *Service) CurvesOf(ctx context.Context, actor Actor, programme competency.ProgrammeID, trainee competency.PersonID, on string, choice CurveChoice) (TraineeCurves, error) {
	answer := TraineeCurves{Curves: []LearningCurve{}, Caution: atrium.Caution}
	err := s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.mayTrainee(policies.Standing, policies.Read, trainee); err != nil {
			return err
		}
		day, err := h.dayOrToday(on)
		if err != nil {
			return err
		}
		j, err := h.judge(trainee, day)
		if err != nil {
			return err
		}
		answer.On, answer.Standard, answer.StandardVersion, answer.Example = day, j.standard.ID, j.standard.Version, j.standard.Example
		for i, r := range j.standard.Requirements {
			if r.Kind == competency.KindCurve {
				answer.Curves = append(answer.Curves, requiredCurve(r, j.standing.Requirements[i], j.evidence, trainee, day))
			}
		}
		if choice != (CurveChoice{}) {
			rule, err := choice.rule()
			if err != nil {
				return err
			}
			chosen := LearningCurve{Learning: competency.Learn(j.evidence, rule, targetShare, day)}
			chosen.Charts = fittedCharts("chosen", chosen.Learning, "/cases?trainee="+url.QueryEscape(string(trainee)))
			answer.Chosen = &chosen
		}
		answer.Trainee, err = h.personRef(trainee)
		return err
	})
	return answer, err
}

// rule checks the choice.
func (c CurveChoice) rule() (competency.SuccessRule, error) {
	rule := competency.SuccessRule{Scale: c.Scale, Level: c.Level}
	switch c.Scale {
	case competency.ScaleComplete:
		rule.Level = 0
	case competency.ScaleHelpGiven, competency.ScaleSupervisionNext:
		if c.Level < 2 || c.Level > 5 {
			return rule, fault("level", "must be 2 to 5, not %d", c.Level)
		}
	default:
		return rule, fault("scale", "must be %s, %s or %s, not %q", competency.ScaleHelpGiven, competency.ScaleSupervisionNext, competency.ScaleComplete, c.Scale)
	}
	return rule, nil
}

// requiredCurve is a requirement's chart with its limits, what the limits promise, and the curve fitted to the same cases.
func requiredCurve(r competency.Requirement, standing competency.RequirementStanding, evidence competency.Evidence, trainee competency.PersonID, on competency.Day) LearningCurve {
	c := LearningCurve{Learning: competency.Learn(evidence, r.Rule(), 1-r.AcceptableRate, on), Standing: &standing, Charts: []chart.Chart{}}
	if path := standing.Curve; path != nil {
		if len(path.Points) > 0 {
			c.Charts = append(c.Charts, pathChart(r.ID, path))
		}
		if promised, err := promiseChart(r.ID, path); err == nil {
			c.Charts = append(c.Charts, promised)
		}
	}
	c.Charts = append(c.Charts, fittedCharts(r.ID, c.Learning, "/trainees/"+url.PathEscape(string(trainee))+"/standing/"+r.ID+"?on="+string(on))...)
	return c
}
