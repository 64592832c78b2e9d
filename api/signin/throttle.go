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
// password is looked at, and the count is read again afterwards: of many attempts at once no more than the limit get through, because
// the k-th to be counted sees at least k. Success clears the count.
func (g *Gate) throttle(ctx context.Context, account, place string) error {
	now := g.config.Clock()
	if err := g.atMost(ctx, place, failuresAddress-1, now); err != nil {
		return err
	}
	if err := g.atMost(ctx, account, failuresAccount-1, now); err != nil {
		return err
	}
	if err := g.config.Store.RecordFailure(ctx, account, now); err != nil {
		return err
	}
	return g.atMost(ctx, account, failuresAccount, now)
}

// atMost gives *Throttled when target has more than most failures within the window.
func (g *Gate) atMost(ctx context.Context, target string, most int, now time.Time) error {
	failures, err := g.config.Store.Failures(ctx, target, now.Add(-throttleWindow))
	if err != nil {
		return err
	}
	if failures > most {
		return &Throttled{RetryAfter: throttleWindow}
	}
	return nil
}

// sweep deletes what no longer matters: old failures and ended sessions. It runs with each sign-in, which is seldom enough.
func (g *Gate) sweep(ctx context.Context) error {
	now := g.config.Clock()
	if err := g.config.Store.DropOldFailures(ctx, now.AddDate(0, 0, -keepFailuresDays)); err != nil {
		return err
	}
	return g.config.Store.DropExpiredSessions(ctx, now)
}
