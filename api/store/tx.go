package store

import (
	"context"
	"database/sql"
	"fmt"
	"time"

	"gorm.io/gorm"

	"isthmus/competency"
	"isthmus/migrations"
)

// Act is what somebody does: one transaction, at least one audit entry.
type Act struct {
	Programme competency.ProgrammeID // whose chain the entries join; empty for the platform's own
	Actor     competency.PersonID    // empty for the operator at the command line
	Name      string                 // for example case.sign-off
	RequestID string
	At        time.Time
}

// Tx is a transaction. It must not be used after the function it was given to has returned, nor by two goroutines.
type Tx struct {
	db      *gorm.DB
	act     *Act // nil while reading
	head    auditHeadRow
	wrote   bool
	audited bool
}

// attempts is how often a write is tried while other transactions are in the way.
const attempts = 5

// Read runs fn on one consistent view of the data. fn's error comes back as it is.
func (s *Store) Read(ctx context.Context, fn func(*Tx) error) error {
	options := &sql.TxOptions{ReadOnly: true}
	if s.dialect == migrations.PostgreSQL {
		options.Isolation = sql.LevelRepeatableRead // SQLite's readers see one snapshot anyway
	}
	return s.transact(ctx, options, func(db *gorm.DB) error { return fn(&Tx{db: db}) })
}

// Write runs fn as one transaction, which takes its turn among all writes of the act's programme, so that what fn reads holds until it
// commits. It rolls back when fn fails, and with ErrNoAudit when fn wrote something and left no audit entry. When another transaction
// is in the way fn runs again, a few times at most: it must not change what it closes over except to set its result anew. The error
// is fn's own, or ErrUnavailable when the way stayed blocked.
func (s *Store) Write(ctx context.Context, act Act, fn func(*Tx) error) error {
	act.At = utc(act.At)
	leave, err := s.enqueue(ctx)
	if err != nil {
		return fmt.Errorf("%s: %w", act.Name, err)
	}
	defer leave()
	return s.retry(ctx, func() error {
		return s.transact(ctx, nil, func(db *gorm.DB) error {
			tx := &Tx{db: db, act: &act}
			if err := tx.takeTurn(s.dialect); err != nil {
				return err
			}
			if err := fn(tx); err != nil {
				return err
			}
			if tx.wrote && !tx.audited {
				return fmt.Errorf("%s: %w", act.Name, ErrNoAudit)
			}
			return tx.saveHead()
		})
	})
}

// enqueue lets this process's writes at the database in order and few at a time, so that they never hold every connection, and so that
// on SQLite, which lets writers in by chance, none waits for long. Those of other processes wait in the database. The error is
// ErrUnavailable after the time a lock is waited for, or ctx's own.
func (s *Store) enqueue(ctx context.Context) (leave func(), err error) {
	late := time.NewTimer(lockWaitMS * time.Millisecond)
	defer late.Stop()
	select {
	case s.writers <- struct{}{}:
		return func() { <-s.writers }, nil
	case <-late.C:
		return nil, ErrUnavailable
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}

// transact commits what fn did, or rolls it back when fn fails or panics.
func (s *Store) transact(ctx context.Context, options *sql.TxOptions, fn func(*gorm.DB) error) error {
	ran := false
	err := s.db.WithContext(ctx).Transaction(func(db *gorm.DB) error {
		ran = true
		return fn(db)
	}, options)
	if !ran && err != nil && !retriable(err) {
		return fmt.Errorf("%w: %w", ErrUnavailable, err)
	}
	return err
}

// retry runs fn until no other transaction is in its way, waiting longer each time.
func (s *Store) retry(ctx context.Context, fn func() error) error {
	for attempt := 1; ; attempt++ {
		err := fn()
		if err == nil || !retriable(err) {
			return err
		}
		if attempt == attempts {
			return fmt.Errorf("%w: %w", ErrUnavailable, err)
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(time.Duration(attempt*attempt) * 5 * time.Millisecond):
		}
	}
}

// mayWrite refuses writes while reading, and writes on a programme whose chain would not hear of them. An empty programme stands for
// data that belongs to none.
func (tx *Tx) mayWrite(programme competency.ProgrammeID) error {
	switch {
	case tx.act == nil:
		return errReadOnly
	case programme != "" && programme != tx.act.Programme:
		return fmt.Errorf("%w: %q, not %q", errOtherChain, programme, tx.act.Programme)
	}
	tx.wrote = true
	return nil
}

// insert adds one row.
func (tx *Tx) insert(what string, programme competency.ProgrammeID, row any) error {
	if err := tx.mayWrite(programme); err != nil {
		return err
	}
	return translate(what, tx.db.Create(row).Error)
}

// take loads the one row a query names into row. The error is ErrNotFound when there is none.
func (tx *Tx) take(what string, row any, query string, args ...any) error {
	return translate(what, tx.db.Where(query, args...).Take(row).Error)
}
