package api

import (
	"context"
	"net/http"
	"strconv"

	"isthmus/api/service"
	"isthmus/competency"
	"isthmus/policies"
)

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

// standardText is a standard as YAML.
type standardText struct {
	YAML string `json:"yaml"`
}

// standardTrial is a standard in the making.
type standardTrial struct {
	YAML        string               `json:"yaml" maxLength:"200000" doc:"The text; beside a standard, the text whose manner and comments are kept."`
	Standard    *competency.Standard `json:"standard,omitempty" doc:"What a form says."`
	InForceFrom competency.Day       `json:"in_force_from,omitempty" maxLength:"10"`
}

func (s *server) registerStandards() {
	type StandardVersion struct {
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
		id: "standard-example", method: http.MethodGet, path: "/api/standard-example", tag: "Standards", object: policies.Catalogue, action: policies.Read,
		summary: "An example to start a standard from", details: "Its numbers are nobody's recommendation: the programme sets its own.",
	}, func(context.Context, *struct{}) (*answer[standardText], error) {
		return &answer[standardText]{Body: standardText{string(competency.ExampleStandardYAML())}}, nil
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
	}, func(ctx context.Context, in *StandardVersion) (*answer[service.StandardView], error) {
		return given(s.Service.StandardByVersion(ctx, actor(ctx), in.Programme, in.Version))
	})
	type trial struct {
		InProgramme
		Body standardTrial
	}
	type comparison struct {
		StandardVersion
		Before int `query:"before" minimum:"1" maximum:"1000000" doc:"The version compared with; the one added before it when absent."`
	}
	register(s, operation{
		id: "check-standard", method: http.MethodPost, path: base + "/standards/check", tag: "Standards", object: policies.Standard, action: policies.Preview,
		summary: "What a standard in the making says, what is wrong with it, and what it would mean", details: "Faults are in the answer, with line and field. Nothing is kept.",
	}, func(ctx context.Context, in *trial) (*answer[service.StandardCheck], error) {
		return given(s.Service.CheckStandard(ctx, actor(ctx), in.Programme, service.StandardTrial{YAML: in.Body.YAML, Standard: in.Body.Standard, InForceFrom: in.Body.InForceFrom}))
	})
	register(s, operation{
		id: "compare-standards", method: http.MethodGet, path: base + "/standards/{version}/differences", tag: "Standards", object: policies.Standard, action: policies.Read,
		summary: "What a version says otherwise than another, in words",
	}, func(ctx context.Context, in *comparison) (*answer[service.StandardDifferences], error) {
		return given(s.Service.CompareStandards(ctx, actor(ctx), in.Programme, in.Before, in.Version))
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
