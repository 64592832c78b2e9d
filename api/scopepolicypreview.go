package api

import (
	"context"
	"net/http"

	"isthmus/api/service"
	"isthmus/assessment"
	"isthmus/policies"
)

// triedPolicy is a policy to try out.
type triedPolicy struct {
	Policy assessment.Policy     `json:"policy" required:"true"`
	Check  bool                  `json:"check,omitempty" doc:"Only check the policy; nothing is graded."`
	After  assessment.ScenarioID `json:"after,omitempty" maxLength:"100" doc:"Go on after this scenario: next of the call before."`
}

// registerScopePolicyPreview is beside the versions of the scope policy: trying one out changes nothing.
func (s *server) registerScopePolicyPreview() {
	type trial struct {
		InProgramme
		Body triedPolicy
	}
	register(s, operation{
		id: "preview-scope-policy", method: http.MethodPost, path: base + "/scope-policies/preview", tag: "Policies", object: policies.ScopePolicy, action: policies.Preview,
		summary: "What another scope policy would change", details: "The answers of every live scenario are graded under it and under the one in force, some of them a call: go on with next. Nothing is kept.",
	}, func(ctx context.Context, in *trial) (*answer[service.PolicyPreview], error) {
		return given(s.Service.PreviewScopePolicy(ctx, actor(ctx), in.Programme, service.PolicyTrial(in.Body)))
	})
}
