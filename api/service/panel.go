package service

import (
	"context"
	"fmt"
	"slices"
	"time"

	"isthmus/api/chart"
	"isthmus/api/store"
	"isthmus/assessment/atrium"
	"isthmus/assessment/question"
	"isthmus/competency"
	"isthmus/competency/panel"
	"isthmus/policies"
)

// PanelHead is a panel in a list.
type PanelHead struct {
	ID        panel.ID     `json:"id"`
	Version   int          `json:"version"` // of the test
	Method    panel.Method `json:"method"`
	Status    panel.Status `json:"status"`
	Round     int          `json:"round"`
	Judges    int          `json:"judges"`
	Items     int          `json:"items"`
	Judging   bool         `json:"judging"` // the actor is asked in the open round
	CreatedAt time.Time    `json:"created_at"`
}

// PanelView is a panel as the actor may see it. What a judge says in an open round is seen by that judge alone.
type PanelView struct {
	PanelHead
	Test      question.TestID `json:"test"`
	TestTitle string          `json:"test_title"`
	Progress  []JudgeProgress `json:"progress"` // by judge, as called
	Questions []PanelQuestion `json:"questions"`
	Own       *panel.Sheet    `json:"own,omitempty"`    // the actor's, in the open round or the last one
	Rounds    []PanelRound    `json:"rounds"`           // closed ones
	Result    *panel.Result   `json:"result,omitempty"` // once it is over
	Limits    []JudgeLimits   `json:"limits"`           // of Hofstee, once it is over
	Reason    string          `json:"reason,omitempty"` // why it was withdrawn
	Adopted   bool            `json:"adopted"`
	May       []string        `json:"may"` // rate, close, withdraw, adopt
	Fewest    int             `json:"fewest_scores"`
	Scores    int             `json:"scores"` // of people who have sat this version
	Revision  int             `json:"revision"`
	Rules     []string        `json:"rules"`              // what was decided about the method, with where it comes from
	Previous  *panel.Sheet    `json:"previous,omitempty"` // the actor's of the first round, in the second
	Caution   string          `json:"caution"`            // its questions stand there with their answers
}

// JudgeProgress is how much of what is asked a judge has said in the open round.
type JudgeProgress struct {
	Judge   competency.PersonID `json:"judge"`
	Name    string              `json:"name"`
	Rated   int                 `json:"rated"`
	Asked   int                 `json:"asked"`
	LeftOut bool                `json:"left_out"`
}

// PanelQuestion is a question as judges see it: with its answer.
type PanelQuestion struct {
	Name string        `json:"name"` // of the ratings
	Item question.Item `json:"item"`
}

// PanelRound is a closed round. A judge sees whose mark is their own, and of the others only the spread; the director sees all.
type PanelRound struct {
	Round     int            `json:"round"`
	Percent   float64        `json:"percent"`
	Deviation *float64       `json:"deviation,omitempty"`
	SE        *float64       `json:"se,omitempty"`
	Judges    []JudgeMark    `json:"judges"`
	Items     []panel.Spread `json:"items"`
	Chart     chart.Chart    `json:"chart"`
}

// JudgeMark is the mark that would follow from one judge alone.
type JudgeMark struct {
	Name    string  `json:"name"`
	Percent float64 `json:"percent"`
}

// JudgeLimits are what one judge found bearable.
type JudgeLimits struct {
	Name   string       `json:"name"`
	Limits panel.Limits `json:"limits"`
}

// panelRules say what was decided about the methods.
var panelRules = []string{
	"Modified Angoff in two rounds: each judge says of every question how many of a hundred trainees who just pass would answer it rightly, first alone, then having seen what the others said (after Angoff 1971, from memory).",
	fmt.Sprintf("A question is marked for discussion when the judges' standard deviation is %d points or more: common practice, no source.", panel.LargeSpread),
	"The standard error of the mark is by the judges only, and cannot be said of one judge.",
	"Of a test drawn by topic, the mark of a form whose questions were all rated is the mean of their ratings; else the test's mark holds.",
	fmt.Sprintf("Hofstee's method needs the scores of at least %d people, each with their first attempt: common practice, no source.", panel.FewestScores),
}

// itemName names a version of an item among ratings.
func itemName(it question.Item) string { return fmt.Sprintf("%s/%d", it.ID, it.Version) }

