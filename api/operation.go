package api

import (
	"context"
	"errors"
	"net/http"
	"strings"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humagin"

	"isthmus/api/service"
	"isthmus/api/signin"
	"isthmus/assessment/strict"
	"isthmus/policies"
)

// operation is one thing the API does. Object and action are what the policies are asked about; also names objects a case can turn out
// to be once it is loaded.
type operation struct {
	id, method, path, summary, details string
	tag                                string
	object                             policies.Object
	action                             policies.Action
	also                               []policies.Object
	status                             int   // of success; 0 is 200
	most                               int64 // bytes of the body; 0 is what huma sets, 1 MiB
}

// The keys of an operation's metadata.
const (
	metaObject = "object"
	metaAction = "action"
	metaAlso   = "also"
)

// register adds an operation. It panics when object or action are missing: an operation nobody decided about must not exist.
func register[I, O any](s *server, op operation, handler func(context.Context, *I) (*O, error)) {
	if op.object == "" || op.action == "" {
		panic("api: operation " + op.id + " names no object or action")
	}
	if op.most > 0 {
		path, within := strings.CutPrefix(op.path, base)
		if !within || op.method != http.MethodPost || strings.Contains(path, "{") {
			panic("api: operation " + op.id + " takes a large body at an address that limits does not know")
		}
		s.large[path] = op.most
	}
	described := huma.Operation{
		OperationID: op.id, Method: op.method, Path: op.path, Summary: op.summary, Description: op.details, Tags: []string{op.tag}, DefaultStatus: op.status, MaxBodyBytes: op.most,
		Metadata: map[string]any{metaObject: op.object, metaAction: op.action, metaAlso: op.also},
		Security: []map[string][]string{{"session": {}}, {"token": {}}},
	}
	if _, changes := any(new(I)).(interface{ ifMatch() *huma.Param }); changes {
		described.Parameters = []*huma.Param{Changing{}.ifMatch()}
	}
	if op.public(s.Authorizer) {
		described.Security = []map[string][]string{}
	}
	huma.Register(s.api, described, func(ctx context.Context, input *I) (*O, error) {
		output, err := handler(ctx, input)
		if err != nil {
			return nil, s.problemOf(ctx, err)
		}
		return output, nil
	})
}

// public reports whether a visitor may use the operation.
func (op operation) public(allow *policies.Authorizer) bool {
	return allow.Allowed([]policies.Role{policies.Visitor}, op.object, op.action, policies.Anywhere)
}

// admit finds out who calls and asks the policies what can be decided before anything is loaded: visitors come no further than the
// sign-in, and outside a programme everybody has only what is their own. What is in a programme the service decides, where the
// memberships are.
func (s *server) admit(ctx huma.Context, next func(huma.Context)) {
	object, action, known := meaning(ctx.Operation())
	if !known {
		s.refuse(ctx, service.ErrForbidden)
		return
	}
	caller, err := s.gate.Who(humagin.Unwrap(ctx).Request)
	switch {
	case err == nil:
		ctx = huma.WithValue(ctx, callerKey{}, caller)
		noteCaller(ctx.Context(), caller.Person)
	case !s.Authorizer.Allowed([]policies.Role{policies.Visitor}, object, action, policies.Anywhere):
		s.refuse(ctx, err)
		return
	}
	if err == nil && !strings.Contains(ctx.Operation().Path, "{programme}") && len(s.Authorizer.Scope([]policies.Role{policies.Person}, object, action)) == 0 {
		s.refuse(ctx, service.ErrForbidden)
		return
	}
	next(ctx)
}

// meaning is the object and the action of an operation.
func meaning(op *huma.Operation) (policies.Object, policies.Action, bool) {
	object, hasObject := op.Metadata[metaObject].(policies.Object)
	action, hasAction := op.Metadata[metaAction].(policies.Action)
	return object, action, hasObject && hasAction
}

// refuse answers before the operation runs.
func (s *server) refuse(ctx huma.Context, err error) {
	var problem *Problem
	if !errors.As(s.problemOf(ctx.Context(), err), &problem) {
		problem = internal.problem(ctx.Context(), internal.says)
	}
	if problem.Status == http.StatusUnauthorized {
		ctx.SetHeader("WWW-Authenticate", `Bearer realm="isthmus"`)
	}
	writeProblem(humagin.Unwrap(ctx).Writer, problem)
}

// callerKey is the context key of the caller.
type callerKey struct{}

// caller is who calls; the zero Caller when nobody is signed in.
func caller(ctx context.Context) signin.Caller {
	who, _ := ctx.Value(callerKey{}).(signin.Caller)
	return who
}

// actor is the caller as the service wants to know them.
func actor(ctx context.Context) service.Actor {
	who := caller(ctx)
	return service.Actor{Person: who.Person, Name: who.Name, RequestID: requestID(ctx), ProvedAt: who.ProvedAt}
}

// inQuery marks the faults of an error as found in the query, not in the body.
func inQuery(ctx context.Context, err error) error {
	var faults strict.Faults
	if errors.As(err, &faults) {
		return invalid.problem(ctx, "see the list of fields", faultsIn("query", faults)...)
	}
	return err
}
