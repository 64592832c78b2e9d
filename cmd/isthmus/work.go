package main

import (
	"context"
	"log/slog"
	"sync"
	"time"
)

// workEvery is how often the program looks for an import, a simulation or a report to work off, a digest to send, or a statement to write or hand over.
const workEvery = time.Second

// work works off imports, simulations and reports and sends digests and statements, beside one another, until ctx ends or stop is called, which waits for what is in work to break off;
// another program, or the next start, takes that up again. Any number of programs on one database may look: one has a thing at a time.
func (p *program) work(ctx context.Context) (stop func()) {
	ctx, cancel := context.WithCancel(ctx)
	var all sync.WaitGroup
	for name, does := range map[string]func(context.Context) (bool, error){
		"import": p.acts.WorkOnImports, "digest": p.acts.WorkOnDigests, "simulation": p.acts.WorkOnSimulations, "statement": p.acts.WorkOnStatements, "untold": p.acts.TellStatements, "report": p.acts.WorkOnReports,
	} {
		all.Go(func() { p.again(ctx, name, does) })
	}
	return func() {
		cancel()
		all.Wait()
	}
}

// again does one thing after another, and looks for the next every so often, until ctx ends.
func (p *program) again(ctx context.Context, name string, does func(context.Context) (bool, error)) {
	ticker := time.NewTicker(workEvery)
	defer ticker.Stop()
	for {
		worked, err := does(ctx)
		if err != nil && ctx.Err() == nil {
			p.logger.Warn(name, slog.Any("error", err))
		}
		if worked && err == nil {
			continue
		}
		select {
		case <-ctx.Done():
			return
		case <-ticker.C:
		}
	}
}
