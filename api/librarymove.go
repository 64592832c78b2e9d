package api

import (
	"context"
	"net/http"

	"isthmus/api/service"
	"isthmus/policies"
)

type (
	editionEditing struct {
		OneEditionChange
		Body service.EditionText
	}
	editionReasoned struct {
		OneEditionChange
		Body reasonBody
	}
)

// movedEdition makes a change at the revision that If-Match names, and answers with the scenario after it.
func movedEdition(ctx context.Context, in OneEditionChange, move func(revision int) (service.EditionView, error)) (*editionAnswer, error) {
	revision, err := in.revision(ctx)
	if err != nil {
		return nil, err
	}
	return editionGiven(move(revision))
}

// registerAuthorActs is what the authors of a scenario do with it.
func (s *server) registerAuthorActs() {
	register(s, operation{
		id: "edit-edition", method: http.MethodPut, path: base + "/library/{edition}", tag: "Library", object: policies.Edition, action: policies.Edit,
		summary: "Replace the text of a draft, by itself or by a file", details: "It may be unfinished. Whoever changes it is one of its authors from then on, and cannot approve it.",
	}, func(ctx context.Context, in *editionEditing) (*editionAnswer, error) {
		return movedEdition(ctx, in.OneEditionChange, func(revision int) (service.EditionView, error) {
			return s.Service.EditEdition(ctx, actor(ctx), in.Programme, in.Scenario, revision, in.Body)
		})
	})
	register(s, operation{
		id: "submit-edition", method: http.MethodPost, path: base + "/library/{edition}/submit", tag: "Library", object: policies.Edition, action: policies.Submit,
		summary: "Hand a draft to review", details: "It must be without mistakes, an expert's plans must grade A or better, and the flawed ones get their letters.",
	}, func(ctx context.Context, in *OneEditionChange) (*editionAnswer, error) {
		return movedEdition(ctx, *in, func(revision int) (service.EditionView, error) {
			return s.Service.SubmitEdition(ctx, actor(ctx), in.Programme, in.Scenario, revision)
		})
	})
	register(s, operation{
		id: "revise-edition", method: http.MethodPost, path: base + "/library/{edition}/revise", tag: "Library", object: policies.Edition, action: policies.Create,
		summary: "Begin the next version as a draft", details: "Of a starter scenario too: the programme's own version then counts there. What is live stays so meanwhile.",
	}, func(ctx context.Context, in *OneEditionChange) (*editionAnswer, error) {
		return movedEdition(ctx, *in, func(revision int) (service.EditionView, error) {
			return s.Service.ReviseEdition(ctx, actor(ctx), in.Programme, in.Scenario, revision)
		})
	})
}

// registerReviewActs is what a reviewer does with a scenario, and how one is taken out of use.
func (s *server) registerReviewActs() {
	register(s, operation{
		id: "return-edition", method: http.MethodPost, path: base + "/library/{edition}/return", tag: "Library", object: policies.Edition, action: policies.Return,
		summary: "Hand a scenario in review back with the reason", details: "Its author can take it back the same way.",
	}, func(ctx context.Context, in *editionReasoned) (*editionAnswer, error) {
		return movedEdition(ctx, in.OneEditionChange, func(revision int) (service.EditionView, error) {
			return s.Service.ReturnEdition(ctx, actor(ctx), in.Programme, in.Scenario, revision, in.Body.Reason, in.Body.Overrides...)
		})
	})
	register(s, operation{
		id: "approve-edition", method: http.MethodPost, path: base + "/library/{edition}/approve", tag: "Library", object: policies.Edition, action: policies.Approve,
		summary: "Make a scenario in review live", details: "Nobody approves what they wrote in. The version never changes afterwards; the one before is superseded and kept.",
	}, func(ctx context.Context, in *OneEditionChange) (*editionAnswer, error) {
		return movedEdition(ctx, *in, func(revision int) (service.EditionView, error) {
			return s.Service.ApproveEdition(ctx, actor(ctx), in.Programme, in.Scenario, revision)
		})
	})
	register(s, operation{
		id: "retire-edition", method: http.MethodPost, path: base + "/library/{edition}/retire", tag: "Library", object: policies.Edition, action: policies.Retire,
		summary: "Take a scenario out of use with the reason", details: "A starter scenario too, for this programme. Its versions stay for those who answered them.",
	}, func(ctx context.Context, in *editionReasoned) (*editionAnswer, error) {
		return movedEdition(ctx, in.OneEditionChange, func(revision int) (service.EditionView, error) {
			return s.Service.RetireEdition(ctx, actor(ctx), in.Programme, in.Scenario, revision, in.Body.Reason, in.Body.Overrides...)
		})
	})
}
