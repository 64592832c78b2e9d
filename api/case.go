package api

import (
	"context"
	"net/http"

	"isthmus/api/service"
	"isthmus/competency"
	"isthmus/policies"
)

// caseAnswer is a case with its ETag.
type caseAnswer struct {
	ETag string `header:"ETag" doc:"For If-Match of the next change."`
	Body service.CaseDetail
}

// caseGiven answers with a case.
func caseGiven(detail service.CaseDetail, err error) (*caseAnswer, error) {
	if err != nil {
		return nil, err
	}
	return &caseAnswer{ETag: etag(detail.Case.Revision), Body: detail}, nil
}

// caseMade is a new case with its ETag and address.
type caseMade struct {
	ETag     string `header:"ETag"`
	Location string `header:"Location"`
	Body     service.CaseDetail
}

// OneCase is what every operation on a case takes.
type OneCase struct {
	InProgramme
	Case competency.CaseID `path:"case" maxLength:"64"`
}

// recordBody is what a trainee enters of one operation.
type recordBody struct {
	Record competency.Record `json:"record" required:"true"`
	Keeping
}

// newCaseBody is a record that may bring the id of its case.
type newCaseBody struct {
	ID     competency.CaseID `json:"id,omitempty" maxLength:"64" doc:"A UUID of version 7 made by the client, so that a case entered without a network can be sent again and again: the same id with the same record gives the case as it is by then, with another record it is refused."`
	Record competency.Record `json:"record" required:"true"`
	Keeping
}

// previewBody is a record to compute.
type previewBody struct {
	Record competency.Record `json:"record" required:"true"`
	Case   competency.CaseID `json:"case,omitempty" maxLength:"64" doc:"The case it belongs to, which is then not named as one alike."`
}

func (s *server) registerCases() {
	type creation struct {
		InProgramme
		Creating
		Body newCaseBody
	}
	type preview struct {
		InProgramme
		Body previewBody
	}
	type many struct {
		InProgramme
		Paged
		Trainee competency.PersonID   `query:"trainee" maxLength:"64"`
		Status  competency.CaseStatus `query:"status" enum:"draft,submitted,returned,signed-off,withdrawn"`
	}
	register(s, operation{
		id: "create-case", method: http.MethodPost, path: base + "/cases", tag: "Cases", object: policies.Case, action: policies.Create,
		summary: "Start the draft of a case", details: "The record may be unfinished. It carries no patient identity: free text is screened before it is saved.",
		status: http.StatusCreated,
	}, func(ctx context.Context, in *creation) (*caseMade, error) {
		detail, err := s.Service.CreateCase(ctx, actor(ctx), in.Programme, service.CaseCreation{ID: in.Body.ID, Record: in.Body.Record, IdempotencyKey: in.Key, Overrides: in.Body.Overrides})
		if err != nil {
			return nil, err
		}
		return &caseMade{ETag: etag(detail.Case.Revision), Location: at(in.Programme, "/cases/"+string(detail.Case.ID)), Body: detail}, nil
	})
	register(s, operation{
		id: "preview-case", method: http.MethodPost, path: base + "/case-preview", tag: "Cases", object: policies.Case, action: policies.Preview,
		summary: "What the program computes of a record", details: "Scope, role, the steps the record must account for, and what looks like a patient's identity. Nothing is kept.",
	}, func(ctx context.Context, in *preview) (*answer[service.Preview], error) {
		return given(s.Service.PreviewCase(ctx, actor(ctx), in.Programme, in.Body.Record, in.Body.Case))
	})
	register(s, operation{
		id: "cases", method: http.MethodGet, path: base + "/cases", tag: "Cases", object: policies.Case, action: policies.List,
		summary: "Cases, newest first", details: "A trainee's own; those a faculty member supervised; all for director and coordinator, for the latter without clinical fields.",
	}, func(ctx context.Context, in *many) (*listed[service.CaseSummary], error) {
		return page(s.Service.Cases(ctx, actor(ctx), in.Programme, service.CaseFilter{Trainee: in.Trainee, Status: in.Status}, in.page()))
	})
	register(s, operation{
		id: "case", method: http.MethodGet, path: base + "/cases/{case}", tag: "Cases", object: policies.Case, action: policies.Read,
		also: []policies.Object{policies.Draft}, summary: "One case with its sign-offs and acts",
	}, func(ctx context.Context, in *OneCase) (*caseAnswer, error) {
		return caseGiven(s.Service.CaseByID(ctx, actor(ctx), in.Programme, in.Case))
	})
}
