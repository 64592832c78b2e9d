package api

import (
	"context"
	"net/http"

	"isthmus/api/service"
	"isthmus/competency"
	"isthmus/policies"
)

// followUpAnswer is a follow-up with its ETag.
type followUpAnswer struct {
	ETag string `header:"ETag" doc:"For If-Match of the next amendment."`
	Body service.FollowUpView
}

// followUpMade is a new follow-up with its ETag and the address of its case's follow-ups.
type followUpMade struct {
	ETag     string `header:"ETag"`
	Location string `header:"Location"`
	Body     service.FollowUpView
}

// newFollowUpBody is a follow-up that may bring its id.
type newFollowUpBody struct {
	ID       competency.FollowUpID `json:"id,omitempty" maxLength:"64" doc:"A UUID of version 7 made by the client: the same id with the same content gives the follow-up as it is by then, with other content it is refused."`
	FollowUp competency.FollowUp   `json:"follow_up" required:"true"`
	Keeping
}

// amendmentBody is what a follow-up should say instead, and why.
type amendmentBody struct {
	FollowUp competency.FollowUp `json:"follow_up" required:"true"`
	Reason   string              `json:"reason" required:"true" maxLength:"2000"`
	Keeping
}

func (s *server) registerFollowUps() {
	type creation struct {
		OneCase
		Creating
		Body newFollowUpBody
	}
	type amending struct {
		OneChange
		FollowUp competency.FollowUpID `path:"follow_up" maxLength:"64"`
		Body     amendmentBody
	}
	type due struct {
		InProgramme
		Paged
		State competency.DueState `query:"state" enum:"late,due,coming" doc:"All three when absent."`
	}
	register(s, operation{
		id: "case-follow-ups", method: http.MethodGet, path: base + "/cases/{case}/follow-ups", tag: "Follow-up", object: policies.FollowUp, action: policies.Read,
		summary: "The follow-ups of a case, with their earlier versions, and what is due",
	}, func(ctx context.Context, in *OneCase) (*answer[service.CaseFollowUps], error) {
		return given(s.Service.FollowUpsOf(ctx, actor(ctx), in.Programme, in.Case))
	})
	register(s, operation{
		id: "add-follow-up", method: http.MethodPost, path: base + "/cases/{case}/follow-ups", tag: "Follow-up", object: policies.FollowUp, action: policies.Create,
		summary: "Record a follow-up", details: "It is judged by the programme's rule of success, whose version it names. It never changes: a mistake is amended.",
		status: http.StatusCreated,
	}, func(ctx context.Context, in *creation) (*followUpMade, error) {
		view, err := s.Service.AddFollowUp(ctx, actor(ctx), in.Programme, service.NewFollowUp{
			ID: in.Body.ID, Case: in.Case, FollowUp: in.Body.FollowUp, IdempotencyKey: in.Key, Overrides: in.Body.Overrides,
		})
		if err != nil {
			return nil, err
		}
		return &followUpMade{ETag: etag(view.Version), Location: at(in.Programme, "/cases/"+string(in.Case)+"/follow-ups"), Body: view}, nil
	})
	register(s, operation{
		id: "amend-follow-up", method: http.MethodPost, path: base + "/cases/{case}/follow-ups/{follow_up}/amendments", tag: "Follow-up",
		object: policies.FollowUp, action: policies.Edit, summary: "Amend a follow-up with the reason", details: "A new version, judged by the rule of today; those before stay readable.",
	}, func(ctx context.Context, in *amending) (*followUpAnswer, error) {
		version, err := in.revision(ctx)
		if err != nil {
			return nil, err
		}
		view, err := s.Service.AmendFollowUp(ctx, actor(ctx), in.Programme, in.Case, in.FollowUp, version, service.Amendment{
			FollowUp: in.Body.FollowUp, Reason: in.Body.Reason, Overrides: in.Body.Overrides,
		})
		if err != nil {
			return nil, err
		}
		return &followUpAnswer{ETag: etag(view.Version), Body: view}, nil
	})
	register(s, operation{
		id: "follow-ups", method: http.MethodGet, path: base + "/follow-ups", tag: "Follow-up", object: policies.FollowUp, action: policies.List,
		summary: "The cases of which follow-ups are late, due or coming, the longest due first",
		details: "A trainee's own; those a faculty member supervised; all for director and coordinator, for the latter without clinical fields.",
	}, func(ctx context.Context, in *due) (*listed[service.DueFollowUp], error) {
		return page(s.Service.DueFollowUps(ctx, actor(ctx), in.Programme, in.State, in.page()))
	})
}

// caseKeyBody is a case key: never in an address, which would be logged.
type caseKeyBody struct {
	CaseKey string `json:"case_key" required:"true" maxLength:"200" doc:"HMAC-SHA-256 of the local record number in hexadecimal digits, by a key that stays with the client."`
}

func (s *server) registerCaseKeys() {
	type keying struct {
		OneCase
		Body caseKeyBody
	}
	type finding struct {
		InProgramme
		Body caseKeyBody
	}
	register(s, operation{
		id: "save-case-key", method: http.MethodPost, path: base + "/cases/{case}/key", tag: "Follow-up", object: policies.CaseKey, action: policies.Create,
		summary: "Keep the caller's key to a case, in place of the one before", details: "The server has neither the record number nor the key it was hashed with.",
	}, func(ctx context.Context, in *keying) (*answer[service.CaseFollowUps], error) {
		return given(s.Service.SaveCaseKey(ctx, actor(ctx), in.Programme, in.Case, in.Body.CaseKey))
	})
	register(s, operation{
		id: "find-cases", method: http.MethodPost, path: base + "/case-search", tag: "Follow-up", object: policies.CaseKey, action: policies.List,
		summary: "The cases that a case key leads to", details: "Nothing is kept of the search.",
	}, func(ctx context.Context, in *finding) (*listed[service.CaseSummary], error) {
		return page(s.Service.FindCases(ctx, actor(ctx), in.Programme, in.Body.CaseKey))
	})
}
