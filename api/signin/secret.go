package signin

import (
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"fmt"
)

// tokenPrefix makes a leaked token recognisable to whoever finds it, and to scanners.
const tokenPrefix = "isthmus_"

// NewSecret makes a secret for a link that works once, and the hash that is kept of it.
func NewSecret() (secret, hash string, err error) { return newSecret() }

// HashOf is the hash that is kept of a secret.
func HashOf(secret string) string { return hashOf(secret) }

// newSecret makes a bearer token from 32 random bytes, and the hash that is kept of it.
func newSecret() (token, hash string, err error) {
	random := make([]byte, 32)
	if _, err := rand.Read(random); err != nil {
		return "", "", fmt.Errorf("random source: %w", err)
	}
	token = tokenPrefix + base64.RawURLEncoding.EncodeToString(random)
	return token, hashOf(token), nil
}

// hashOf is the SHA-256 of a text in hexadecimal. That is enough for secrets of 32 random bytes, which nobody can guess.
func hashOf(text string) string {
	sum := sha256.Sum256([]byte(text))
	return hex.EncodeToString(sum[:])
}
