// Package access keeps who may use a shop's data: tokens for other systems,
// one-time codes that bring people in, and the sessions that follow. Secrets are
// shown once and kept as hashes.
package access

import (
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/base64"
	"strings"
	"time"

	"layshaft/catalog"
)

// Kind of a grant.
type Kind string

const (
	// Token lets another system in; sent with every request.
	Token Kind = "token"
	// Code brings a person in once and becomes a session.
	Code Kind = "code"
	// Session is a signed-in browser.
	Session Kind = "session"
)

// Grant is one way in: its secret's hash, who it stands for and what it allows.
type Grant struct {
	ID   string `cbor:"1,keyasint"`
	Kind Kind   `cbor:"2,keyasint"`
	// Name of the person or system that it stands for; edits carry it.
	Name   string          `cbor:"3,keyasint"`
	Scopes []catalog.Scope `cbor:"4,keyasint"`
	Hash   []byte          `cbor:"5,keyasint"` // SHA-256 of the secret
	By     string          `cbor:"6,keyasint"` // who made it
	Made   time.Time       `cbor:"7,keyasint"`
	Ends   time.Time       `cbor:"8,keyasint"`
	// Revoked is when it was taken back or used up; zero while it holds.
	Revoked time.Time `cbor:"9,keyasint,omitzero"`
	// Used is when it last let somebody in, to the minute; zero for never.
	Used time.Time `cbor:"10,keyasint,omitzero"`

	// Seen is the store's revision of the record; 0 for a new one. Not stored.
	Seen uint64 `cbor:"-"`
}

// Holds reports whether the grant lets anybody in at a moment.
func (g *Grant) Holds(at time.Time) bool { return g.Revoked.IsZero() && at.Before(g.Ends) }

// matches compares in constant time.
func (g *Grant) matches(secret string) bool {
	h := sha256.Sum256([]byte(secret))
	return subtle.ConstantTimeCompare(h[:], g.Hash) == 1
}

const (
	keyPrefix   = "lay_"
	secretBytes = 32 // 256 bits
	idBytes     = 9
)

// newKey makes a grant's id, its secret's hash and the whole key: the prefix, the
// id and the secret. The id finds the record; the secret proves it.
func newKey() (id, key string, hash []byte) {
	b := make([]byte, idBytes+secretBytes)
	_, _ = rand.Read(b) // never fails, as documented
	id = strings.NewReplacer("-", "A", "_", "B").Replace(base64.RawURLEncoding.EncodeToString(b[:idBytes]))
	secret := base64.RawURLEncoding.EncodeToString(b[idBytes:])
	h := sha256.Sum256([]byte(secret))
	return id, keyPrefix + id + "_" + secret, h[:]
}

// splitKey is the inverse: id and secret.
func splitKey(key string) (id, secret string, ok bool) {
	rest, ok := strings.CutPrefix(key, keyPrefix)
	if !ok || len(rest) > 128 {
		return "", "", false
	}
	id, secret, ok = strings.Cut(rest, "_")
	return id, secret, ok && id != "" && secret != ""
}
