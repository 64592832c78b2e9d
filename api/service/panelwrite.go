package service

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"isthmus/api/store"
	"isthmus/assessment"
	"isthmus/assessment/question"
	"isthmus/competency"
	"isthmus/competency/panel"
	"isthmus/policies"
)

// PanelCall calls a panel on a test's live version. Items are chosen for a test drawn by topic; a fixed form is rated whole. The key, when
// given, makes a resend harmless.
type PanelCall struct {
	Method         panel.Method          `json:"method" required:"true" enum:"angoff,hofstee"`
	Judges         []competency.PersonID `json:"judges" required:"true" maxItems:"30" doc:"Members who are faculty or director."`
	Items          []question.ItemID     `json:"items,omitempty" maxItems:"200" doc:"Live questions to rate, of the topics of a test drawn by topic; leave it out for a fixed form and for Hofstee."`
	IdempotencyKey string                `json:"-"`
}

// PanelRating is what a judge says now; questions that are not named stay as they are.
type PanelRating struct {
	Ratings map[string]float64 `json:"ratings,omitempty" doc:"By the name of the question: of a hundred trainees who just pass, how many answer it rightly."`
	Limits  *panel.Limits      `json:"limits,omitempty" doc:"Of Hofstee's method."`
}

// CallPanel calls a panel. The error is strict.Faults, assessment.ErrRetired when the test is not live, ErrKeyReused or ErrForbidden.
func (s *Service) CallPanel(ctx context.Context, actor Actor, programme competency.ProgrammeID, test question.TestID, in PanelCall) (PanelView, error) {
	o, err := onceFor(in.IdempotencyKey, "panel.create", programme, struct {
		Test question.TestID
		PanelCall
	}{test, in})
	if err != nil {
		return PanelView{}, err
	}
	var view PanelView
	check := func(h *scene) error { return h.mayPanel(policies.Create, policies.InProgramme) }
	load := func(h *scene, id string) (err error) {
		view, err = h.panelByID(panel.ID(id))
		return err
	}
	err = s.create(ctx, actor, programme, o, check, load, func() error {
		return s.write(ctx, actor, programme, "panel.create", func(h *scene) error {
			if err := check(h); err != nil {
				return err
			}
			p, err := h.newPanel(panel.ID(s.deps.NewID()), test, in)
			if err != nil {
				return err
			}
			if err := h.tx.CreatePanel(programme, p); err != nil {
				return err
			}
			if err := o.remember(h, string(p.ID)); err != nil {
				return err
			}
			if err := h.tx.Audit("panel", string(p.ID), nil, p); err != nil {
				return err
			}
			view, err = h.panelByID(p.ID)
			return err
		})
	})
	return view, err
}

// newPanel is an open panel with the questions as they are rated.
func (h *scene) newPanel(id panel.ID, test question.TestID, in PanelCall) (store.Panel, error) {
	row, plan, err := h.liveTest(test)
	if err != nil {
		return store.Panel{}, err
	}
	p := store.Panel{Paper: []question.Item{}, CreatedBy: h.actor.Person, CreatedAt: h.now}
	if in.Method == panel.Angoff {
		if p.Paper, err = h.ratedItems(plan, in.Items); err != nil {
			return p, err
		}
	} else if len(in.Items) > 0 {
		return p, fault("items", "Hofstee's method asks about the whole test: leave them out")
	}
	if err := h.checkJudges(in.Judges); err != nil {
		return p, err
	}
	names := []string{}
	for _, it := range p.Paper {
		names = append(names, itemName(it))
	}
	p.Panel, err = panel.New(panel.Panel{ID: id, Test: string(test), Version: row.LiveVersion, Method: in.Method, Items: names, Judges: in.Judges})
	return p, err
}

