package main

import (
	"context"
	"fmt"
	"log/slog"
	"net/http"
	"time"

	"github.com/google/uuid"

	"isthmus/api"
	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/assessment"
	"isthmus/assessment/atrium"
	"isthmus/assessment/pack"
	"isthmus/migrations"
	"isthmus/policies"
	"isthmus/web"
)

// program is the whole program, put together and ready to serve.
type program struct {
	handler http.Handler
	store   *store.Store
	acts    *service.Service
	logger  *slog.Logger
}

// assemble puts the program together on the configured database, which must be at this version. The clock gives UTC to the microsecond.
func assemble(ctx context.Context, config Config, clock func() time.Time, logger *slog.Logger) (*program, error) {
	s, err := openCurrent(ctx, config)
	if err != nil {
		return nil, err
	}
	handler, acts, err := wire(s, config, clock, logger)
	if err != nil {
		s.Close()
		return nil, err
	}
	return &program{handler: handler, store: s, acts: acts, logger: logger}, nil
}

// close ends the program's use of its database.
func (p *program) close() { p.store.Close() }

// wire ties the API to its parts.
func wire(s *store.Store, config Config, clock func() time.Time, logger *slog.Logger) (http.Handler, *service.Service, error) {
	authorizer, err := policies.New()
	if err != nil {
		return nil, nil, err
	}
	deps := service.Deps{
		Store: s, Authorizer: authorizer, Model: atrium.Default(), Policy: assessment.DefaultPolicy(), Scenarios: pack.Scenarios(), Clock: clock, NewID: newID, URL: config.URL,
	}
	if config.SMTP != "" {
		deps.Mail = config.mailServer()
	}
	if config.XAPI != "" {
		deps.Records = config.recordStore()
	}
	acts, err := service.New(deps)
	if err != nil {
		return nil, nil, err
	}
	plain := config.Cookies == "plain"
	handler, err := api.New(api.Deps{
		Service: acts, Store: s, Authorizer: authorizer, Web: web.Handler(web.Options{HTTPS: !plain}),
		Ready:  func(ctx context.Context) error { return ready(ctx, s) },
		Logger: logger, Clock: clock, NewID: newID, Version: version, Idle: config.Idle, SignedIn: config.SignedIn, PlainCookies: plain,
	})
	return handler, acts, err
}

// newID makes a version 7 UUID, which sorts by time.
func newID() string { return uuid.Must(uuid.NewV7()).String() }

// openDatabase opens the configured database as it is.
func openDatabase(ctx context.Context, config Config) (*store.Store, error) {
	return store.Open(ctx, store.Config{URL: config.Database})
}

// openCurrent opens the configured database and refuses one that is not at this version.
func openCurrent(ctx context.Context, config Config) (*store.Store, error) {
	s, err := openDatabase(ctx, config)
	if err != nil {
		return nil, err
	}
	if err := ready(ctx, s); err != nil {
		s.Close()
		return nil, err
	}
	return s, nil
}

// ready reports nil when the database answers and is at this version.
func ready(ctx context.Context, s *store.Store) error {
	if err := s.Ping(ctx); err != nil {
		return err
	}
	pending, err := migrations.Pending(ctx, s.DB(), s.Dialect())
	switch {
	case err != nil:
		return err
	case pending > 0:
		return fmt.Errorf("the database lacks %d migrations: run isthmus migrate up", pending)
	case pending < 0:
		return fmt.Errorf("the database is of a newer version of the program")
	}
	return nil
}