func (h *scene) panelHead(p store.Panel) PanelHead {
	return PanelHead{
		ID: p.ID, Version: p.Version, Method: p.Method, Status: p.Status, Round: p.Round, Judges: len(p.Judges), Items: len(p.Items),
		Judging: p.Judging(h.actor.Person) && h.may(policies.Panel, policies.Respond, policies.Own) == nil, CreatedAt: p.CreatedAt,
	}
}

// mayPanel refuses what no rule allows on a panel, and all of it while the actor has a test open: it holds answers.
func (h *scene) mayPanel(action policies.Action, relation policies.Relation) error {
	if err := h.may(policies.Panel, action, relation); err != nil {
		return err
	}
	return h.noOpenTest()
}

// PanelByID gives one panel as the actor may see it.
func (s *Service) PanelByID(ctx context.Context, actor Actor, programme competency.ProgrammeID, id panel.ID) (PanelView, error) {
	var view PanelView
	err := s.read(ctx, actor, programme, func(h *scene) (err error) {
		view, err = h.panelByID(id)
		return err
	})
	return view, err
}

// panelByID loads a panel for its judges and for whoever calls panels.
func (h *scene) panelByID(id panel.ID) (PanelView, error) {
	if err := h.mayPanel(policies.Read, policies.InProgramme); err != nil {
		return PanelView{}, err
	}
	p, err := h.tx.PanelByID(h.programme.ID, id)
	if err != nil {
		return PanelView{}, err
	}
	calls := h.may(policies.Panel, policies.Create, policies.InProgramme) == nil
	if !calls && !slices.Contains(p.Judges, h.actor.Person) {
		return PanelView{}, ErrForbidden
	}
	return h.panelView(p, calls)
}

func (h *scene) panelView(p store.Panel, calls bool) (PanelView, error) {
	view := PanelView{
		PanelHead: h.panelHead(p), Test: question.TestID(p.Test), Progress: []JudgeProgress{}, Questions: []PanelQuestion{}, Rounds: []PanelRound{}, Result: p.Result,
		Limits: []JudgeLimits{}, Reason: p.Reason, May: []string{}, Fewest: panel.FewestScores, Revision: p.Revision, Rules: panelRules, Caution: atrium.Caution,
	}
	test, err := h.tx.TestByID(h.programme.ID, view.Test)
	if err != nil {
		return view, err
	}
	view.TestTitle = test.Plan.Title
	for _, it := range p.Paper {
		view.Questions = append(view.Questions, PanelQuestion{itemName(it), it})
	}
	sheets, err := h.tx.PanelSheets(h.programme.ID, p.ID)
	if err != nil {
		return view, err
	}
	if err := h.panelProgress(&view, p, sheets); err != nil {
		return view, err
	}
	for _, r := range p.Rounds {
		round := PanelRound{Round: r.Round, Percent: r.Percent, Deviation: r.Deviation, SE: r.SE, Judges: []JudgeMark{}, Items: r.Items}
		for _, mark := range r.Judges {
			if !calls && mark.Judge != h.actor.Person {
				continue
			}
			name, err := h.name(mark.Judge)
			if err != nil {
				return view, err
			}
			round.Judges = append(round.Judges, JudgeMark{name, mark.Percent})
		}
		round.Chart = spreadChart(view.TestTitle, r)
		view.Rounds = append(view.Rounds, round)
	}
	scores, err := h.scoresAt(p)
	if err != nil {
		return view, err
	}
	view.Scores = len(scores)
	cuts, err := h.tx.TestCuts(h.programme.ID, view.Test)
	view.Adopted = slices.ContainsFunc(cuts, func(c store.TestCut) bool { return c.Panel == p.ID })
	if view.Judging {
		view.May = append(view.May, "rate")
	}
	for _, act := range []struct {
		kind   string
		action policies.Action
		now    bool
	}{
		{"close", policies.Edit, p.Status == panel.Open}, {"withdraw", policies.Withdraw, p.Status == panel.Open},
		{"adopt", policies.Approve, p.Status == panel.Closed && p.Result.Found && !view.Adopted},
	} {
		if act.now && h.may(policies.Panel, act.action, policies.InProgramme) == nil {
			view.May = append(view.May, act.kind)
		}
	}
	return view, err
}

