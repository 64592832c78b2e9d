package service

import (
	"context"
	"strings"
	"time"

	"isthmus/api/store"
	"isthmus/assessment/atrium"
	"isthmus/competency"
	"isthmus/policies"
)

// DecisionSummary is a decision in a list.
type DecisionSummary struct {
	ID         competency.DecisionID `json:"id"`
	Meeting    competency.MeetingID  `json:"meeting"`
	Outcome    competency.Outcome    `json:"outcome"`
	Conditions string                `json:"conditions,omitempty"`
	SignerName string                `json:"signer_name"`
	SignedAt   time.Time             `json:"signed_at"`
	Superseded bool                  `json:"superseded"` // a later decision took its place
}

func summaryOf(d store.Decision, superseded bool) DecisionSummary {
	return DecisionSummary{ID: d.ID, Meeting: d.Meeting, Outcome: d.Outcome, Conditions: d.Conditions, SignerName: d.SignerName, SignedAt: d.SignedAt, Superseded: superseded}
}

// DecisionView is a decision as its record shows it. Votes and conflicts are named to those who sit in judgement; a trainee sees how many.
type DecisionView struct {
	competency.Decision
	TraineeName    string                `json:"trainee_name"`
	HeldOn         competency.Day        `json:"held_on"`
	Tally          []Tally               `json:"tally"`
	NamedVotes     []NamedVote           `json:"named_votes,omitempty"`
	NamedConflicts []NamedConflict       `json:"named_conflicts,omitempty"`
	Response       *competency.Response  `json:"response,omitempty"`
	SupersededBy   competency.DecisionID `json:"superseded_by,omitempty"`
	May            []string              `json:"may"` // respond
	Caution        string                `json:"caution"`
}

// Tally is how many members recommended an outcome.
type Tally struct {
	Outcome competency.Outcome `json:"outcome"`
	Votes   int                `json:"votes"`
}

// NewDecision is an outcome to record, on evidence the director saw.
type NewDecision struct {
	competency.Verdict
	EvidenceHash string
	Overrides    []competency.Override
}

// Decide records and signs the outcome of a trainee's turn, with the evidence as it is now. The error is ErrStale when the evidence is not what the
// actor saw, a named one of competency, strict.Faults, ErrNotFound or ErrForbidden.
func (s *Service) Decide(ctx context.Context, actor Actor, programme competency.ProgrammeID, meeting competency.MeetingID, trainee competency.PersonID, in NewDecision) (DecisionView, error) {
	var view DecisionView
	err := s.write(ctx, actor, programme, "decision.record", func(h *scene) error {
		m, err := h.meeting(meeting, policies.Read)
		if err != nil {
			return err
		}
		ballot, err := h.ballot(m, trainee)
		if err != nil {
			return err
		}
		if err := h.may(policies.Decision, policies.Create, policies.InProgramme); err != nil {
			return err
		}
		j, err := h.judge(trainee, min(m.HeldOn, h.today))
		if err != nil {
			return err
		}
		if j.standing.EvidenceHash != in.EvidenceHash && !ballot.Decided {
			return ErrStale
		}
		before, err := h.tx.Decisions(programme, store.DecisionFilter{Trainee: trainee})
		if err != nil {
			return err
		}
		var follows competency.DecisionID
		if len(before) > 0 {
			follows = before[0].ID
		}
		signer := competency.Signer{ID: actor.Person, ProvedAt: actor.ProvedAt}
		if signer.Name, err = h.name(actor.Person); err != nil {
			return err
		}
		id := competency.DecisionID(s.deps.NewID())
		at := textPlace{object: "decision", id: string(id)}
		kept, err := h.kept(at, in.Overrides)
		if err != nil {
			return err
		}
		decided, err := competency.Decide(id, meeting, ballot, in.Verdict, j.standing, follows, signer, h.programme.Settings, h.now, kept...)
		if err != nil {
			return err
		}
		standard, err := h.tx.StandardByVersion(programme, j.standard.Version)
		if err != nil {
			return err
		}
		if err := h.tx.AddDecision(store.Decision{Programme: programme, Decision: decided, Evidence: j.evidence, Standard: standard.YAML}); err != nil {
			return err
		}
		if err := h.saveKept(at, kept, freeText{"reasons", decided.Reasons}, freeText{"conditions", decided.Conditions}); err != nil {
			return err
		}
		view, err = h.decisionView(id)
		return err
	})
	return view, err
}

