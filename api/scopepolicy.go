package api

import (
	"context"
	"net/http"
	"strconv"

	"isthmus/api/service"
	"isthmus/assessment"
	"isthmus/competency"
	"isthmus/policies"
)

// newScopePolicy is a version to add.
type newScopePolicy struct {
	Policy      *assessment.Policy `json:"policy,omitempty" doc:"The policy; or give yaml."`
	YAML        string             `json:"yaml,omitempty" maxLength:"200000" doc:"The policy as a file, comments and all; or give policy."`
	InForceFrom competency.Day     `json:"in_force_from" required:"true" maxLength:"10" doc:"Calendar day, today or later: from then on plans are graded by it."`
}

func (s *server) registerScopePolicies() {
	type one struct {
		InProgramme
		Version string `path:"version" maxLength:"10" doc:"A version's number, or default for the one that comes with the program."`
	}
	type addition struct {
		InProgramme
		Body newScopePolicy
	}
	register(s, operation{
		id: "scope-policies", method: http.MethodGet, path: base + "/scope-policies", tag: "Policies", object: policies.ScopePolicy, action: policies.List,
		summary: "The versions of the programme's scope policy, newest first", details: "At the end the one that comes with the program.",
	}, func(ctx context.Context, in *InProgramme) (*listed[service.ScopePolicySummary], error) {
		return page(s.Service.ScopePolicies(ctx, actor(ctx), in.Programme))
	})
	register(s, operation{
		id: "scope-policy-in-force", method: http.MethodGet, path: base + "/scope-policy", tag: "Policies", object: policies.ScopePolicy, action: policies.Read,
		summary: "The scope policy by which plans are graded today",
	}, func(ctx context.Context, in *InProgramme) (*answer[service.ScopePolicyView], error) {
		return given(s.Service.ScopePolicyInForce(ctx, actor(ctx), in.Programme))
	})
	register(s, operation{
		id: "scope-policy", method: http.MethodGet, path: base + "/scope-policies/{version}", tag: "Policies", object: policies.ScopePolicy, action: policies.Read,
		summary: "One version of the scope policy",
	}, func(ctx context.Context, in *one) (*answer[service.ScopePolicyView], error) {
		return given(s.Service.ScopePolicyByVersion(ctx, actor(ctx), in.Programme, in.Version))
	})
	register(s, operation{
		id: "add-scope-policy", method: http.MethodPost, path: base + "/scope-policies", tag: "Policies", object: policies.ScopePolicy, action: policies.Create,
		summary: "Add a version of the scope policy", details: "It never changes afterwards. What is graded already keeps its grade; a test keeps the version it was started with.",
		status: http.StatusCreated,
	}, func(ctx context.Context, in *addition) (*made[service.ScopePolicyView], error) {
		view, err := s.Service.AddScopePolicy(ctx, actor(ctx), in.Programme, service.ScopePolicyAddition{
			Policy: in.Body.Policy, YAML: in.Body.YAML, InForceFrom: in.Body.InForceFrom,
		})
		if err != nil {
			return nil, err
		}
		return &made[service.ScopePolicyView]{Location: at(in.Programme, "/scope-policies/"+strconv.Itoa(view.Version)), Body: view}, nil
	})
}
