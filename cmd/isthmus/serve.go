package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"time"
)

// ServeCmd serves the program on the configured database.
type ServeCmd struct {
	Migrate bool `help:"First bring the database to this version."`
}

// Help shows examples.
func (ServeCmd) Help() string {
	return `The database must be at this version (isthmus migrate up). Put a proxy that ends TLS in front of it.

Examples:
  isthmus serve --migrate
  DATABASE_URL=postgres://isthmus@/isthmus?host=/run/postgresql isthmus serve --listen 127.0.0.1:9000`
}

// Run serves until ctx ends (an interrupt), then lets running requests finish.
func (c ServeCmd) Run(ctx context.Context, config *Config, streams Streams) error {
	logger := config.logger(streams)
	logger.Info("starting", slog.String("version", version), slog.Any("configuration", *config))
	if c.Migrate {
		if err := (MigrateUpCmd{}).Run(ctx, config, streams); err != nil {
			return err
		}
	}
	program, err := assemble(ctx, *config, wallClock, logger)
	if err != nil {
		return err
	}
	defer program.close()
	defer program.work(ctx)()
	return listenAndServe(ctx, config.Listen, program.handler, logger, func(address string) {
		fmt.Fprintf(streams.Out, "Isthmus serves on http://%s\n", address)
	})
}

// wallClock is the one place where the program reads the time: UTC, to the microsecond both databases keep.
func wallClock() time.Time { return time.Now().UTC().Truncate(time.Microsecond) }

// graceful is how long running requests may take to finish after an interrupt.
const graceful = 10 * time.Second

// listenAndServe serves handler on address until ctx ends; ready is called with the real address once connections are accepted.
func listenAndServe(ctx context.Context, address string, handler http.Handler, logger *slog.Logger, ready func(address string)) error {
	listener, err := (&net.ListenConfig{}).Listen(ctx, "tcp", address)
	if err != nil {
		return fmt.Errorf("cannot listen on %s: %w", address, err)
	}
	server := &http.Server{
		Handler:           handler,
		ReadHeaderTimeout: 5 * time.Second,
		ReadTimeout:       30 * time.Second,
		WriteTimeout:      60 * time.Second,
		IdleTimeout:       2 * time.Minute,
		MaxHeaderBytes:    64 << 10,
		ErrorLog:          slog.NewLogLogger(logger.Handler(), slog.LevelWarn),
	}
	done := make(chan error, 1)
	go func() {
		<-ctx.Done()
		stopping, cancel := context.WithTimeout(context.WithoutCancel(ctx), graceful)
		defer cancel()
		done <- server.Shutdown(stopping)
	}()
	ready(listener.Addr().String())
	if err := server.Serve(listener); !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return <-done
}
