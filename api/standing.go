package api

import (
	"context"
	"net/http"
	"strconv"

	"isthmus/api/service"
	"isthmus/competency"
	"isthmus/policies"
)

// OnDay asks for a day.
type OnDay struct {
	On string `query:"on" maxLength:"10" doc:"Calendar day, 2026-03-14; today when absent, never later."`
}

func (s *server) registerStanding() {
	type standing struct {
		InProgramme
		OnDay
		Trainee competency.PersonID `path:"trainee" maxLength:"64"`
	}
	type cohort struct {
		InProgramme
		OnDay
	}
	register(s, operation{
		id: "standing", method: http.MethodGet, path: base + "/trainees/{trainee}/standing", tag: "Standing", object: policies.Standing, action: policies.Read,
		summary: "A trainee's standing against the programme's standard", details: "Every requirement with its state, figures, the evidence used and left out with reasons. People decide.",
	}, func(ctx context.Context, in *standing) (*answer[service.TraineeStanding], error) {
		view, err := s.Service.StandingOf(ctx, actor(ctx), in.Programme, in.Trainee, in.On)
		return given(view, inQuery(ctx, err))
	})
	register(s, operation{
		id: "cohort", method: http.MethodGet, path: base + "/cohort", tag: "Standing", object: policies.Cohort, action: policies.Read,
		summary: "All trainees' standings, those who need action first",
	}, func(ctx context.Context, in *cohort) (*answer[service.Cohort], error) {
		view, err := s.Service.Cohort(ctx, actor(ctx), in.Programme, in.On)
		return given(view, inQuery(ctx, err))
	})
	s.registerAgreement()
	s.registerCurves()
}

// newStandard is a version to add.
type newStandard struct {
	YAML        string         `json:"yaml" required:"true" maxLength:"200000"`
	InForceFrom competency.Day `json:"in_force_from" required:"true" maxLength:"10" doc:"Calendar day: who joins from then on is judged by it."`
}

// registerStandardMoves adds what moves a trainee between versions.
func (s *server) registerStandardMoves() {
	type moves struct {
		InProgramme
		Trainee competency.PersonID `path:"trainee" maxLength:"64"`
	}
	type move struct {
		InProgramme
		Trainee competency.PersonID `path:"trainee" maxLength:"64"`
		Body    struct {
			Version int            `json:"version" required:"true" minimum:"1" maximum:"1000000" doc:"One that has come into force by that day."`
			From    competency.Day `json:"from,omitempty" maxLength:"10" doc:"Calendar day, today when absent, never earlier."`
			Reason  string         `json:"reason" required:"true" maxLength:"600" doc:"The trainee reads it."`
		}
	}
	const path = base + "/trainees/{trainee}/standard-moves"
	register(s, operation{
		id: "standard-moves", method: http.MethodGet, path: path, tag: "Standards", object: policies.Standing, action: policies.Read,
		summary: "A trainee's moves between versions of the standard, newest first", details: "None: the version that applied on joining judges.",
	}, func(ctx context.Context, in *moves) (*listed[service.StandardMoveView], error) {
		return page(s.Service.StandardMoves(ctx, actor(ctx), in.Programme, in.Trainee))
	})
	register(s, operation{
		id: "move-trainee", method: http.MethodPost, path: path, tag: "Standards", object: policies.Standard, action: policies.Move,
		summary: "Let another version judge a trainee from a day on", details: "On record and never undone but by another move. What earlier days were judged by stays.", status: http.StatusCreated,
	}, func(ctx context.Context, in *move) (*answer[service.StandardMoveView], error) {
		return given(s.Service.MoveTrainee(ctx, actor(ctx), in.Programme, in.Trainee, service.NewStandardMove{Version: in.Body.Version, From: in.Body.From, Reason: in.Body.Reason}))
	})
}

func (s *server) registerStandards() {
	type one struct {
		InProgramme
		Version int `path:"version" minimum:"1" maximum:"1000000"`
	}
	type addition struct {
		InProgramme
		Body newStandard
	}
	register(s, operation{
		id: "standard-kinds", method: http.MethodGet, path: "/api/standard-kinds", tag: "Standards", object: policies.Catalogue, action: policies.Read,
		summary: "The kinds of requirement and their fields", details: "What an editor asks for and what a standard is held to: one table, the same for everybody.",
	}, func(context.Context, *struct{}) (*listed[competency.RequirementKind], error) {
		return page(service.List[competency.RequirementKind]{Items: competency.RequirementKinds()}, nil)
	})
	register(s, operation{
		id: "standards", method: http.MethodGet, path: base + "/standards", tag: "Standards", object: policies.Standard, action: policies.List,
		summary: "The versions of the programme's standard, newest first",
	}, func(ctx context.Context, in *InProgramme) (*listed[service.StandardSummary], error) {
		return page(s.Service.Standards(ctx, actor(ctx), in.Programme))
	})
	register(s, operation{
		id: "standard", method: http.MethodGet, path: base + "/standards/{version}", tag: "Standards", object: policies.Standard, action: policies.Read,
		summary: "One version of the standard with its text",
	}, func(ctx context.Context, in *one) (*answer[service.StandardView], error) {
		return given(s.Service.StandardByVersion(ctx, actor(ctx), in.Programme, in.Version))
	})
	register(s, operation{
		id: "add-standard", method: http.MethodPost, path: base + "/standards", tag: "Standards", object: policies.Standard, action: policies.Create,
		summary: "Add a version of the standard", details: "It never changes afterwards. Trainees keep the version that applied when they joined.", status: http.StatusCreated,
	}, func(ctx context.Context, in *addition) (*made[service.StandardView], error) {
		view, err := s.Service.AddStandard(ctx, actor(ctx), in.Programme, in.Body.YAML, in.Body.InForceFrom)
		if err != nil {
			return nil, err
		}
		return &made[service.StandardView]{Location: at(in.Programme, "/standards/"+strconv.Itoa(view.Version)), Body: view}, nil
	})
	s.registerStandardMoves()
}
