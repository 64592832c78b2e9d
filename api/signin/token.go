package signin

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"strings"
	"time"
	"unicode/utf8"

	"isthmus/api/store"
	"isthmus/competency"
)

// MaxTokenDays is how long a bearer token can live.
const MaxTokenDays = 365

// ErrTokenInput says what a new token needs.
var ErrTokenInput = fmt.Errorf("a token needs a name of 1 to 100 characters and 1 to %d days to live", MaxTokenDays)

// Token is a bearer token as its owner sees it afterwards; Secret is there once, when it is made.
type Token struct {
	ID        string    `json:"id"`
	Name      string    `json:"name"`
	Secret    string    `json:"token,omitempty"`
	CreatedAt time.Time `json:"created_at"`
	ExpiresAt time.Time `json:"expires_at"`
}

// CreateToken makes a bearer token that acts as the caller for so many days. Only its hash is kept. A token cannot make tokens: a leaked
// one must die with its expiry. The error is ErrTokenInput or ErrNeedsLogin.
func (g *Gate) CreateToken(ctx context.Context, caller Caller, requestID, name string, days int) (Token, error) {
	if caller.ByToken {
		return Token{}, ErrNeedsLogin
	}
	name = strings.TrimSpace(name)
	if length := utf8.RuneCountInString(name); length < 1 || length > 100 || days < 1 || days > MaxTokenDays {
		return Token{}, ErrTokenInput
	}
	secret, hash, err := newSecret()
	if err != nil {
		return Token{}, err
	}
	now := g.config.Clock()
	row := store.Token{ID: g.config.NewID(), Person: caller.Person, Name: name, Hash: hash, CreatedAt: now, ExpiresAt: now.AddDate(0, 0, days)}
	err = g.config.Store.Write(ctx, g.act(caller, "token.create", requestID), func(tx *store.Tx) error {
		if err := tx.CreateToken(row); err != nil {
			return err
		}
		return tx.Audit("token", row.ID, nil, row)
	})
	if err != nil {
		return Token{}, err
	}
	token := tokenOf(row)
	token.Secret = secret
	return token, nil
}

// Tokens lists the caller's tokens that still work.
func (g *Gate) Tokens(ctx context.Context, caller Caller) ([]Token, error) {
	tokens := []Token{}
	err := g.config.Store.Read(ctx, func(tx *store.Tx) error {
		rows, err := tx.Tokens(caller.Person)
		if err != nil {
			return err
		}
		tokens = tokens[:0]
		for _, row := range rows {
			if row.RevokedAt.IsZero() && row.ExpiresAt.After(g.config.Clock()) {
				tokens = append(tokens, tokenOf(row))
			}
		}
		return nil
	})
	return tokens, err
}

// RevokeToken ends one of the caller's tokens at once. The error is store.ErrNotFound for one that is not the caller's.
func (g *Gate) RevokeToken(ctx context.Context, caller Caller, requestID, id string) error {
	return g.config.Store.Write(ctx, g.act(caller, "token.revoke", requestID), func(tx *store.Tx) error {
		rows, err := tx.Tokens(caller.Person)
		if err != nil {
			return err
		}
		for _, row := range rows {
			if row.ID != id || !row.RevokedAt.IsZero() {
				continue
			}
			after := row
			after.RevokedAt = g.config.Clock()
			if err := tx.RevokeToken(caller.Person, id); err != nil {
				return err
			}
			return tx.Audit("token", id, row, after)
		}
		return store.ErrNotFound
	})
}

// byToken finds the caller a bearer token acts for.
func (g *Gate) byToken(ctx context.Context, secret string) (Caller, error) {
	var caller Caller
	err := g.config.Store.Read(ctx, func(tx *store.Tx) error {
		row, err := tx.TokenByHash(hashOf(secret))
		if errors.Is(err, store.ErrNotFound) || err == nil && (!row.RevokedAt.IsZero() || !row.ExpiresAt.After(g.config.Clock())) {
			return ErrBadToken
		}
		if err != nil {
			return err
		}
		now := g.config.Clock()
		if shut, err := tx.Shut(row.Person, competency.DayOf(now), now); err != nil || shut {
			return cmp.Or(err, ErrBadToken)
		}
		person, err := tx.PersonByID(row.Person)
		caller = Caller{Person: person.ID, Name: person.Name, Email: person.Email, ByToken: true}
		return err
	})
	return caller, err
}

func tokenOf(row store.Token) Token {
	return Token{ID: row.ID, Name: row.Name, CreatedAt: row.CreatedAt, ExpiresAt: row.ExpiresAt}
}

// act is what a caller does to what belongs to no programme.
func (g *Gate) act(caller Caller, name, requestID string) store.Act {
	return store.Act{Actor: caller.Person, Name: name, RequestID: requestID, At: g.config.Clock()}
}
