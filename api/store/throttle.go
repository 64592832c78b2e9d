package store

import (
	"context"
	"time"
)

// Failed sign-ins are counted in short transactions of their own and without audit, so that a flood of them cannot grow the chain.
type failureRow struct {
	ID     int64 `gorm:"primaryKey;autoIncrement"`
	Target string
	At     time.Time
}

// TableName names the table.
func (failureRow) TableName() string { return "sign_in_failures" }

// RecordFailure counts one failed sign-in against a target, for example an account or an address.
func (s *Store) RecordFailure(ctx context.Context, target string, at time.Time) error {
	return s.retry(ctx, func() error {
		return translate("record failure", s.db.WithContext(ctx).Create(&failureRow{Target: target, At: utc(at)}).Error)
	})
}

// Failures counts the failed sign-ins against a target since a time.
func (s *Store) Failures(ctx context.Context, target string, since time.Time) (int, error) {
	var n int64
	err := s.db.WithContext(ctx).Model(&failureRow{}).Where("target = ? AND at >= ?", target, utc(since)).Count(&n).Error
	return int(n), translate("count failures", err)
}

// ClearFailures forgets the failed sign-ins against a target.
func (s *Store) ClearFailures(ctx context.Context, target string) error {
	return s.retry(ctx, func() error {
		return translate("clear failures", s.db.WithContext(ctx).Where("target = ?", target).Delete(&failureRow{}).Error)
	})
}

// DropOldFailures forgets every failed sign-in before a time.
func (s *Store) DropOldFailures(ctx context.Context, before time.Time) error {
	return s.retry(ctx, func() error {
		return translate("drop failures", s.db.WithContext(ctx).Where("at < ?", utc(before)).Delete(&failureRow{}).Error)
	})
}
