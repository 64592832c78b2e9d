package main

import (
	"context"
	"log/slog"
	"time"
)

// workEvery is how often the program looks for an import to work off, or a digest to send. Any number of programs on one database may look: one has it.
const workEvery = time.Second

// work works off imports and sends digests until ctx ends or stop is called, which waits for the one in work to break off; another program, or the next
// start, takes that up again.
func (p *program) work(ctx context.Context) (stop func()) {
	ctx, cancel := context.WithCancel(ctx)
	ended := make(chan struct{})
	go func() {
		defer close(ended)
		ticker := time.NewTicker(workEvery)
		defer ticker.Stop()
		for {
			imported, err := p.acts.WorkOnImports(ctx)
			if err != nil && ctx.Err() == nil {
				p.logger.Warn("import", slog.Any("error", err))
			}
			sent, mailErr := p.acts.WorkOnDigests(ctx)
			if mailErr != nil && ctx.Err() == nil {
				p.logger.Warn("digest", slog.Any("error", mailErr))
			}
			if (imported || sent) && err == nil && mailErr == nil {
				continue
			}
			select {
			case <-ctx.Done():
				return
			case <-ticker.C:
			}
		}
	}()
	return func() {
		cancel()
		<-ended
	}
}
