package api

import (
	"context"
	"net/http"
	"strings"

	"isthmus/api/service"
	"isthmus/assessment"
	"isthmus/competency"
	"isthmus/policies"
)

// newPlan is an answer to a scenario.
type newPlan struct {
	ID       competency.PlanID     `json:"id,omitempty" maxLength:"64" doc:"A UUID of version 7 made by the client: the same id with the same plan gives the graded plan again, with another plan it is refused."`
	Scenario assessment.ScenarioID `json:"scenario" required:"true" maxLength:"100"`
	Version  int                   `json:"scenario_version,omitempty" minimum:"0" maximum:"1000000" doc:"The version that was shown; what is live when absent."`
	Plan     assessment.Plan       `json:"plan" required:"true"`
	Sitting  service.SittingID     `json:"sitting,omitempty" maxLength:"64" doc:"The open test it answers; absent for practice."`
	Keeping
}

func (s *server) registerPlans() {
	type submission struct {
		InProgramme
		Creating
		Body newPlan
	}
	type many struct {
		InProgramme
		Paged
		Trainee  competency.PersonID   `query:"trainee" maxLength:"64"`
		Scenario assessment.ScenarioID `query:"scenario" maxLength:"100"`
	}
	type one struct {
		InProgramme
		Plan competency.PlanID `path:"plan" maxLength:"64"`
	}
	register(s, operation{
		id: "submit-plan", method: http.MethodPost, path: base + "/plans", tag: "Plans", object: policies.Plan, action: policies.Create,
		summary: "Submit a plan for a scenario and have it graded", details: "A plan and its grade never change. With a sitting it closes that test.", status: http.StatusCreated,
	}, func(ctx context.Context, in *submission) (*made[service.Plan], error) {
		plan, err := s.Service.SubmitPlan(ctx, actor(ctx), in.Programme, service.PlanSubmission{
			ID: in.Body.ID, Scenario: in.Body.Scenario, Version: in.Body.Version, Plan: in.Body.Plan, Sitting: in.Body.Sitting, IdempotencyKey: in.Key, Overrides: in.Body.Overrides,
		})
		if err != nil {
			return nil, err
		}
		return &made[service.Plan]{Location: at(in.Programme, "/plans/"+string(plan.ID)), Body: plan}, nil
	})
	register(s, operation{
		id: "plans", method: http.MethodGet, path: base + "/plans", tag: "Plans", object: policies.Plan, action: policies.List,
		summary: "Graded plans, newest first", details: "A trainee's own; those of trainees a faculty member supervises; all for the director.",
	}, func(ctx context.Context, in *many) (*listed[service.PlanSummary], error) {
		return page(s.Service.Plans(ctx, actor(ctx), in.Programme, service.PlanFilter{Trainee: in.Trainee, Scenario: in.Scenario}, in.page()))
	})
	register(s, operation{
		id: "plan", method: http.MethodGet, path: base + "/plans/{plan}", tag: "Plans", object: policies.Plan, action: policies.Read,
		summary: "One graded plan",
	}, func(ctx context.Context, in *one) (*answer[service.Plan], error) {
		return given(s.Service.PlanByID(ctx, actor(ctx), in.Programme, in.Plan))
	})
}

// at is the address of something in a programme.
func at(programme competency.ProgrammeID, rest string) string {
	return strings.Replace(base, "{programme}", string(programme), 1) + rest
}
