package store

import (
	"context"
	"time"

	"gorm.io/gorm/clause"
)

// Sessions are kept by the hash of their token, in short transactions of their own and without audit: signing in is audited by the
// act that does it.
type sessionRow struct {
	TokenHash string `gorm:"primaryKey"`
	Data      []byte
	ExpiresAt time.Time
}

// TableName names the table.
func (sessionRow) TableName() string { return "sessions" }

// FindSession gives a session's data; false when there is none or it ended before now.
func (s *Store) FindSession(ctx context.Context, hash string, now time.Time) ([]byte, bool, error) {
	var rows []sessionRow
	err := s.db.WithContext(ctx).Where("token_hash = ? AND expires_at > ?", hash, utc(now)).Limit(1).Find(&rows).Error
	if err != nil || len(rows) == 0 {
		return nil, false, translate("find session", err)
	}
	return rows[0].Data, true, nil
}

// CommitSession keeps a session's data until it ends, in place of what was there.
func (s *Store) CommitSession(ctx context.Context, hash string, data []byte, expires time.Time) error {
	row := sessionRow{TokenHash: hash, Data: data, ExpiresAt: utc(expires)}
	replace := clause.OnConflict{Columns: []clause.Column{{Name: "token_hash"}}, DoUpdates: clause.AssignmentColumns([]string{"data", "expires_at"})}
	return s.retry(ctx, func() error {
		return translate("commit session", s.db.WithContext(ctx).Clauses(replace).Create(&row).Error)
	})
}

// DeleteSession ends a session; one that is not there is no error.
func (s *Store) DeleteSession(ctx context.Context, hash string) error {
	return s.retry(ctx, func() error {
		return translate("delete session", s.db.WithContext(ctx).Where("token_hash = ?", hash).Delete(&sessionRow{}).Error)
	})
}

// Sessions gives the data of every session that has not ended, by hash.
func (s *Store) Sessions(ctx context.Context, now time.Time) (map[string][]byte, error) {
	var rows []sessionRow
	err := s.db.WithContext(ctx).Where("expires_at > ?", utc(now)).Find(&rows).Error
	all := make(map[string][]byte, len(rows))
	for _, row := range rows {
		all[row.TokenHash] = row.Data
	}
	return all, translate("sessions", err)
}

// DropExpiredSessions removes the sessions that ended by now.
func (s *Store) DropExpiredSessions(ctx context.Context, now time.Time) error {
	return s.retry(ctx, func() error {
		return translate("drop sessions", s.db.WithContext(ctx).Where("expires_at <= ?", utc(now)).Delete(&sessionRow{}).Error)
	})
}
