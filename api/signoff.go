package api

import (
	"context"
	"net/http"

	"isthmus/api/service"
	"isthmus/api/signin"
	"isthmus/competency"
	"isthmus/policies"
)

// OneChange is what every change of a case takes.
type OneChange struct {
	OneCase
	Changing
}

// reasonBody says why.
type reasonBody struct {
	Reason string `json:"reason" required:"true" maxLength:"2000"`
	Keeping
}

// statementBody is what a supervisor states of a case.
type statementBody struct {
	competency.Statement
	Keeping
}

type (
	editing struct {
		OneChange
		Body recordBody
	}
	reasoned struct {
		OneChange
		Body reasonBody
	}
	signing struct {
		OneChange
		Body statementBody
	}
)

// changed makes a change at the revision that If-Match names, and answers with the case after it.
func changed(ctx context.Context, in OneChange, change func(revision int) (service.CaseDetail, error)) (*caseAnswer, error) {
	revision, err := in.revision(ctx)
	if err != nil {
		return nil, err
	}
	return caseGiven(change(revision))
}

// drafts are the objects a case can also turn out to be.
var drafts = []policies.Object{policies.Draft}

// registerTraineeActs is what the trainee does with a case.
func (s *server) registerTraineeActs() {
	register(s, operation{
		id: "edit-case", method: http.MethodPut, path: base + "/cases/{case}", tag: "Cases", object: policies.Case, action: policies.Edit, also: drafts,
		summary: "Replace the record of a draft or a returned case",
	}, func(ctx context.Context, in *editing) (*caseAnswer, error) {
		return changed(ctx, in.OneChange, func(revision int) (service.CaseDetail, error) {
			return s.Service.EditCase(ctx, actor(ctx), in.Programme, in.Case, revision, in.Body.Record, in.Body.Overrides...)
		})
	})
	register(s, operation{
		id: "submit-case", method: http.MethodPost, path: base + "/cases/{case}/submission", tag: "Cases", object: policies.Case, action: policies.Submit,
		also: drafts, summary: "Hand a case to its supervisor", details: "The record must be complete. It becomes a version that never changes.",
	}, func(ctx context.Context, in *OneChange) (*caseAnswer, error) {
		return changed(ctx, *in, func(revision int) (service.CaseDetail, error) {
			return s.Service.SubmitCase(ctx, actor(ctx), in.Programme, in.Case, revision)
		})
	})
	register(s, operation{
		id: "withdraw-case", method: http.MethodPost, path: base + "/cases/{case}/withdrawal", tag: "Cases", object: policies.Case, action: policies.Withdraw,
		also: []policies.Object{policies.Draft, policies.SignedCase}, summary: "Take a case out of the evidence with the reason; the record stays",
		details: "Its trainee until it is signed off, afterwards its supervisor or the director.",
	}, func(ctx context.Context, in *reasoned) (*caseAnswer, error) {
		return changed(ctx, in.OneChange, func(revision int) (service.CaseDetail, error) {
			return s.Service.WithdrawCase(ctx, actor(ctx), in.Programme, in.Case, revision, in.Body.Reason, in.Body.Overrides...)
		})
	})
}

// registerAmendments is how a signed case is changed, by its trainee or because its supervisor asks for it.
func (s *server) registerAmendments() {
	register(s, operation{
		id: "amend-case", method: http.MethodPost, path: base + "/cases/{case}/amendment", tag: "Cases", object: policies.SignedCase, action: policies.Amend,
		also: drafts, summary: "Open a signed case for its next version, with the reason",
		details: "By its trainee, who then edits and submits it again; or by its supervisor, who thereby asks the trainee to. The version signed last counts until the same supervisor has signed the next one.",
	}, func(ctx context.Context, in *reasoned) (*caseAnswer, error) {
		return changed(ctx, in.OneChange, func(revision int) (service.CaseDetail, error) {
			return s.Service.AmendCase(ctx, actor(ctx), in.Programme, in.Case, revision, in.Body.Reason, in.Body.Overrides...)
		})
	})
	register(s, operation{
		id: "restore-case", method: http.MethodPost, path: base + "/cases/{case}/restoration", tag: "Cases", object: policies.Case, action: policies.Restore,
		also: drafts, summary: "Give an amendment up, with the reason: the case is again as it was signed last",
		details: "What was submitted of the amendment stays on record.",
	}, func(ctx context.Context, in *reasoned) (*caseAnswer, error) {
		return changed(ctx, in.OneChange, func(revision int) (service.CaseDetail, error) {
			return s.Service.RestoreCase(ctx, actor(ctx), in.Programme, in.Case, revision, in.Body.Reason, in.Body.Overrides...)
		})
	})
	register(s, operation{
		id: "case-versions", method: http.MethodGet, path: base + "/cases/{case}/versions", tag: "Cases", object: policies.Case, action: policies.Read,
		also: drafts, summary: "The versions of a case as they were submitted, each with its signature", details: "First version first; nothing of a draft.",
	}, func(ctx context.Context, in *OneCase) (*answer[service.CaseVersions], error) {
		return given(s.Service.CaseVersions(ctx, actor(ctx), in.Programme, in.Case))
	})
}

// registerSupervisorActs is what the supervisor does with a case.
func (s *server) registerSupervisorActs() {
	register(s, operation{
		id: "return-case", method: http.MethodPost, path: base + "/cases/{case}/return", tag: "Cases", object: policies.Case, action: policies.Return,
		also: drafts, summary: "Hand a case back to its trainee with the reason",
	}, func(ctx context.Context, in *reasoned) (*caseAnswer, error) {
		return changed(ctx, in.OneChange, func(revision int) (service.CaseDetail, error) {
			return s.Service.ReturnCase(ctx, actor(ctx), in.Programme, in.Case, revision, in.Body.Reason, in.Body.Overrides...)
		})
	})
	register(s, operation{
		id: "sign-off-case", method: http.MethodPost, path: base + "/cases/{case}/sign-off", tag: "Cases", object: policies.Case, action: policies.SignOff,
		also: drafts, summary: "Sign a case off with what you saw", details: "An electronic signature: name, time and meaning, bound to the version by its hash. It needs a password given within the programme's signing_minutes; give it again under /api/session/proof. A bearer token signs nothing. Where complications_agreed is false, events lists those up to 30 days as you know them; an empty list says that there were none.",
	}, func(ctx context.Context, in *signing) (*caseAnswer, error) {
		if caller(ctx).ByToken { // whoever holds a token is not thereby the person
			return nil, signin.ErrNeedsLogin
		}
		return changed(ctx, in.OneChange, func(revision int) (service.CaseDetail, error) {
			return s.Service.SignOffCase(ctx, actor(ctx), in.Programme, in.Case, revision, in.Body.Statement, in.Body.Overrides...)
		})
	})
	register(s, operation{
		id: "sign-off-phrases", method: http.MethodGet, path: base + "/sign-off-phrases", tag: "Cases", object: policies.Case, action: policies.SignOff,
		summary: "What you named to keep and to change before", details: "Your own phrases only, the most used first: to choose from in the next sign-off.",
	}, func(ctx context.Context, in *InProgramme) (*answer[service.Phrases], error) {
		return given(s.Service.Phrases(ctx, actor(ctx), in.Programme))
	})
}
