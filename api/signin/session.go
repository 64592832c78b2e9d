package signin

import (
	"context"
	"errors"
	"net/http"
	"time"

	"github.com/alexedwards/scs/v2"

	"isthmus/api/store"
	"isthmus/competency"
)

// What a session holds.
const (
	keyPerson = "person" // id
	keyEpoch  = "epoch"  // the person's when the session was opened: a new password raises it
	keyProved = "proved" // when the password was last given, microseconds since 1970
	keySeen   = "seen"   // last request, microseconds since 1970, to the minute or so
)

// touchEvery is how often a session in use is written: each write costs as much as the request itself.
const touchEvery = time.Minute

// newSessions readies cookies and store. The idle limit and the deadline are ours, by the injected clock: the library would read its own.
func newSessions(config Config) *scs.SessionManager {
	sessions := scs.New()
	sessions.Store = sessionStore{config.Store, config.Clock}
	sessions.HashTokenInStore = true // who reads the table cannot sign in
	sessions.Lifetime = config.SignedIn
	sessions.ErrorFunc = config.OnError
	sessions.Cookie = scs.SessionCookie{Name: "__Host-isthmus", Path: "/", HttpOnly: true, Secure: true, SameSite: http.SameSiteStrictMode}
	if config.Plain {
		sessions.Cookie.Name, sessions.Cookie.Secure = "isthmus", false
	}
	return sessions
}

// Sessions loads the session of every request and saves it when it changed. A request with a bearer token has none.
func (g *Gate) Sessions(next http.Handler) http.Handler {
	withSession := g.sessions.LoadAndSave(next)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.Header.Get("Authorization") != "" {
			next.ServeHTTP(w, r)
			return
		}
		withSession.ServeHTTP(w, r)
	})
}

// open starts a session under a new token, so that one planted before the sign-in is worth nothing.
func (g *Gate) open(ctx context.Context, person store.Person) error {
	if err := g.sessions.RenewToken(ctx); err != nil {
		return err
	}
	now := g.config.Clock()
	g.sessions.SetDeadline(ctx, now.Add(g.config.SignedIn))
	g.sessions.Put(ctx, keyPerson, string(person.ID))
	g.sessions.Put(ctx, keyEpoch, person.Epoch)
	g.sessions.Put(ctx, keySeen, now.UnixMicro())
	g.sessions.Put(ctx, keyProved, now.UnixMicro())
	return g.sweep(ctx)
}

// SignOut ends the session of the request. A bearer token is no session: the error is ErrNeedsLogin.
func (g *Gate) SignOut(ctx context.Context, caller Caller) error {
	if caller.ByToken {
		return ErrNeedsLogin
	}
	return g.sessions.Destroy(ctx)
}

// CookieName is the name of the session cookie.
func (g *Gate) CookieName() string { return g.sessions.Cookie.Name }

// bySession finds the caller of a session that has not ended: by idling, by its deadline (the store knows), or by a new password.
func (g *Gate) bySession(r *http.Request) (Caller, error) {
	ctx := r.Context()
	id := g.sessions.GetString(ctx, keyPerson)
	if id == "" {
		if _, err := r.Cookie(g.sessions.Cookie.Name); err == nil {
			return Caller{}, ErrEnded
		}
		return Caller{}, ErrNobody
	}
	now := g.config.Clock()
	idle := now.Sub(time.UnixMicro(g.sessions.GetInt64(ctx, keySeen)))
	if idle > g.config.Idle {
		return Caller{}, g.end(ctx)
	}
	person, err := g.personByID(ctx, competency.PersonID(id))
	if errors.Is(err, store.ErrNotFound) || err == nil && person.Epoch != g.sessions.GetInt(ctx, keyEpoch) {
		return Caller{}, g.end(ctx)
	}
	if err != nil {
		return Caller{}, err
	}
	if idle >= touchEvery {
		g.sessions.Put(ctx, keySeen, now.UnixMicro())
	}
	who := Caller{Person: person.ID, Name: person.Name, Email: person.Email}
	if proved := g.sessions.GetInt64(ctx, keyProved); proved > 0 {
		who.ProvedAt = time.UnixMicro(proved).UTC()
	}
	return who, nil
}

// end destroys the session and gives ErrEnded.
func (g *Gate) end(ctx context.Context) error {
	if err := g.sessions.Destroy(ctx); err != nil {
		return err
	}
	return ErrEnded
}

// sessionStore gives the session library our database. It only ever sees hashes of tokens.
type sessionStore struct {
	store *store.Store
	clock func() time.Time
}

// FindCtx gives the data of a session that has not expired.
func (s sessionStore) FindCtx(ctx context.Context, hash string) ([]byte, bool, error) {
	return s.store.FindSession(ctx, hash, s.clock())
}

// CommitCtx saves a session.
func (s sessionStore) CommitCtx(ctx context.Context, hash string, data []byte, expires time.Time) error {
	return s.store.CommitSession(ctx, hash, data, expires)
}

// DeleteCtx deletes a session; one that is not there is no error.
func (s sessionStore) DeleteCtx(ctx context.Context, hash string) error {
	return s.store.DeleteSession(ctx, hash)
}

// Find is FindCtx without a context; the library asks for it and never calls it.
func (s sessionStore) Find(hash string) ([]byte, bool, error) {
	return s.FindCtx(context.Background(), hash)
}

// Commit is CommitCtx without a context.
func (s sessionStore) Commit(hash string, data []byte, expires time.Time) error {
	return s.CommitCtx(context.Background(), hash, data, expires)
}

// Delete is DeleteCtx without a context.
func (s sessionStore) Delete(hash string) error { return s.DeleteCtx(context.Background(), hash) }
