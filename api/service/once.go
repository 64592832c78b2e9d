package service

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"

	"github.com/google/uuid"

	"isthmus/api/store"
	"isthmus/competency"
)

// once is a creation that a resend must not repeat: the key the client gave, and what it asked for. A client that made the id of the
// thing itself needs no key: the id is one.
type once struct {
	key, operation, requestHash string
	id                          string // made by the client; empty: the service makes one
}

// onceFor binds a key to a request in a programme. An empty key gives no protection.
func onceFor(key, operation string, programme competency.ProgrammeID, request any) (once, error) {
	data, err := json.Marshal(request)
	if err != nil {
		return once{}, fmt.Errorf("hash request: %w", err)
	}
	sum := sha256.Sum256(append([]byte(string(programme)+"\n"), data...))
	return once{key: key, operation: operation, requestHash: hex.EncodeToString(sum[:])}, nil
}

// onceNamed is onceFor a request that may bring the id of what it makes, made by the client as the service makes its own: a uuid v7.
// A device without a network names things this way, and can then send them as often as it takes. The error is strict.Faults about id.
func onceNamed(id, key, operation string, programme competency.ProgrammeID, request any) (once, error) {
	if id == "" {
		return onceFor(key, operation, programme, request)
	}
	if parsed, err := uuid.Parse(id); err != nil || parsed.Version() != 7 || parsed.Variant() != uuid.RFC4122 || parsed.String() != id {
		return once{}, fault("id", "must be a UUID of version 7 in lower case, made by whoever sends it; leave it out to get one")
	}
	o, err := onceFor("id "+id, operation, programme, request)
	o.id = id
	return o, err
}

// newID is the id of what is made: the client's, or a new one.
func (o once) newID(s *Service) string {
	if o.id != "" {
		return o.id
	}
	return s.deps.NewID()
}

// earlier is the id of what the same request made before, or empty. The error is ErrKeyReused when the key was used for another one, and
// ErrDuplicate when the id names something made of another request.
func (o once) earlier(h *scene) (string, error) {
	if o.key == "" {
		return "", nil
	}
	row, found, err := h.tx.IdempotencyKey(h.programme.ID, h.actor.Person, o.key)
	if err != nil || !found {
		return "", err
	}
	if row.Operation != o.operation || row.RequestHash != o.requestHash {
		if o.id != "" {
			return "", fmt.Errorf("id %s: %w", o.id, ErrDuplicate)
		}
		return "", ErrKeyReused
	}
	return row.ObjectID, nil
}

// remember keeps what the request made. The error is ErrDuplicate when the same key is being used at the same moment.
func (o once) remember(h *scene, id string) error {
	if o.key == "" {
		return nil
	}
	did := store.IdempotencyRow{Operation: o.operation, RequestHash: o.requestHash, ObjectID: id}
	return h.tx.SaveIdempotencyKey(h.programme.ID, h.actor.Person, o.key, did)
}

// create runs an act that makes something once: an earlier result of the same request is loaded, else fresh makes it. check runs
// first in a reading transaction, so that nobody without the right causes work or a write.
func (s *Service) create(ctx context.Context, actor Actor, programme competency.ProgrammeID, o once, check func(*scene) error, load func(*scene, string) error, fresh func() error) error {
	var repeated bool
	again := func() error {
		return s.read(ctx, actor, programme, func(h *scene) error {
			if err := check(h); err != nil {
				return err
			}
			id, err := o.earlier(h)
			if err != nil || id == "" {
				return err
			}
			repeated = true
			return load(h, id)
		})
	}
	if err := again(); err != nil || repeated {
		return err
	}
	err := fresh()
	if o.key != "" && errors.Is(err, ErrDuplicate) { // the same key at the same moment: the other one was first
		if err := again(); err != nil || repeated {
			return err
		}
	}
	return err
}
