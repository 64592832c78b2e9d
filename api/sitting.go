package api

import (
	"context"
	"net/http"

	"isthmus/api/service"
	"isthmus/assessment"
	"isthmus/assessment/atrium"
	"isthmus/competency"
	"isthmus/policies"
)

// sittingAnswer is a sitting with its ETag.
type sittingAnswer struct {
	ETag string `header:"ETag" doc:"For If-Match of the next save."`
	Body service.SittingView
}

// sittingGiven answers with a sitting.
func sittingGiven(view service.SittingView, err error) (*sittingAnswer, error) {
	if err != nil {
		return nil, err
	}
	return &sittingAnswer{ETag: etag(view.Revision), Body: view}, nil
}

// sittingMade is a new sitting with its ETag and address.
type sittingMade struct {
	ETag     string `header:"ETag"`
	Location string `header:"Location"`
	Body     service.SittingView
}

// newSitting asks for a test.
type newSitting struct {
	Scenario assessment.ScenarioID `json:"scenario" required:"true" maxLength:"100"`
}

// draftPlan is a plan as it is so far.
type draftPlan struct {
	Plan assessment.Plan `json:"plan" required:"true" doc:"Need not be a valid plan yet."`
	Keeping
}

func (s *server) registerSittings() {
	type start struct {
		InProgramme
		Creating
		Body newSitting
	}
	type many struct {
		InProgramme
		Paged
		Trainee  competency.PersonID      `query:"trainee" maxLength:"64"`
		Scenario assessment.ScenarioID    `query:"scenario" maxLength:"100"`
		Status   assessment.SittingStatus `query:"status" enum:"open,submitted,ended"`
	}
	type one struct {
		InProgramme
		Sitting service.SittingID `path:"sitting" maxLength:"64"`
	}
	type save struct {
		InProgramme
		Changing
		Sitting service.SittingID `path:"sitting" maxLength:"64"`
		Body    draftPlan
	}
	type set struct {
		InProgramme
		Body atrium.LesionSet
	}
	register(s, operation{
		id: "start-sitting", method: http.MethodPost, path: base + "/sittings", tag: "Tests", object: policies.Sitting, action: policies.Create,
		summary: "Start the test of a scenario",
		details: "It counts once for each version of the scenario, and one is open at a time. Until it is over, nothing shows what lesions do. " +
			"It is submitted as a plan with its id; what was saved last is graded when its time is up.",
		status: http.StatusCreated,
	}, func(ctx context.Context, in *start) (*sittingMade, error) {
		view, err := s.Service.StartSitting(ctx, actor(ctx), in.Programme, service.SittingStart{Scenario: in.Body.Scenario, IdempotencyKey: in.Key})
		if err != nil {
			return nil, err
		}
		return &sittingMade{ETag: etag(view.Revision), Location: at(in.Programme, "/sittings/"+string(view.ID)), Body: view}, nil
	})
	register(s, operation{
		id: "sittings", method: http.MethodGet, path: base + "/sittings", tag: "Tests", object: policies.Sitting, action: policies.List,
		summary: "Tests, newest first", details: "A trainee's own; those of trainees a faculty member supervises; all for the director.",
	}, func(ctx context.Context, in *many) (*listed[service.SittingSummary], error) {
		filter := service.SittingFilter{Trainee: in.Trainee, Scenario: in.Scenario, Status: in.Status}
		return page(s.Service.Sittings(ctx, actor(ctx), in.Programme, filter, in.page()))
	})
	register(s, operation{
		id: "sitting", method: http.MethodGet, path: base + "/sittings/{sitting}", tag: "Tests", object: policies.Sitting, action: policies.Read,
		summary: "One test with what was saved of the plan", details: "To go on with it on whatever device, or to see how it ended. An open test's plan is its trainee's alone.",
	}, func(ctx context.Context, in *one) (*sittingAnswer, error) {
		return sittingGiven(s.Service.SittingByID(ctx, actor(ctx), in.Programme, in.Sitting))
	})
	register(s, operation{
		id: "save-sitting", method: http.MethodPut, path: base + "/sittings/{sitting}/plan", tag: "Tests", object: policies.Sitting, action: policies.Edit,
		summary: "Save the plan of an open test as it is so far", details: "It need not be valid. Its texts are screened for what names a patient before they are kept.",
	}, func(ctx context.Context, in *save) (*sittingAnswer, error) {
		revision, err := in.revision(ctx)
		if err != nil {
			return nil, err
		}
		return sittingGiven(s.Service.SaveSitting(ctx, actor(ctx), in.Programme, in.Sitting, revision, in.Body.Plan, in.Body.Overrides...))
	})
	register(s, operation{
		id: "lesions", method: http.MethodPost, path: base + "/lesions", tag: "Tests", object: policies.Conduction, action: policies.Compute,
		summary: "Where the lesions of a set run", details: "The paths alone, without what they do: what can be drawn during a test. Nothing is kept.",
	}, func(ctx context.Context, in *set) (*answer[service.Laid], error) {
		return given(s.Service.Lay(ctx, actor(ctx), in.Programme, in.Body))
	})
}
