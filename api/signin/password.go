// Package signin says who is there: passwords, sessions, bearer tokens, and the throttling of guesses. It decides nothing about what
// a person may do.
package signin

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"strings"
	"unicode/utf8"

	"github.com/alexedwards/argon2id"
)

// Limits of a password, in characters and bytes. The lower one is that of NIST SP 800-63B-4 for a password used alone (from memory); the upper one
// keeps hashing cheap for us.
const (
	MinPassword = 15
	maxPassword = 256
)

// ErrWeakPassword says what a password must be.
var ErrWeakPassword = fmt.Errorf("a password must have %d to %d characters, and not be one character repeated", MinPassword, maxPassword)

// ErrBusy says that too many passwords are being checked at once.
var ErrBusy = errors.New("too many sign-ins at once: try again in a moment")

// params are argon2id's cost: 19 MiB, two passes, one lane (OWASP password storage, from memory), about 30 ms.
var params = &argon2id.Params{Memory: 19 * 1024, Iterations: 2, Parallelism: 1, SaltLength: 16, KeyLength: 32}

// CheckPassword accepts a password a new account may have. The error is ErrWeakPassword.
func CheckPassword(password string) error {
	length := utf8.RuneCountInString(password)
	if length < MinPassword || len(password) > maxPassword || strings.Count(password, password[:1]) == length {
		return ErrWeakPassword
	}
	return nil
}

// HashPassword hashes a new password with argon2id and a random salt. The error is ErrWeakPassword, or the system's random source.
func HashPassword(password string) (string, error) {
	if err := CheckPassword(password); err != nil {
		return "", err
	}
	hash, err := argon2id.CreateHash(password, params)
	if err != nil {
		return "", fmt.Errorf("hash password: %w", err)
	}
	return hash, nil
}

// hasher checks passwords, few at a time: each check takes 19 MiB.
type hasher struct {
	slots chan struct{}
	decoy string // a hash that no password has, for accounts that do not exist
}

// newHasher prepares checks that run on at most as many goroutines as there are processors.
func newHasher() (*hasher, error) {
	_, salted, err := newSecret()
	if err != nil {
		return nil, err
	}
	decoy, err := argon2id.CreateHash(salted, params)
	if err != nil {
		return nil, fmt.Errorf("hash decoy: %w", err)
	}
	return &hasher{slots: make(chan struct{}, max(2, runtime.GOMAXPROCS(0))), decoy: decoy}, nil
}

// matches reports whether password has hash. An empty hash matches nothing, after the same work, so that the time taken does not tell
// whether an account exists. It waits for its turn; the error is ErrBusy when ctx ends first.
func (h *hasher) matches(ctx context.Context, password, hash string) (bool, error) {
	select {
	case h.slots <- struct{}{}:
		defer func() { <-h.slots }()
	case <-ctx.Done():
		return false, ErrBusy
	}
	known := hash != ""
	if !known {
		hash = h.decoy
	}
	if len(password) > maxPassword { // no account has one; same work all the same
		password, known = password[:maxPassword], false
	}
	match, err := argon2id.ComparePasswordAndHash(password, hash)
	if err != nil {
		return false, fmt.Errorf("check password: %w", err)
	}
	return match && known, nil
}
