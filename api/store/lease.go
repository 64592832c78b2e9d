package store

import (
	"context"
	"fmt"
	"time"

	"gorm.io/gorm"

	"isthmus/competency"
)

// Long work is a row of a table of jobs with a lease: any process may take it up while nobody holds that. Such a table has the columns
// state ('waiting' until it is over), total, ready, lease, lease_until and tries. Progress and leases are kept in short transactions of
// their own and without audit: they say who works, not what was done.

// waiting is the state of every job that is not over.
const waiting = "waiting"

// takeLease takes the oldest waiting row of a table that nobody works on until a time; the id is empty when there is none.
func (s *Store) takeLease(ctx context.Context, table, lease string, now, until time.Time) (string, error) {
	const free = "state = ? AND (lease_until IS NULL OR lease_until < ?)"
	db := s.db.WithContext(ctx).Table(table)
	var ids []string
	err := db.Session(&gorm.Session{}).Where(free, waiting, utc(now)).Order("created_at, id").Limit(1).Pluck("id", &ids).Error
	if err != nil || len(ids) == 0 {
		return "", translate("waiting "+table, err)
	}
	took := false
	err = s.retry(ctx, func() error {
		changed := db.Session(&gorm.Session{}).Where("id = ?", ids[0]).Where(free, waiting, utc(now)).
			Updates(map[string]any{"lease": lease, "lease_until": utc(until), "tries": gorm.Expr("tries + 1"), "ready": 0})
		took = changed.RowsAffected == 1
		return translate("lease of "+table, changed.Error)
	})
	if err != nil || !took {
		return "", err
	}
	return ids[0], nil
}

// keepLease says how much of a row is ready and holds the lease until a time; false when it is lost.
func (s *Store) keepLease(ctx context.Context, table, id, lease string, ready int, until time.Time) (bool, error) {
	kept := false
	err := s.retry(ctx, func() error {
		changed := s.db.WithContext(ctx).Table(table).Where("id = ? AND state = ? AND lease = ?", id, waiting, lease).
			Updates(map[string]any{"ready": ready, "lease_until": utc(until)})
		kept = changed.RowsAffected == 1
		return translate("progress of "+table, changed.Error)
	})
	return kept, err
}

// holdsLease reports whether a row still waits under a lease.
func (tx *Tx) holdsLease(table string, programme competency.ProgrammeID, id, lease string) (bool, error) {
	var n int64
	err := tx.db.Table(table).Where("programme_id = ? AND id = ? AND state = ? AND lease = ?", programme, id, waiting, lease).Count(&n).Error
	return n == 1, translate("lease of "+table, err)
}

// endJob changes a row whose work is over, or was before, and lets its lease go. The error is ErrStale when its revision is another than
// expected by now.
func (tx *Tx) endJob(table string, programme competency.ProgrammeID, id string, expected int, changes map[string]any) error {
	if err := tx.mayWrite(programme); err != nil {
		return err
	}
	changes["lease"], changes["lease_until"], changes["revision"] = "", nil, expected+1
	changed := tx.db.Table(table).Where("programme_id = ? AND id = ? AND revision = ?", programme, id, expected).Updates(changes)
	if changed.Error == nil && changed.RowsAffected == 0 {
		return fmt.Errorf("end one of %s: %w", table, ErrStale)
	}
	return translate("end one of "+table, changed.Error)
}
