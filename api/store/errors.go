package store

import (
	"database/sql"
	"database/sql/driver"
	"errors"
	"fmt"
	"net"

	"github.com/jackc/pgx/v5/pgconn"
	"gorm.io/gorm"
)

// What the store refuses; compare with errors.Is.
var (
	ErrNotFound    = errors.New("not found")
	ErrStale       = errors.New("changed meanwhile: load it again")
	ErrDuplicate   = errors.New("already there")
	ErrReference   = errors.New("refers to something that is not there")
	ErrCursor      = errors.New("not a cursor of this list")
	ErrUnavailable = errors.New("the database does not answer")
	ErrNoAudit     = errors.New("a write without an audit entry was rolled back")
	errReadOnly    = errors.New("store: a write in a reading transaction")
	errOtherChain  = errors.New("store: a write on a programme other than the act's")
)

// translate gives an error of GORM or of a driver its name here; what is the matter stays in its text.
func translate(what string, err error) error {
	var name error
	switch {
	case err == nil:
		return nil
	case errors.Is(err, gorm.ErrRecordNotFound):
		return fmt.Errorf("%s: %w", what, ErrNotFound)
	case errors.Is(err, gorm.ErrDuplicatedKey):
		name = ErrDuplicate
	case errors.Is(err, gorm.ErrForeignKeyViolated):
		name = ErrReference
	case unreachable(err):
		name = ErrUnavailable
	default:
		return fmt.Errorf("%s: %w", what, err)
	}
	return fmt.Errorf("%s: %w (%w)", what, name, err)
}

// unreachable reports whether the database could not be asked at all, or sent us away: PostgreSQL's classes 53, insufficient resources,
// and 57, operator intervention, but not a cancelled query.
func unreachable(err error) bool {
	var connect *pgconn.ConnectError
	var network net.Error
	var answered *pgconn.PgError
	if errors.As(err, &answered) {
		class := answered.Code[:min(2, len(answered.Code))]
		return class == "53" || class == "57" && answered.Code != queryCanceled
	}
	return errors.As(err, &connect) || errors.As(err, &network) || errors.Is(err, driver.ErrBadConn) || errors.Is(err, sql.ErrConnDone)
}

// Codes after which the same transaction may succeed: PostgreSQL serialization_failure, deadlock_detected, lock_not_available, and one
// after which it need not be tried, query_canceled (PostgreSQL manual, appendix A); SQLite SQLITE_BUSY and SQLITE_LOCKED with their extended codes (sqlite.org/rescode.html).
const (
	serializationFailure = "40001"
	deadlockDetected     = "40P01"
	lockNotAvailable     = "55P03"
	queryCanceled        = "57014"
	sqliteBusy           = 5
	sqliteLocked         = 6
)

// retriable reports whether another transaction was in the way.
func retriable(err error) bool {
	var answered *pgconn.PgError
	if errors.As(err, &answered) {
		return answered.Code == serializationFailure || answered.Code == deadlockDetected || answered.Code == lockNotAvailable
	}
	var coded interface{ Code() int }
	if errors.As(err, &coded) {
		primary := coded.Code() & 0xff
		return primary == sqliteBusy || primary == sqliteLocked
	}
	return false
}