// ratedItems are the items of a fixed form in its order, or those chosen of the topics of a test drawn by topic.
func (h *scene) ratedItems(plan question.TestPlan, chosen []question.ItemID) ([]question.Item, error) {
	bank, err := h.bank()
	if err != nil {
		return nil, err
	}
	var items []question.Item
	if len(plan.Fixed) > 0 {
		if len(chosen) > 0 {
			return nil, fault("items", "a fixed form is rated whole: leave them out")
		}
		for _, ref := range plan.Fixed {
			it, found := bank.Item(ref.Item)
			if !found || it.Version != ref.Version || it.Status != assessment.Live {
				return nil, fault("items", "%s has changed since the test was put to use: revise the test first", ref.Item)
			}
			items = append(items, it)
		}
		return items, nil
	}
	for i, id := range chosen {
		it, found := bank.Item(id)
		asked := slices.ContainsFunc(plan.Rows, func(r question.Row) bool {
			return r.Topic == it.Topic && (r.Difficulty == "" || r.Difficulty == it.Difficulty)
		})
		if !found || it.Status != assessment.Live || !asked {
			return nil, fault(fmt.Sprintf("items[%d]", i), "is no live question that the test can draw")
		}
		items = append(items, it)
	}
	return items, nil
}

// checkJudges refuses whoever could not rate.
func (h *scene) checkJudges(judges []competency.PersonID) error {
	people, err := h.tx.People(h.programme.ID, "", h.today)
	if err != nil {
		return err
	}
	for i, judge := range judges {
		able := slices.ContainsFunc(people, func(m store.Member) bool {
			if m.ID != judge {
				return false
			}
			roles := make([]policies.Role, len(m.Roles))
			for j, role := range m.Roles {
				roles[j] = policies.Role(role)
			}
			return h.allow.Allowed(roles, policies.Panel, policies.Respond, policies.Own)
		})
		if !able {
			return fault(fmt.Sprintf("judges[%d]", i), "is not of the faculty: give them that role first")
		}
	}
	return nil
}

// RatePanel keeps what the actor says now in the open round. The audit trail says how much was rated, not what. The error is strict.Faults,
// panel.ErrClosed, panel.ErrNotJudge or ErrForbidden.
func (s *Service) RatePanel(ctx context.Context, actor Actor, programme competency.ProgrammeID, id panel.ID, in PanelRating) (PanelView, error) {
	var view PanelView
	err := s.write(ctx, actor, programme, "panel.rate", func(h *scene) error {
		if err := h.mayPanel(policies.Respond, policies.Own); err != nil {
			return err
		}
		p, err := h.tx.PanelByID(programme, id)
		if err != nil {
			return err
		}
		sheets, err := h.tx.PanelSheets(programme, id)
		if err != nil {
			return err
		}
		own := panel.Sheet{Judge: actor.Person, Round: p.Round}
		for _, s := range sheets {
			if s.Judge == actor.Person && s.Round == p.Round {
				own = s
			}
		}
		after, err := p.Rate(own, in.Ratings, in.Limits)
		if err != nil {
			return err
		}
		if err := h.tx.SavePanelSheet(programme, id, after, h.now); err != nil {
			return err
		}
		said, _ := p.Rated(after)
		if err := h.tx.Audit("panel", string(id), nil, map[string]int{"round": p.Round, "rated": said}); err != nil {
			return err
		}
		view, err = h.panelByID(id)
		return err
	})
	return view, err
}

// panelMove is one act of whoever leads a panel: its name, what it is to the policies, why, and what it does.
type panelMove struct {
	kind   string
	action policies.Action
	why    because
	step   func(*scene, store.Panel) (panel.Panel, error)
}

// movePanel does one act of whoever leads a panel, at the revision the actor saw.
func (s *Service) movePanel(ctx context.Context, actor Actor, programme competency.ProgrammeID, id panel.ID, revision int, m panelMove) (PanelView, error) {
	var view PanelView
	err := s.write(ctx, actor, programme, "panel."+m.kind, func(h *scene) error {
		if err := h.mayPanel(m.action, policies.InProgramme); err != nil {
			return err
		}
		before, err := h.tx.PanelByID(programme, id)
		if err != nil {
			return err
		}
		if before.Revision != revision {
			return ErrStale
		}
		after := before
		err = h.screened(textPlace{object: "panel", id: string(id)}, m.why, func() (err error) {
			if after.Panel, err = m.step(h, before); err != nil || after.Revision == before.Revision {
				return err
			}
			return h.tx.SavePanel(programme, after, revision)
		})
		if err != nil {
			return err
		}
		if err := h.tx.Audit("panel", string(id), before.Panel, after.Panel); err != nil {
			return err
		}
		view, err = h.panelByID(id)
		return err
	})
	return view, err
}

