package api

import (
	"context"
	"net/http"

	"isthmus/api/store"
	"isthmus/competency"
	"isthmus/policies"
)

// newPattern is a pattern to keep.
type newPattern struct {
	Name   string            `json:"name" required:"true" maxLength:"200"`
	Record competency.Record `json:"record" required:"true" doc:"Date, AF history, diameter, events and note are left out."`
}

// patternName is what a pattern is to be called.
type patternName struct {
	Name string `json:"name" required:"true" maxLength:"200"`
}

func (s *server) registerCasePatterns() {
	type creation struct {
		InProgramme
		Body newPattern
	}
	type one struct {
		InProgramme
		Pattern string `path:"pattern" maxLength:"64"`
	}
	type renaming struct {
		InProgramme
		Pattern string `path:"pattern" maxLength:"64"`
		Body    patternName
	}
	register(s, operation{
		id: "case-patterns", method: http.MethodGet, path: base + "/case-patterns", tag: "Cases", object: policies.CasePattern, action: policies.List,
		summary: "Your own saved operation patterns, by name",
	}, func(ctx context.Context, in *InProgramme) (*listed[store.CasePattern], error) {
		return page(s.Service.CasePatterns(ctx, actor(ctx), in.Programme))
	})
	register(s, operation{
		id: "save-case-pattern", method: http.MethodPost, path: base + "/case-patterns", tag: "Cases", object: policies.CasePattern, action: policies.Create,
		summary: "Keep a record as a pattern to begin cases from", details: "In place of your earlier one of that name. Nothing that belongs to one patient or one day is kept.",
		status: http.StatusCreated,
	}, func(ctx context.Context, in *creation) (*answer[store.CasePattern], error) {
		return given(s.Service.SaveCasePattern(ctx, actor(ctx), in.Programme, in.Body.Name, in.Body.Record))
	})
	register(s, operation{
		id: "rename-case-pattern", method: http.MethodPut, path: base + "/case-patterns/{pattern}", tag: "Cases", object: policies.CasePattern, action: policies.Edit,
		summary: "Give one of your patterns another name", details: "What it holds stays: to change that, save a pattern under the same name.",
	}, func(ctx context.Context, in *renaming) (*answer[store.CasePattern], error) {
		return given(s.Service.RenameCasePattern(ctx, actor(ctx), in.Programme, in.Pattern, in.Body.Name))
	})
	register(s, operation{
		id: "delete-case-pattern", method: http.MethodDelete, path: base + "/case-patterns/{pattern}", tag: "Cases", object: policies.CasePattern, action: policies.Delete,
		summary: "Delete one of your patterns", details: "Cases that began from it stay as they are.", status: http.StatusNoContent,
	}, func(ctx context.Context, in *one) (*struct{}, error) {
		return nil, s.Service.DeleteCasePattern(ctx, actor(ctx), in.Programme, in.Pattern)
	})
}

// joining names the other case.
type joining struct {
	With competency.CaseID `json:"with" required:"true" maxLength:"64"`
}

func (s *server) registerSharedCases() {
	type join struct {
		OneCase
		Body joining
	}
	also := []policies.Object{policies.Draft}
	register(s, operation{
		id: "join-case", method: http.MethodPost, path: base + "/cases/{case}/group", tag: "Cases", object: policies.Case, action: policies.Join, also: also,
		summary: "Say that a case and another trainee's are of one operation", details: "The two must have the same date, site, operation and supervisor. The case itself stays as it is.",
	}, func(ctx context.Context, in *join) (*caseAnswer, error) {
		return caseGiven(s.Service.JoinCase(ctx, actor(ctx), in.Programme, in.Case, in.Body.With))
	})
	register(s, operation{
		id: "leave-case-group", method: http.MethodDelete, path: base + "/cases/{case}/group", tag: "Cases", object: policies.Case, action: policies.Join, also: also,
		summary: "Take a case out of the group of one operation",
	}, func(ctx context.Context, in *OneCase) (*caseAnswer, error) {
		return caseGiven(s.Service.LeaveCaseGroup(ctx, actor(ctx), in.Programme, in.Case))
	})
}
