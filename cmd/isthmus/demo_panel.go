package main

import (
	"crypto/sha256"
	"fmt"

	"isthmus/api/service"
	"isthmus/assessment/question"
	"isthmus/competency/panel"
)

// demoPanel is the programme's own test with the panel that sets its mark.
type demoPanel struct {
	test  question.TestID
	panel panel.ID
	items []question.Item
}

// demoJudges rate for the panel.
var demoJudges = []string{"mei", "tomasz", "leila"}

// demoSitters take the test once its mark is adopted; of ten questions they have about so many right.
var demoSitters = []demoQuiz{{"ines", 3, question.Test, "", 9}, {"kofi", 3, question.Test, "", 3}, {"sana", 2, question.Test, "", 8}, {"mateo", 2, question.Test, "", 7}}

// tellPanel puts the acts on the programme's own test in their places: proposed, put to use, rated in two rounds, its mark adopted, taken.
func (t *demoTeller) tellPanel() {
	p := &demoPanel{}
	t.acts = append(t.acts,
		demoAct{t.at(7, 9, 10), func() error { return t.proposeTest(p) }},
		demoAct{t.at(6, 18, 0), func() error { return t.rateAll(p, 1) }},
		demoAct{t.at(5, 18, 0), func() error { return t.rateAll(p, 2) }},
		demoAct{t.at(4, 9, 30), func() error {
			view, err := t.service.PanelByID(t.ctx, t.as("amara"), t.programme, p.panel)
			if err == nil {
				_, err = t.service.AdoptPanel(t.ctx, t.as("amara"), t.programme, p.panel, view.Revision, "The judges came closer in the second round.")
			}
			return err
		}})
	for i, set := range demoSitters {
		t.acts = append(t.acts, demoAct{t.at(set.ago, 20, 10+i), func() error {
			view, err := t.service.StartQuiz(t.ctx, t.as(set.who), t.programme, service.QuizStart{Mode: question.Test, Test: p.test})
			if err != nil {
				return fmt.Errorf("the test of %s: %w", set.who, err)
			}
			return t.finish(view, set)
		}})
	}
}

// proposeTest has faculty write a fixed form with a question of each topic, the director put it to use and call the panel.
func (t *demoTeller) proposeTest(p *demoPanel) error {
	plan := question.TestPlan{Blueprint: question.Blueprint{Title: "Before the first supervised lines"}, Minutes: 15}
	seen := map[question.Topic]bool{}
	for _, it := range question.Starter().Items() {
		if it.Kind == question.SingleBest && !seen[it.Topic] {
			seen[it.Topic] = true
			p.items = append(p.items, it)
			plan.Fixed = append(plan.Fixed, question.Ref{Item: it.ID, Version: it.Version})
		}
	}
	made, err := t.service.CreateTest(t.ctx, t.as("leila"), t.programme, service.TestCreation{Plan: plan})
	if err == nil {
		made, err = t.service.PublishTest(t.ctx, t.as("amara"), t.programme, made.Head.ID, made.Head.Revision)
	}
	if err != nil {
		return fmt.Errorf("the programme's own test: %w", err)
	}
	call := service.PanelCall{Method: panel.Angoff}
	for _, who := range demoJudges {
		call.Judges = append(call.Judges, t.people[who].ID)
	}
	called, err := t.service.CallPanel(t.ctx, t.as("amara"), t.programme, made.Head.ID, call)
	p.test, p.panel = made.Head.ID, called.ID
	return err
}

// rateAll has every judge rate every question in a round, which the director then closes. In the second each goes halfway to the mean.
func (t *demoTeller) rateAll(p *demoPanel, round int) error {
	var view service.PanelView
	for _, who := range demoJudges {
		ratings := map[string]float64{}
		for _, it := range p.items {
			own, mean := demoRating(who, it), 0.0
			for _, other := range demoJudges {
				mean += demoRating(other, it) / float64(len(demoJudges))
			}
			if round == 2 {
				own = float64(int((own + mean) / 2))
			}
			ratings[fmt.Sprintf("%s/%d", it.ID, it.Version)] = own
		}
		var err error
		if view, err = t.service.RatePanel(t.ctx, t.as(who), t.programme, p.panel, service.PanelRating{Ratings: ratings}); err != nil {
			return fmt.Errorf("ratings of %s: %w", who, err)
		}
	}
	_, err := t.service.ClosePanelRound(t.ctx, t.as("amara"), t.programme, p.panel, view.Revision)
	return err
}

// demoRating is what a judge says alone: by how hard the question is, and a lot that judge and question draw.
func demoRating(who string, it question.Item) float64 {
	easy := map[question.Difficulty]int{question.Easy: 74, question.Middling: 60, question.Hard: 44}[it.Difficulty]
	lot := sha256.Sum256([]byte(who + "/" + string(it.ID)))
	return float64(easy + int(lot[0])%32 - 12)
}