// ClosePanelRound ends the open round: what was said in it is shown to all judges and never changes. Who had not rated everything is left
// out from then on. After the first round of Angoff's method the second begins with each judge's own ratings. The error is panel.ErrNobody,
// panel.ErrScores, panel.ErrClosed, ErrStale or ErrForbidden.
func (s *Service) ClosePanelRound(ctx context.Context, actor Actor, programme competency.ProgrammeID, id panel.ID, revision int) (PanelView, error) {
	return s.movePanel(ctx, actor, programme, id, revision, panelMove{kind: "close", action: policies.Edit, step: func(h *scene, p store.Panel) (panel.Panel, error) {
		sheets, err := h.tx.PanelSheets(programme, id)
		if err != nil {
			return p.Panel, err
		}
		scores, err := h.scoresAt(p)
		if err != nil {
			return p.Panel, err
		}
		after, err := p.CloseRound(sheets, scores)
		if err != nil {
			return after, err
		}
		if err := h.tx.ClosePanelSheets(programme, id, p.Round); err != nil {
			return after, err
		}
		for _, sheet := range sheets {
			if after.Status == panel.Open && sheet.Round == p.Round && after.Judging(sheet.Judge) {
				sheet.Round = after.Round
				if err := h.tx.SavePanelSheet(programme, id, sheet, h.now); err != nil {
					return after, err
				}
			}
		}
		return after, nil
	}})
}

// WithdrawPanel gives an open panel up with the reason.
func (s *Service) WithdrawPanel(ctx context.Context, actor Actor, programme competency.ProgrammeID, id panel.ID, revision int, reason string, overrides ...competency.Override) (PanelView, error) {
	return s.movePanel(ctx, actor, programme, id, revision, panelMove{kind: "withdraw", action: policies.Withdraw, why: because{reason, overrides}, step: func(h *scene, p store.Panel) (panel.Panel, error) {
		if err := panelReason(reason); err != nil {
			return p.Panel, err
		}
		if err := h.tx.ClosePanelSheets(programme, id, p.Round); err != nil {
			return p.Panel, err
		}
		return p.Withdraw(reason)
	}})
}

// AdoptPanel makes a panel's mark that of its version of the test, for attempts begun from then on, with the reason. The error is
// panel.ErrNoMark while it has none or when its mark is adopted already.
func (s *Service) AdoptPanel(ctx context.Context, actor Actor, programme competency.ProgrammeID, id panel.ID, revision int, reason string, overrides ...competency.Override) (PanelView, error) {
	return s.movePanel(ctx, actor, programme, id, revision, panelMove{kind: "adopt", action: policies.Approve, why: because{reason, overrides}, step: func(h *scene, p store.Panel) (panel.Panel, error) {
		if err := panelReason(reason); err != nil {
			return p.Panel, err
		}
		if p.Status != panel.Closed || !p.Result.Found {
			return p.Panel, panel.ErrNoMark
		}
		cuts, err := h.tx.TestCuts(programme, question.TestID(p.Test))
		if err != nil {
			return p.Panel, err
		}
		if slices.ContainsFunc(cuts, func(c store.TestCut) bool { return c.Panel == id }) {
			return p.Panel, panel.ErrNoMark
		}
		cut := question.Cut{Percent: p.Result.Percent, From: question.CutFrom(p.Method), Panel: string(id), Judges: p.Result.Judges, SE: p.Result.SE}
		adopted := store.TestCut{Test: question.TestID(p.Test), Version: p.Version, Panel: id, Cut: cut, Reason: reason, AdoptedBy: actor.Person, AdoptedAt: h.now}
		if err := h.tx.AddTestCut(programme, adopted); err != nil {
			return p.Panel, err
		}
		return p.Panel, h.tx.Audit("test", p.Test, nil, adopted)
	}})
}

// panelReason accepts a reason in a few words; what it may not hold is screened before.
func panelReason(reason string) error {
	if len(strings.TrimSpace(reason)) < 3 {
		return fault("reason", "must be at least 3 characters: say it in a few words")
	}
	return nil
}
