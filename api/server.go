// Package api is the program over HTTP: Gin carries it, Huma describes it, one file a noun. An operation reads a request, lets the service
// act, and answers; it decides nothing itself.
package api

import (
	"context"
	"encoding/json"
	"fmt"
	"log/slog"
	"net/http"
	"path"
	"reflect"
	"strings"
	"sync"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humagin"
	"github.com/gin-gonic/gin"

	"isthmus/api/service"
	"isthmus/api/signin"
	"isthmus/api/store"
	"isthmus/assessment/atrium"
	"isthmus/policies"
)

// Deps is what the API works with; every field but PlainCookies is required.
type Deps struct {
	Service      *service.Service
	Store        *store.Store
	Authorizer   *policies.Authorizer
	Web          http.Handler                // every path that is not the API's
	Ready        func(context.Context) error // nil when the database answers and is at this version
	Logger       *slog.Logger
	Clock        func() time.Time // UTC, microseconds
	NewID        func() string    // uuid v7
	Version      string
	Idle         time.Duration // a sign-in ends after this long without a request
	SignedIn     time.Duration // and after this long in any case
	PlainCookies bool          // cookies also over plain HTTP: development on a loopback address only
}

// server is the API while it is put together.
type server struct {
	Deps
	gate        *signin.Gate
	api         huma.API
	large       map[string]int64 // bytes that a body may have, of operations that take files; by what follows the programme in their path
	description []byte           // the OpenAPI document
	reference   []byte           // the same as a page
}

// New puts the API together. The error says what is missing in deps.
func New(deps Deps) (http.Handler, error) {
	s, engine, err := assemble(deps)
	if err != nil {
		return nil, err
	}
	return s.chain(engine), nil
}

// assemble registers every operation and renders the description.
func assemble(deps Deps) (*server, *gin.Engine, error) {
	if deps.Service == nil || deps.Store == nil || deps.Authorizer == nil || deps.Web == nil || deps.Ready == nil ||
		deps.Logger == nil || deps.Clock == nil || deps.NewID == nil {
		return nil, nil, fmt.Errorf("api: a dependency is missing")
	}
	prepareLibraries()
	s := &server{Deps: deps, large: map[string]int64{}}
	var err error
	s.gate, err = signin.NewGate(signin.Config{
		Store: deps.Store, Clock: deps.Clock, NewID: deps.NewID, Idle: deps.Idle, SignedIn: deps.SignedIn, Plain: deps.PlainCookies, OnError: s.failed,
	})
	if err != nil {
		return nil, nil, err
	}
	engine := newEngine()
	s.api = humagin.New(engine, s.humaConfig())
	s.api.UseMiddleware(s.admit)
	s.registerAll()
	if s.description, err = json.MarshalIndent(s.api.OpenAPI(), "", " "); err != nil {
		return nil, nil, fmt.Errorf("api: description: %w", err)
	}
	if s.reference, err = s.referencePage(); err != nil {
		return nil, nil, fmt.Errorf("api: reference page: %w", err)
	}
	s.routeUndescribed(engine)
	return s, engine, nil
}

// registerAll is every operation there is.
func (s *server) registerAll() {
	s.registerSession()
	s.registerTokens()
	s.registerDigest()
	s.registerCatalogue()
	s.registerProgramme()
	s.registerScenarios()
	s.registerActivation()
	s.registerPlans()
	s.registerComparison()
	s.registerGrowth()
	s.registerSittings()
	s.registerQuizzes()
	s.registerQuestions()
	s.registerTests()
	s.registerLibrary()
	s.registerAuthorActs()
	s.registerReviewActs()
	s.registerCases()
	s.registerCasePatterns()
	s.registerSharedCases()
	s.registerSettings()
	s.registerCaseFiles()
	s.registerImports()
	s.registerTraineeActs()
	s.registerSupervisorActs()
	s.registerAmendments()
	s.registerFollowUps()
	s.registerCaseKeys()
	s.registerStanding()
	s.registerStandards()
	s.registerPractice()
	s.registerSimulations()
	s.registerCaseMix()
	s.registerReports()
	s.registerScopePolicies()
	s.registerScopePolicyPreview()
	s.registerAudit()
	s.registerMembers()
	s.registerViewings()
	s.registerRotations()
	s.registerRoster()
	s.registerDisclosure()
	s.registerInvitations()
	s.registerOverrides()
	s.registerReminders()
	s.registerMeetings()
	s.registerDecisions()
}

// prepareLibraries sets what Gin and Huma keep in package variables, once for all servers of the process.
var prepareLibraries = sync.OnceFunc(func() {
	gin.SetMode(gin.ReleaseMode)
	huma.NewError = func(status int, message string, errs ...error) huma.StatusError {
		return humaProblem(context.Background(), status, message, errs...)
	}
	huma.NewErrorWithContext = func(ctx huma.Context, status int, message string, errs ...error) huma.StatusError {
		return humaProblem(ctx.Context(), status, message, errs...)
	}
})

// humaConfig is the description's head. The library's own documentation page loads scripts from another site, so it is off.
func (s *server) humaConfig() huma.Config {
	config := huma.DefaultConfig("Isthmus", s.Version)
	config.OpenAPI.Info.Description = "Teaching the surgical treatment of atrial fibrillation: scenarios and graded plans, cases and their sign-off, " +
		"standing against the programme's standard. " + atrium.Caution
	config.OpenAPIPath, config.DocsPath, config.SchemasPath, config.CreateHooks = "", "", "", nil
	config.Components.Schemas = huma.NewMapRegistry("#/components/schemas/", schemaName)
	config.Components.SecuritySchemes = map[string]*huma.SecurityScheme{
		"session": {Type: "apiKey", In: "cookie", Name: s.gate.CookieName(), Description: "Set by signing in. Writes must come from this site's own pages."},
		"token":   {Type: "http", Scheme: "bearer", Description: "A bearer token, made under /api/tokens."},
	}
	config.Formats = map[string]huma.Format{"application/json": strictJSON, "json": strictJSON}
	config.RejectUnknownQueryParameters = true
	config.FieldsOptionalByDefault = true // what an input needs the domain says, with a reason
	return config
}

// strictJSON refuses text that one of the databases could not keep.
var strictJSON = huma.Format{
	Marshal: huma.DefaultJSONFormat.Marshal,
	Unmarshal: func(data []byte, into any) error {
		if strings.Contains(string(data), `\u0000`) {
			return fmt.Errorf("a text holds the NUL character: remove it")
		}
		return huma.DefaultJSONFormat.Unmarshal(data, into)
	},
}

// schemaName names a type in the description: by package where two packages share a name.
func schemaName(t reflect.Type, hint string) string {
	name := huma.DefaultSchemaNamer(t, hint)
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	switch from := path.Base(t.PkgPath()); from {
	case ".", "api", "service", "signin", "store":
		return name
	default:
		return strings.ToUpper(from[:1]) + from[1:] + name
	}
}
