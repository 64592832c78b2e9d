package signin

import (
	"context"
	"fmt"
	"time"
)

// The throttle: after so many failures within the window nothing more is tried. A whole hospital can share one address, so that limit
// is wider.
const (
	throttleWindow   = 15 * time.Minute
	failuresAccount  = 5
	failuresAddress  = 50
	keepFailuresDays = 1
)

// Throttled says that there were too many failed sign-ins, and when to try again.
type Throttled struct {
	RetryAfter time.Duration
}

// Error says when to try again.
func (t *Throttled) Error() string {
	return fmt.Sprintf("too many failed sign-ins: try again in %d minutes", int(t.RetryAfter.Minutes()))
}

// throttle refuses when account or place have too many failures behind them. The attempt is counted against the account before the
// password is looked at, so that many attempts at once cannot slip past the limit; success clears the count.
func (g *Gate) throttle(ctx context.Context, account, place string) error {
	now := g.Clock()
	for _, limit := range []struct {
		target string
		most   int
	}{{account, failuresAccount}, {place, failuresAddress}} {
		failures, err := g.Store.Failures(ctx, limit.target, now.Add(-throttleWindow))
		if err != nil {
			return err
		}
		if failures >= limit.most {
			return &Throttled{RetryAfter: throttleWindow}
		}
	}
	return g.Store.RecordFailure(ctx, account, now)
}

// sweep deletes what no longer matters: old failures and ended sessions. It runs with each sign-in, which is seldom enough.
func (g *Gate) sweep(ctx context.Context) error {
	now := g.Clock()
	if err := g.Store.DropOldFailures(ctx, now.AddDate(0, 0, -keepFailuresDays)); err != nil {
		return err
	}
	return g.Store.DropExpiredSessions(ctx, now)
}
