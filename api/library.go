package api

import (
	"context"
	"net/http"

	"isthmus/api/service"
	"isthmus/assessment"
	"isthmus/policies"
)

// OneEdition is what every operation on a scenario of the library takes.
type OneEdition struct {
	InProgramme
	Scenario assessment.ScenarioID `path:"edition" maxLength:"100" doc:"Id of the scenario."`
}

// OneEditionChange is what every change of a scenario of the library takes.
type OneEditionChange struct {
	OneEdition
	Changing
}

// editionAnswer is a scenario of the library with its ETag.
type editionAnswer struct {
	ETag string `header:"ETag" doc:"For If-Match of the next change."`
	Body service.EditionView
}

// editionGiven answers with a scenario of the library.
func editionGiven(view service.EditionView, err error) (*editionAnswer, error) {
	if err != nil {
		return nil, err
	}
	return &editionAnswer{ETag: etag(view.Head.Revision), Body: view}, nil
}

// editionMade is a new scenario of the library with its ETag and address.
type editionMade struct {
	ETag     string `header:"ETag"`
	Location string `header:"Location"`
	Body     service.EditionView
}

// editionFile is a scenario as a file.
type editionFile struct {
	ContentType string `header:"Content-Type"`
	Disposition string `header:"Content-Disposition"`
	Body        []byte
}

func (s *server) registerLibrary() {
	type creation struct {
		InProgramme
		Creating
		Body service.EditionText
	}
	type checking struct {
		InProgramme
		Body service.EditionText
	}
	type many struct {
		InProgramme
		Paged
	}
	register(s, operation{
		id: "library", method: http.MethodGet, path: base + "/library", tag: "Library", object: policies.Edition, action: policies.List,
		summary: "Every scenario of the programme's library, drafts included", details: "Faculty and director only, like all of the library: it holds the answers.",
	}, func(ctx context.Context, in *many) (*listed[service.EditionHead], error) {
		return page(s.Service.Library(ctx, actor(ctx), in.Programme, in.page()))
	})
	register(s, operation{
		id: "create-edition", method: http.MethodPost, path: base + "/library", tag: "Library", object: policies.Edition, action: policies.Create,
		summary: "Begin a scenario, or import one from its file", status: http.StatusCreated,
		details: "It becomes the draft of version 1 and may be unfinished. Free text is screened for identifiers of patients before it is saved.",
	}, func(ctx context.Context, in *creation) (*editionMade, error) {
		view, err := s.Service.CreateEdition(ctx, actor(ctx), in.Programme, service.EditionCreation{EditionText: in.Body, IdempotencyKey: in.Key})
		if err != nil {
			return nil, err
		}
		return &editionMade{ETag: etag(view.Head.Revision), Location: at(in.Programme, "/library/"+string(view.Head.ID)), Body: view}, nil
	})
	register(s, operation{
		id: "check-scenario", method: http.MethodPost, path: base + "/library/check", tag: "Library", object: policies.Edition, action: policies.Preview,
		summary: "What is wrong with a scenario, and how its answers are graded", details: "The same words as isthmus check; of a file with line and column. Nothing is kept.",
	}, func(ctx context.Context, in *checking) (*answer[service.ScenarioCheck], error) {
		return given(s.Service.CheckScenario(ctx, actor(ctx), in.Programme, in.Body))
	})
	register(s, operation{
		id: "edition", method: http.MethodGet, path: base + "/library/{edition}", tag: "Library", object: policies.Edition, action: policies.Read,
		summary: "One scenario of the library with its answers, its mistakes and its history",
	}, func(ctx context.Context, in *OneEdition) (*editionAnswer, error) {
		return editionGiven(s.Service.EditionByID(ctx, actor(ctx), in.Programme, in.Scenario))
	})
	s.registerEditionVersions()
}

// registerEditionVersions is what reads the versions of a scenario and its file.
func (s *server) registerEditionVersions() {
	type one struct {
		OneEdition
		Version int `path:"version" minimum:"1" maximum:"1000000"`
	}
	type file struct {
		OneEdition
		Version int `query:"version" minimum:"0" maximum:"1000000" doc:"A version that went live; absent for what is worked on."`
	}
	register(s, operation{
		id: "edition-versions", method: http.MethodGet, path: base + "/library/{edition}/versions", tag: "Library", object: policies.Edition, action: policies.Read,
		summary: "The versions of a scenario that went live, newest first",
	}, func(ctx context.Context, in *OneEdition) (*listed[service.VersionSummary], error) {
		return page(s.Service.EditionVersions(ctx, actor(ctx), in.Programme, in.Scenario))
	})
	register(s, operation{
		id: "edition-version", method: http.MethodGet, path: base + "/library/{edition}/versions/{version}", tag: "Library", object: policies.Edition, action: policies.Read,
		summary: "One version of a scenario that went live, with its answers",
	}, func(ctx context.Context, in *one) (*answer[service.VersionView], error) {
		return given(s.Service.EditionVersion(ctx, actor(ctx), in.Programme, in.Scenario, in.Version))
	})
	register(s, operation{
		id: "edition-file", method: http.MethodGet, path: base + "/library/{edition}/file", tag: "Library", object: policies.Edition, action: policies.Read,
		summary: "A scenario as a file in YAML", details: "isthmus check reads it, and importing it gives the same scenario.",
	}, func(ctx context.Context, in *file) (*editionFile, error) {
		text, err := s.Service.EditionFile(ctx, actor(ctx), in.Programme, in.Scenario, in.Version)
		if err != nil {
			return nil, err
		}
		name := `attachment; filename="` + string(in.Scenario) + `.yaml"`
		return &editionFile{ContentType: "text/yaml; charset=utf-8", Disposition: name, Body: text}, nil
	})
}
