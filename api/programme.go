package api

import (
	"context"
	"net/http"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/policies"
)

// base is the path of everything in a programme.
const base = "/api/programmes/{programme}"

func (s *server) registerProgramme() {
	type people struct {
		InProgramme
		Role policies.Role `query:"role" maxLength:"20" doc:"Only members with this role."`
	}
	register(s, operation{
		id: "programme", method: http.MethodGet, path: base, tag: "Programme", object: policies.Programme, action: policies.Read,
		summary: "The programme and its settings",
	}, func(ctx context.Context, in *InProgramme) (*answer[service.ProgrammeView], error) {
		return given(s.Service.Programme(ctx, actor(ctx), in.Programme))
	})
	register(s, operation{
		id: "people", method: http.MethodGet, path: base + "/people", tag: "Programme", object: policies.People, action: policies.List,
		summary: "Today's members with their roles, by name",
	}, func(ctx context.Context, in *people) (*listed[service.Member], error) {
		list, err := s.Service.People(ctx, actor(ctx), in.Programme, in.Role)
		return page(list, inQuery(ctx, err))
	})
}

func (s *server) registerAudit() {
	type entries struct {
		InProgramme
		Paged
	}
	register(s, operation{
		id: "audit", method: http.MethodGet, path: base + "/audit", tag: "Audit", object: policies.Audit, action: policies.List,
		summary: "The audit trail, newest first", details: "Each entry holds the hash of the one before it; the contents themselves are not in it.",
	}, func(ctx context.Context, in *entries) (*listed[store.AuditEntry], error) {
		return page(s.Service.AuditEntries(ctx, actor(ctx), in.Programme, in.page()))
	})
}
