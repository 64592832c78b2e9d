package signin

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"strings"
	"time"

	"github.com/alexedwards/scs/v2"

	"isthmus/api/store"
	"isthmus/competency"
)

// What a sign-in is refused for; compare with errors.Is.
var (
	ErrNobody     = errors.New("sign in first")
	ErrEnded      = errors.New("the sign-in has ended: sign in again")
	ErrWrong      = errors.New("e-mail address or password is wrong")
	ErrBadToken   = errors.New("the bearer token is unknown, expired or revoked")
	ErrWrongProof = errors.New("the password is wrong")
	ErrShut       = errors.New("this account is closed: the coordinator of your programme can open it again")
	ErrNeedsLogin = errors.New("this needs a sign-in with a password: a token cannot do it")
)

// Config is what a Gate works with; every field but Plain is required.
type Config struct {
	Store    *store.Store
	Clock    func() time.Time // UTC, microseconds
	NewID    func() string
	Idle     time.Duration // a sign-in ends after this long without a request
	SignedIn time.Duration // and after this long in any case
	Plain    bool          // cookies also over plain HTTP: development on a loopback address only
	OnError  func(http.ResponseWriter, *http.Request, error)
}

// Gate lets people in. It is safe for concurrent use; all it knows of sessions, tokens and failures lies in the database.
type Gate struct {
	config    Config
	passwords *hasher
	sessions  *scs.SessionManager
}

// Caller is who a request comes from.
type Caller struct {
	Person  competency.PersonID
	Name    string
	Email   string
	ByToken bool // by a bearer token, not by a session
	// ProvedAt is when the caller last gave their password in this session; zero for a bearer token.
	ProvedAt time.Time
}

// NewGate checks config.
func NewGate(config Config) (*Gate, error) {
	if config.Store == nil || config.Clock == nil || config.NewID == nil || config.OnError == nil || config.Idle <= 0 || config.SignedIn < config.Idle {
		return nil, fmt.Errorf("signin: store, clock, ids, error page and both time limits are required")
	}
	passwords, err := newHasher()
	if err != nil {
		return nil, err
	}
	return &Gate{config: config, passwords: passwords, sessions: newSessions(config)}, nil
}

// Who says who a request comes from: by its bearer token when it has one, else by its session. The error is ErrNobody, ErrEnded,
// ErrBadToken, or the database's. A request must have passed Sessions.
func (g *Gate) Who(r *http.Request) (Caller, error) {
	if header := r.Header.Get("Authorization"); header != "" {
		scheme, token, _ := strings.Cut(header, " ")
		if !strings.EqualFold(scheme, "Bearer") {
			return Caller{}, ErrBadToken
		}
		return g.byToken(r.Context(), strings.TrimSpace(token))
	}
	return g.bySession(r)
}

// SignIn checks e-mail address and password and opens a session in the request's context. address is where the request comes from.
// The error is ErrWrong, ErrShut (only after the right password), *Throttled, ErrBusy, or the database's. An unknown account takes the same work as a known one.
func (g *Gate) SignIn(ctx context.Context, email, password, address string) (Caller, error) {
	email = strings.ToLower(strings.TrimSpace(email))
	account, place := "account "+hashOf(email), "address "+address
	if err := g.throttle(ctx, account, place); err != nil {
		return Caller{}, err
	}
	person, err := g.personByEmail(ctx, email)
	if err != nil && !errors.Is(err, store.ErrNotFound) {
		return Caller{}, err
	}
	match, err := g.passwords.matches(ctx, password, person.PasswordHash)
	if err != nil {
		return Caller{}, err
	}
	if !match {
		if err := g.config.Store.RecordFailure(ctx, place, g.config.Clock()); err != nil {
			return Caller{}, err
		}
		return Caller{}, ErrWrong
	}
	if err := g.config.Store.ClearFailures(ctx, account); err != nil {
		return Caller{}, err
	}
	if err := g.notShut(ctx, person.ID); err != nil {
		return Caller{}, err
	}
	if err := g.open(ctx, person); err != nil {
		return Caller{}, err
	}
	return Caller{Person: person.ID, Name: person.Name, Email: person.Email}, nil
}

// notShut refuses with ErrShut whom no programme lets in any more.
func (g *Gate) notShut(ctx context.Context, person competency.PersonID) error {
	now := g.config.Clock()
	return g.config.Store.Read(ctx, func(tx *store.Tx) error {
		shut, err := tx.Shut(person, competency.DayOf(now), now)
		if err == nil && shut {
			return ErrShut
		}
		return err
	})
}

// Guess runs an attempt at a secret for a request from an address, and refuses further ones when too many from there were wrong.
func (g *Gate) Guess(ctx context.Context, address string, wrong error, attempt func() error) error {
	place := "address " + address
	if err := g.atMost(ctx, place, failuresAddress-1, g.config.Clock()); err != nil {
		return err
	}
	err := attempt()
	if errors.Is(err, wrong) {
		if counted := g.config.Store.RecordFailure(ctx, place, g.config.Clock()); counted != nil {
			return counted
		}
	}
	return err
}

// Hash hashes a new password when its turn comes: as few at a time as are checked. The error is ErrWeakPassword, or ErrBusy.
func (g *Gate) Hash(ctx context.Context, password string) (string, error) {
	if err := CheckPassword(password); err != nil {
		return "", err
	}
	select {
	case g.passwords.slots <- struct{}{}:
		defer func() { <-g.passwords.slots }()
	case <-ctx.Done():
		return "", ErrBusy
	}
	return HashPassword(password)
}

func (g *Gate) personByEmail(ctx context.Context, email string) (person store.Person, err error) {
	err = g.config.Store.Read(ctx, func(tx *store.Tx) error {
		person, err = tx.PersonByEmail(email)
		return err
	})
	return person, err
}

func (g *Gate) personByID(ctx context.Context, id competency.PersonID) (person store.Person, err error) {
	err = g.config.Store.Read(ctx, func(tx *store.Tx) error {
		person, err = tx.PersonByID(id)
		return err
	})
	return person, err
}
