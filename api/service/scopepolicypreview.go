package service

import (
	"context"
	"encoding/json"
	"slices"

	"isthmus/assessment"
	"isthmus/assessment/atrium"
	"isthmus/competency"
	"isthmus/policies"
)

// previewedAtOnce is how many answers one call grades, up to the end of the scenario it is reached in: a second or two of work. The rest
// comes with the calls after it.
const previewedAtOnce = 24

// PolicyTrial is a policy to try.
type PolicyTrial struct {
	Policy assessment.Policy
	Check  bool                  // only check it
	After  assessment.ScenarioID // go on after this scenario; empty for the first part
}

// LetterUnder is how one answer is graded under a policy.
type LetterUnder struct {
	Letter assessment.Letter `json:"letter"`
	Score  float64           `json:"score"`
}

// PreviewedAnswer is one of a scenario's own answers under the policy in force and under the one previewed.
type PreviewedAnswer struct {
	Scenario assessment.ScenarioID `json:"scenario"`
	Title    string                `json:"title"`  // of the scenario
	Answer   string                `json:"answer"` // its title
	Kind     string                `json:"kind"`   // expert, flawed
	Wanted   assessment.Letter     `json:"wanted"` // of an expert's plan the least, of a flawed one the very letter
	Before   LetterUnder           `json:"before"`
	After    LetterUnder           `json:"after"`
}

// PolicyPreview is what another scope policy would change in some of the live scenarios, in the library's order: the answers whose
// letter or score differs.
type PolicyPreview struct {
	InForce        string                `json:"in_force"` // id of the policy compared with
	InForceVersion int                   `json:"in_force_version"`
	Changed        []PreviewedAnswer     `json:"changed"`
	Graded         int                   `json:"graded"`         // answers compared in this call
	Done           int                   `json:"done"`           // scenarios compared in this call and before it
	Of             int                   `json:"of"`             // live scenarios
	Next           assessment.ScenarioID `json:"next,omitempty"` // go on after this scenario; absent when all are done
	Caution        string                `json:"caution"`
}

// PreviewScopePolicy grades the answers of live scenarios, those after a given one, under a policy and under the one in force. Nothing is
// kept. The error is strict.Faults about the policy, ErrNotFound for a scenario that is not live, or ErrForbidden.
func (s *Service) PreviewScopePolicy(ctx context.Context, actor Actor, programme competency.ProgrammeID, trial PolicyTrial) (PolicyPreview, error) {
	var live []assessment.Scenario
	var inForce assessment.Policy
	err := s.read(ctx, actor, programme, func(h *scene) (err error) {
		if err := h.may(policies.ScopePolicy, policies.Preview, policies.InProgramme); err != nil {
			return err
		}
		if err := h.noOpenTest(); err != nil {
			return err
		}
		if inForce, err = h.policy(); err != nil {
			return err
		}
		live, err = h.liveScenarios()
		return err
	})
	if err != nil {
		return PolicyPreview{}, err
	}
	if err := trial.Policy.Validate().Err(); err != nil {
		return PolicyPreview{}, under("policy", err)
	}
	first := 0
	if trial.After != "" {
		first = 1 + slices.IndexFunc(live, func(s assessment.Scenario) bool { return s.ID == trial.After })
		if first == 0 {
			return PolicyPreview{}, missing("scenario")
		}
	}
	preview := PolicyPreview{InForce: inForce.ID, InForceVersion: inForce.Version, Changed: []PreviewedAnswer{}, Done: first, Of: len(live), Caution: atrium.Caution}
	if trial.Check {
		return preview, nil
	}
	err = preview.compare(ctx, remembering{s.deps.Model, map[string]atrium.Result{}}, live, inForce, trial.Policy)
	return preview, err
}

// compare goes on from what is done, until it has graded as much as one call does.
func (p *PolicyPreview) compare(ctx context.Context, model assessment.Conductor, live []assessment.Scenario, before, after assessment.Policy) error {
	for _, scenario := range live[p.Done:] {
		if p.Graded >= previewedAtOnce {
			p.Next = live[p.Done-1].ID
			return nil
		}
		if err := ctx.Err(); err != nil {
			return err
		}
		if err := p.add(model, scenario, before, after); err != nil {
			return err
		}
	}
	return nil
}

// add compares the answers of one scenario.
func (p *PolicyPreview) add(model assessment.Conductor, s assessment.Scenario, before, after assessment.Policy) error {
	p.Done++
	one := func(a PreviewedAnswer, plan assessment.Plan) error {
		p.Graded++
		old, err := assessment.GradePlan(model, s, plan, before)
		if err != nil {
			return err
		}
		now, err := assessment.GradePlan(model, s, plan, after)
		if err != nil {
			return err
		}
		a.Scenario, a.Title = s.ID, s.Title
		a.Before, a.After = LetterUnder{old.Letter, old.Score}, LetterUnder{now.Letter, now.Score}
		if a.Before != a.After {
			p.Changed = append(p.Changed, a)
		}
		return nil
	}
	for _, expert := range s.Expert {
		if err := one(PreviewedAnswer{Answer: expert.Title, Kind: "expert", Wanted: assessment.ExpertLetter}, expert.Plan); err != nil {
			return err
		}
	}
	for _, flawed := range s.Flawed {
		if err := one(PreviewedAnswer{Answer: flawed.Title, Kind: "flawed", Wanted: flawed.Letter}, flawed.Plan); err != nil {
			return err
		}
	}
	return nil
}

// remembering conducts each lesion set once: two policies with the same wavelength ask the same of it.
type remembering struct {
	model assessment.Conductor
	known map[string]atrium.Result
}

// Conduct is the model's, remembered.
func (r remembering) Conduct(set atrium.LesionSet) (atrium.Result, error) {
	text, err := json.Marshal(set)
	if err != nil {
		return atrium.Result{}, err
	}
	if result, known := r.known[string(text)]; known {
		return result, nil
	}
	result, err := r.model.Conduct(set)
	if err == nil {
		r.known[string(text)] = result
	}
	return result, err
}