// DecisionsOf lists the decisions about a trainee, newest first: only the first stands.
func (s *Service) DecisionsOf(ctx context.Context, actor Actor, programme competency.ProgrammeID, trainee competency.PersonID) (List[DecisionSummary], error) {
	list := List[DecisionSummary]{Items: []DecisionSummary{}, Caution: atrium.Caution}
	err := s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.mayTrainee(policies.Decision, policies.Read, trainee); err != nil {
			return err
		}
		if _, err := h.traineeSince(trainee); err != nil {
			return err
		}
		rows, err := h.tx.Decisions(programme, store.DecisionFilter{Trainee: trainee})
		if err != nil {
			return err
		}
		list.Items = make([]DecisionSummary, len(rows))
		for i, row := range rows {
			list.Items[i] = summaryOf(row, i > 0)
		}
		return nil
	})
	return list, err
}

// DecisionByID is a decision as the actor may see it. The error is ErrNotFound or ErrForbidden.
func (s *Service) DecisionByID(ctx context.Context, actor Actor, programme competency.ProgrammeID, id competency.DecisionID) (DecisionView, error) {
	var view DecisionView
	err := s.read(ctx, actor, programme, func(h *scene) (err error) {
		view, err = h.decisionView(id)
		return err
	})
	return view, err
}

// Respond keeps the trainee's answer to a decision, once. The error is competency.ErrResponded, strict.Faults, ErrNotFound or
// ErrForbidden.
func (s *Service) Respond(ctx context.Context, actor Actor, programme competency.ProgrammeID, id competency.DecisionID, text string, overrides ...competency.Override) (DecisionView, error) {
	var view DecisionView
	err := s.write(ctx, actor, programme, "decision.respond", func(h *scene) error {
		d, err := h.tx.DecisionByID(programme, id)
		if err != nil {
			return err
		}
		if err := h.mayTrainee(policies.Decision, policies.Respond, d.Trainee); err != nil {
			return err
		}
		if d.Response != nil {
			return competency.ErrResponded
		}
		at := textPlace{object: "decision", id: string(id)}
		kept, err := h.kept(at, overrides)
		if err != nil {
			return err
		}
		if err := competency.CheckResponse(text, kept...); err != nil {
			return err
		}
		response := competency.Response{Text: strings.TrimSpace(text), RespondedAt: h.now}
		if err := h.tx.AddResponse(programme, id, response); err != nil {
			return err
		}
		if err := h.saveKept(at, kept, freeText{"text", response.Text}); err != nil {
			return err
		}
		if err := h.tx.Audit("response", string(id), nil, response); err != nil {
			return err
		}
		view, err = h.decisionView(id)
		return err
	})
	return view, err
}

// decisionView shows a decision to the actor.
func (h *scene) decisionView(id competency.DecisionID) (DecisionView, error) {
	d, err := h.tx.DecisionByID(h.programme.ID, id)
	if err != nil {
		return DecisionView{}, err
	}
	if err := h.mayTrainee(policies.Decision, policies.Read, d.Trainee); err != nil {
		return DecisionView{}, err
	}
	view := DecisionView{Decision: d.Decision, Tally: tallyOf(d.Votes), Response: d.Response, May: []string{}, Caution: atrium.Caution}
	if view.TraineeName, err = h.name(d.Trainee); err != nil {
		return view, err
	}
	m, err := h.tx.MeetingByID(h.programme.ID, d.Meeting)
	if err != nil {
		return view, err
	}
	view.HeldOn = m.HeldOn
	all, err := h.tx.Decisions(h.programme.ID, store.DecisionFilter{Trainee: d.Trainee})
	if err != nil {
		return view, err
	}
	for _, other := range all {
		if other.Follows == id {
			view.SupersededBy = other.ID
		}
	}
	if h.actor.Person == d.Trainee {
		view.Votes, view.Conflicts = []competency.Vote{}, []competency.Conflict{} // who said what is the committee's own
		if d.Response == nil && h.mayTrainee(policies.Decision, policies.Respond, d.Trainee) == nil {
			view.May = append(view.May, string(policies.Respond))
		}
		return view, nil
	}
	return view, h.nameVoices(&view)
}

// nameVoices puts names to votes and conflicts.
func (h *scene) nameVoices(view *DecisionView) error {
	for _, vote := range view.Votes {
		name, err := h.name(vote.Member)
		if err != nil {
			return err
		}
		view.NamedVotes = append(view.NamedVotes, NamedVote{vote, name})
	}
	for _, conflict := range view.Conflicts {
		name, err := h.name(conflict.Member)
		if err != nil {
			return err
		}
		view.NamedConflicts = append(view.NamedConflicts, NamedConflict{conflict, name})
	}
	return nil
}

// tallyOf counts votes by outcome, in the order of the outcomes.
func tallyOf(votes []competency.Vote) []Tally {
	tally := []Tally{}
	for _, outcome := range competency.Outcomes {
		n := 0
		for _, vote := range votes {
			if string(vote.Outcome) == outcome.ID {
				n++
			}
		}
		if n > 0 {
			tally = append(tally, Tally{competency.Outcome(outcome.ID), n})
		}
	}
	return tally
}