// panelProgress fills in how far the judges are, and the actor's own sheets. Nobody sees another's before the round is closed.
func (h *scene) panelProgress(view *PanelView, p store.Panel, sheets []panel.Sheet) error {
	for _, judge := range p.Judges {
		one := JudgeProgress{Judge: judge, LeftOut: slices.Contains(p.LeftOut, judge)}
		var err error
		if one.Name, err = h.name(judge); err != nil {
			return err
		}
		_, one.Asked = p.Rated(panel.Sheet{})
		for _, s := range sheets {
			if s.Judge != judge {
				continue
			}
			if s.Round == p.Round {
				one.Rated, _ = p.Rated(s)
			}
			if judge == h.actor.Person {
				view.Previous, view.Own = view.Own, &s // by round
			}
			if p.Method == panel.Hofstee && p.Status == panel.Closed && s.Limits != nil && !one.LeftOut {
				view.Limits = append(view.Limits, JudgeLimits{one.Name, *s.Limits})
			}
		}
		view.Progress = append(view.Progress, one)
	}
	return nil
}

// scoresAt are the scores, in per cent, of those who sat the panel's version of the test, each with their first attempt.
func (h *scene) scoresAt(p store.Panel) ([]float64, error) {
	attempts, err := h.firstAttempts(question.TestID(p.Test), p.Version)
	scores := make([]float64, len(attempts))
	for i, q := range attempts {
		scores[i] = q.Score.Percent
	}
	return scores, err
}

// firstAttempts are the closed attempts at a version of a test, each person's first.
func (h *scene) firstAttempts(id question.TestID, version int) ([]store.Quiz, error) {
	all, err := h.tx.AttemptsAtTest(h.programme.ID, id)
	if err != nil {
		return nil, err
	}
	seen := map[competency.PersonID]bool{}
	var first []store.Quiz
	for _, q := range all {
		if q.Terms.Test.Version == version && !seen[q.Trainee] {
			seen[q.Trainee] = true
			first = append(first, q)
		}
	}
	return first, nil
}

// cutOfForm gives the mark of the items of a form: by their own ratings where a panel rated them all, else the test's.
func (h *scene) cutOfForm(cut question.Cut) (func([]question.Item) question.Cut, error) {
	if cut.From != question.FromAngoff {
		return func([]question.Item) question.Cut { return cut }, nil
	}
	p, err := h.tx.PanelByID(h.programme.ID, panel.ID(cut.Panel))
	return func(items []question.Item) question.Cut {
		names := make([]string, len(items))
		for i, it := range items {
			names[i] = itemName(it)
		}
		of := cut
		if percent, se, rated := p.Of(names); rated && len(names) != len(p.Items) {
			of.Percent, of.SE, of.Drawn = percent, se, true
		}
		return of
	}, err
}

// spreadChart draws how far the judges of a round are apart on each item, with the mark that follows.
func spreadChart(title string, r panel.Round) chart.Chart {
	dots := chart.Layer{Shape: chart.Dots, Role: chart.Main, Name: "mean, least to most"}
	for i, s := range r.Items {
		p := chart.Point{X: float64(i + 1), Y: s.Mean, Says: fmt.Sprintf("Question %d: mean %.0f, from %.0f to %.0f", i+1, s.Mean, s.Least, s.Most)}.Within(s.Least, s.Most)
		p.N = &s.N
		if s.Discuss {
			p.Mark = chart.Signal
			p.Says += "; to discuss"
		}
		dots.Points = append(dots.Points, p)
	}
	return chart.Chart{
		ID: fmt.Sprintf("panel-round-%d", r.Round), Title: fmt.Sprintf("Round %d, question by question", r.Round), N: len(r.Judges), Of: "judges",
		Says:   fmt.Sprintf("%s: of a hundred trainees who just pass, how many would answer each question rightly, by its judges.", title),
		X:      chart.Axis{Label: "Question", Unit: chart.Count, Max: float64(len(r.Items) + 1)},
		Y:      chart.Axis{Label: "Of a hundred who just pass", Max: 100},
		Layers: []chart.Layer{dots, {Shape: chart.Rule, Role: chart.Limit, Name: "the mark", Points: []chart.Point{{Y: r.Percent}}}},
		Notes:  []string{fmt.Sprintf("A square marks a question to discuss: a standard deviation of %d points or more.", panel.LargeSpread)},
	}
}
