package signin

import "context"

// Prove notes in the caller's session that they gave their password again: what they sign within the programme's limit rests on it.
// address is where the request comes from. A bearer token proves nothing: the error is ErrNeedsLogin; else ErrWrongProof, *Throttled,
// ErrBusy, or the database's. Failures count as failed sign-ins.
func (g *Gate) Prove(ctx context.Context, caller Caller, password, address string) error {
	if caller.ByToken {
		return ErrNeedsLogin
	}
	account, place := "account "+hashOf(caller.Email), "address "+address
	if err := g.throttle(ctx, account, place); err != nil {
		return err
	}
	person, err := g.personByID(ctx, caller.Person)
	if err != nil {
		return err
	}
	match, err := g.passwords.matches(ctx, password, person.PasswordHash)
	if err != nil {
		return err
	}
	if !match {
		if err := g.config.Store.RecordFailure(ctx, place, g.config.Clock()); err != nil {
			return err
		}
		return ErrWrongProof
	}
	if err := g.config.Store.ClearFailures(ctx, account); err != nil {
		return err
	}
	g.sessions.Put(ctx, keyProved, g.config.Clock().UnixMicro())
	return nil
}
